"""Bundles and strings of a store file: from one line of text to wires from screw to screw."""

import itertools
from collections.abc import Mapping
from typing import Any

from scenarios.electrical.kinds import GAUGES
from scenarios.electrical.wiring import Device, Element, Rail, Run, Wire
from scenarios.parts.registry import KINDS
from scenarios.store.expand import Entry
from scenarios.store.problems import Path, Problems, near

LOCAL_METRES = 1.0
"""Longest wire of a string between two parts in one place; its ``m`` counts for wires from place to place [m]."""


class Runs:
    """Wires and runs as they are read."""

    def __init__(
        self,
        problems: Problems,
        devices: Mapping[str, Device],
        elements: list[Element],
        rails: Mapping[str, Rail],
        bundled: Mapping[str, list[str]],
        told: set[str],
        panel: str,
    ) -> None:
        self.problems, self.devices, self.rails, self.bundled, self.told = problems, devices, rails, bundled, told
        self.panel = panel
        self.joined = {frozenset((e.a, e.b)) for e in elements}
        self.wires: list[Wire] = []
        self.runs: list[Run] = []
        self.broken = False
        """Whether a run could not be drawn."""
        self.names: set[str] = set()
        self.ends: set[frozenset[str]] = set()

    def bundle(self, entry: Entry) -> None:
        """A power path: one wire per pole and hop."""
        told, path = entry.told, entry.path
        tokens = [token.strip() for token in str(told["run"]).split(">")]
        metres = told["m"]
        if len(tokens) < 2 or not isinstance(metres, list) or len(metres) != len(tokens) - 1:
            self._refuse((*path, "m"), f"needs one length per hop of {told['run']!r}, that is {len(tokens) - 1}")
            return
        sides = [self._power((*path, "run"), token, first=n == 0, last=n == len(tokens) - 1) for n, token in enumerate(tokens)]
        stops = [side for side in sides if side is not None]
        if len(stops) != len(sides):
            self.broken = True
            return
        names: list[str] = []
        for hop, length in enumerate(metres):
            leave, enter = stops[hop][1], stops[hop + 1][0]
            if not enter and self._sits_on((*path, "run"), tokens[hop + 1], tokens[hop]):
                continue  # an overload relay plugs straight into its contactor
            if len(leave) != len(enter):
                text = f"{tokens[hop]} leaves with {len(leave)} poles, {tokens[hop + 1]} takes {len(enter)}"
                self._refuse((*path, "run"), text)
                continue
            for pole, (a, b) in enumerate(zip(leave, enter, strict=True)):
                names.append(f"{entry.mark}.{len(names) + 1}")
                self._wire(entry, names[-1], a, b, float(length), pole)
        self.runs.append(Run(entry.mark, "bundle", tuple((*a, *b) for a, b in stops), tuple(tokens), tuple(names)))

    def string(self, entry: Entry) -> None:
        """A control path: a wire from every stop to the next."""
        told, path = entry.told, entry.path
        tokens = [token.strip() for token in str(told["run"]).split(">")]
        length = told["m"]
        if len(tokens) < 2 or isinstance(length, bool) or not isinstance(length, int | float):
            self._refuse(path, "needs a run of at least two stops and one length m")
            return
        found = [self._control((*path, "run"), token) for token in tokens]
        stops = [stop for stop in found if stop is not None]
        if len(stops) != len(found):
            self.broken = True
            return
        names: list[str] = []
        for left, right in itertools.pairwise(stops):
            a, b = left[-1], right[0]
            metres = float(length) if self._place(a) != self._place(b) else min(float(length), LOCAL_METRES)
            names.append(f"{entry.mark}.{len(names) + 1}")
            self._wire(entry, names[-1], a, b, metres, 0)
        parts = tuple(token.split(":")[0] for token in tokens)
        self.runs.append(Run(entry.mark, "string", tuple(stops), parts, tuple(names)))

    # ---- stops ------------------------------------------------------------------------------------------------------

    def _power(self, path: Path, token: str, *, first: bool, last: bool) -> tuple[list[str], list[str]] | None:
        """Terminals by which a power path enters and leaves a stop; none where there is no such stop."""
        rails = [name for word in token.split() for name in self.bundled.get(word, [word] if word in self.rails else [])]
        if rails:
            return ([] if first else rails), (rails if first else [])
        mark = token.split(":")[0]
        device = self.devices.get(mark)
        if device is None:
            self._unknown(path, token, mark)
            return None
        if ":" in token:
            if token not in device.terminals:
                self._refuse(path, f"{token} is no terminal of {mark}, allowed are {' '.join(device.terminals)}")
                return None
            return ([] if first else [token]), ([] if last else [token])
        kind = KINDS[device.kind]
        into, out = ([f"{token}:{t}" for t in side] for side in (kind.into, kind.out))
        return ([] if first else into), ([] if last else out)

    def _control(self, path: Path, token: str) -> tuple[str, ...] | None:
        """Terminals of one stop of a control path: a rail, one terminal, or the two ends of an element."""
        if token in self.rails:
            return (token,)
        mark, _, pair = token.partition(":")
        device = self.devices.get(mark)
        if device is None:
            self._unknown(path, token, mark)
            return None
        ends = tuple(f"{mark}:{name}" for name in pair.split("-"))
        if any(end not in device.terminals for end in ends):
            self._refuse(path, f"{token!r} is no terminal of {mark}, allowed are {' '.join(device.terminals)}")
            return None
        if len(ends) > 2 or (len(ends) == 2 and frozenset(ends) not in self.joined):
            self._refuse(path, f"nothing inside {mark} joins the two ends of {token!r}; name a contact or load of it")
            return None
        return ends

    def _unknown(self, path: Path, token: str, mark: str) -> None:
        """A stop that is nowhere; one that was told wrongly has had its sentence already."""
        self.broken = True
        if mark not in self.told:
            meant = near(mark, [*self.devices, *self.rails])
            self._refuse(path, f"{token!r} is no part, terminal or rail of the list{meant}")

    def _sits_on(self, path: Path, overload: str, contactor: str) -> bool:
        device = self.devices.get(overload)
        if device is None or not device.on:
            return False
        if device.on != contactor:
            self._refuse(path, f"{overload} sits on {device.on} but follows {contactor}")
        return True

    def _place(self, terminal: str) -> str:
        """Where a terminal is; rails are in the panel."""
        device = self.devices.get(terminal.split(":")[0])
        return device.place if device else self.panel

    def _refuse(self, path: Path, text: str) -> None:
        self.broken = True
        self.problems.add(path, text)

    def _wire(self, entry: Entry, name: str, a: str, b: str, metres: float, pole: int) -> None:
        awg: Any = entry.told["awg"]
        ends = frozenset((a, b))
        if str(awg) not in GAUGES and name.endswith(".1"):
            self.problems.add((*entry.path, "awg"), f"{awg!r} is no gauge, allowed are {' '.join(GAUGES)}")
        if a in self.rails and b in self.rails:
            self.problems.add((*entry.path, "run"), f"wire {name} joins rails {a} and {b} with nothing between them")
        if name in self.names:
            self.problems.add((*entry.path, "wire"), f"wire {name}: the name is used twice; number every bundle and string once")
        elif ends in self.ends:
            self.problems.add((*entry.path, "run"), f"wire {name}: {a} and {b} are joined twice")
        self.names.add(name)
        self.ends.add(ends)
        self.wires.append(Wire(name, a, b, str(awg), metres, pole))

"""The wiring list read from a store file.

`blocks` repeat text with ``$n``; `bundles` expand a power path into one wire per pole and hop; `strings` expand a control path into
wires from terminal to terminal. A part that appears both in a block and in `devices` is one part: what `devices` says is added.
"""

import itertools
from collections.abc import Mapping
from typing import Any

from scenarios.electrical.kinds import CONTACTS, GAUGES, LOADS
from scenarios.electrical.wiring import Device, Element, Rail, Run, Supply, Wire, Wiring
from scenarios.errors import BadRequest
from scenarios.parts.kind import Kind
from scenarios.parts.registry import WIRED as KINDS
from scenarios.store.expand import expanded_blocks, merged_devices

LOCAL_METRES = 1.0
"""Longest wire of a string between two parts in one place; its ``m`` counts for wires from place to place [m]."""
MOST_WIRES = 2
"""Wires under one screw; more is bad work and refused."""


def load(store: dict[str, Any]) -> Wiring:
    """Expand and check the wiring of a store file.

    Raises
    ------
    BadRequest
        One line per mistake, all at once: ``where: what is wrong, what is allowed``.
    """
    return _Reader(store).wiring()


class _Reader:
    """One reading of one store file; collects every problem before it complains."""

    def __init__(self, store: dict[str, Any]) -> None:
        self.problems: list[str] = []
        self.devices: dict[str, Device] = {}
        self.wires: list[Wire] = []
        self.runs: list[Run] = []
        self.elements: list[Element] = []
        self.places = store.get("places", {})
        self.supply = Supply.of(store["supply"])
        self.rail_kinds: dict[str, Rail] = {}
        self.groups: dict[str, list[str]] = {}
        for mark, rail in store.get("rails", {}).items():
            names = list(rail.get("of", [mark]))
            self.groups[mark] = names
            told = {key: value for key, value in rail.items() if key != "of"}
            self.rail_kinds.update({name: Rail(name, group=mark, **told) for name in names})
        blocks, problems = expanded_blocks(store.get("blocks", []))
        self.problems += problems
        self.entries = merged_devices([*(block.get("devices", {}) for block in blocks), store.get("devices", {})])
        self.bundles = [entry for block in blocks for entry in block.get("bundles", [])] + list(store.get("bundles", []))
        self.strings = [entry for block in blocks for entry in block.get("strings", [])] + list(store.get("strings", []))

    def wiring(self) -> Wiring:
        """The checked wiring, or every problem at once."""
        for mark, entry in self.entries.items():
            self._device(mark, entry)
        for device in self.devices.values():
            self._elements(device)
        for entry in self.bundles:
            self._bundle(entry)
        for entry in self.strings:
            self._string(entry)
        self._check()
        if self.problems:
            raise BadRequest("\n".join(self.problems))
        terminals = [*self.rail_kinds, *(t for d in self.devices.values() for t in d.terminals)]
        return Wiring(
            self.devices, list(self.rail_kinds), self.rail_kinds, terminals, self.wires, self.elements, self.runs, self.supply
        )

    # ---- parts ------------------------------------------------------------------------------------------------------

    def _device(self, mark: str, entry: dict[str, Any]) -> None:
        where = f"devices.{mark}"
        kind = KINDS.get(str(entry.get("kind")))
        if kind is None:
            self.problems.append(f"{where}.kind: {entry.get('kind')!r} is unknown; allowed are {', '.join(sorted(KINDS))}")
            return
        for key in ("group", "place", "says"):
            if not entry.get(key):
                self.problems.append(f"{where}.{key}: missing; every part needs a group, a place and a spoken name")
        if self.places and entry.get("place") not in self.places:
            self.problems.append(f"{where}.place: {entry.get('place')!r} is no place; allowed are {', '.join(self.places)}")
        loads = dict(entry.get("load", {})) | ({"A1-A2": "coil"} if kind.coil else {})
        contacts = {str(pair): str(symbol) for pair, symbol in entry.get("contacts", {}).items()}
        names = [*kind.into, *kind.out, *(t for pair in [*loads, *contacts] for t in str(pair).split("-"))]
        self.devices[mark] = Device(
            mark,
            str(entry["kind"]),
            str(entry.get("group")),
            str(entry.get("place")),
            str(entry.get("says")),
            tuple(f"{mark}:{name}" for name in dict.fromkeys(names)),
            contacts,
            {str(k): str(v) for k, v in loads.items()},
            str(entry.get("on", "")),
            tuple(entry.get("positions", ())),
            str(entry.get("stands", "")),
            self._ratings(where, entry, kind.ratings),
            self._poles(mark, kind, str(entry.get("on", ""))),
            kind.coil,
            kind.follows,
        )

    def _poles(self, mark: str, kind: Kind, on: str) -> tuple[tuple[str, str], ...]:
        """Line and load terminal of each power pole; what sits on another part has that one's load side before it."""
        if not kind.pole:
            return ()
        host = KINDS.get(str(self.entries.get(on, {}).get("kind")))
        line = [f"{mark}:{t}" for t in kind.into] or [f"{on}:{t}" for t in (host.out if host else ())]
        return tuple(zip(line, (f"{mark}:{t}" for t in kind.out), strict=False))

    def _ratings(self, where: str, entry: dict[str, Any], allowed: Mapping[str, float | None]) -> dict[str, float]:
        known = {"kind", "group", "place", "says", "on", "contacts", "load", "positions", "stands"}
        found = {}
        for key, value in entry.items():
            if key in known:
                continue
            if key not in allowed:
                self.problems.append(f"{where}.{key}: unknown; allowed are {', '.join(sorted(known | set(allowed)))}")
            elif isinstance(value, bool) or not isinstance(value, int | float) or value < 0:
                self.problems.append(f"{where}.{key}: {value!r} is not a positive number")
            else:
                found[key] = float(value)
        for key, default in allowed.items():
            if key not in found and default is None:
                self.problems.append(f"{where}.{key}: missing; a {entry['kind']} needs it")
            found.setdefault(key, default or 0.0)
        return found

    def _elements(self, device: Device) -> None:
        where = f"devices.{device.mark}"
        kind = KINDS[device.kind]
        if kind.pole == "heater":
            host = self.devices.get(device.on)
            if host is None or host.kind != "contactor3":
                self.problems.append(f"{where}.on: {device.on!r} is no contactor; an overload relay sits on its contactor")
                return
        for n, (a, b) in enumerate(device.poles):
            self.elements.append(Element(device.mark, kind.pole, a, b, "pole", n))
        for role, pairs, symbols in (
            ("contact", device.contacts, {*CONTACTS, *device.positions}),
            ("load", device.loads, set(LOADS)),
        ):
            for n, (pair, symbol) in enumerate(pairs.items()):
                ends = pair.split("-")
                if len(ends) != 2:
                    self.problems.append(f"{where}: {pair!r} is no pair of terminals; write it as 13-14")
                elif symbol not in symbols:
                    self.problems.append(f"{where}.{pair}: {symbol!r} is unknown; allowed are {', '.join(sorted(symbols))}")
                else:
                    self.elements.append(
                        Element(device.mark, symbol, f"{device.mark}:{ends[0]}", f"{device.mark}:{ends[1]}", role, n)
                    )

    # ---- runs -------------------------------------------------------------------------------------------------------

    def _bundle(self, entry: dict[str, Any]) -> None:
        where = f"bundles.{entry.get('wire')}"
        tokens = [token.strip() for token in str(entry.get("run", "")).split(">")]
        metres = entry.get("m", [])
        if len(tokens) < 2 or not isinstance(metres, list) or len(metres) != len(tokens) - 1:
            self.problems.append(f"{where}.m: needs one length per hop of {entry.get('run')!r}, that is {len(tokens) - 1}")
            return
        sides = [self._power(where, token, first=n == 0, last=n == len(tokens) - 1) for n, token in enumerate(tokens)]
        if any(side is None for side in sides):
            return
        names: list[str] = []
        for hop, length in enumerate(metres):
            leave, enter = sides[hop][1], sides[hop + 1][0]  # type: ignore[index]
            if not enter and self._sits_on(where, tokens[hop + 1], tokens[hop]):
                continue  # an overload relay plugs straight into its contactor
            if len(leave) != len(enter):
                self.problems.append(f"{where}: {tokens[hop]} leaves with {len(leave)} poles, {tokens[hop + 1]} takes {len(enter)}")
                continue
            for pole, (a, b) in enumerate(zip(leave, enter, strict=True)):
                names.append(f"{entry['wire']}.{len(names) + 1}")
                self._wire(where, names[-1], a, b, entry.get("awg"), float(length), pole)
        stops = tuple((*side[0], *side[1]) for side in sides if side)
        self.runs.append(Run(str(entry["wire"]), "bundle", stops, tuple(tokens), tuple(names)))

    def _power(self, where: str, token: str, *, first: bool, last: bool) -> tuple[list[str], list[str]] | None:
        """Terminals by which a power path enters and leaves a stop."""
        rails = [name for word in token.split() for name in self.groups.get(word, [word] if word in self.rail_kinds else [])]
        if rails:
            return ([] if first else rails), (rails if first else [])
        if ":" in token:
            known = token.split(":")[0] in self.devices and token in self.devices[token.split(":")[0]].terminals
            if known:
                return ([] if first else [token]), (rails if last else [token])
            self.problems.append(f"{where}: {token} is no terminal of the list")
            return None
        device = self.devices.get(token)
        if device is None:
            self.problems.append(f"{where}: {token!r} is no part, terminal or rail of the list")
            return None
        kind = KINDS[device.kind]
        into, out = ([f"{token}:{t}" for t in side] for side in (kind.into, kind.out))
        return ([] if first else into), ([] if last else out)

    def _sits_on(self, where: str, overload: str, contactor: str) -> bool:
        device = self.devices.get(overload)
        if device is None or not device.on:
            return False
        if device.on != contactor:
            self.problems.append(f"{where}: {overload} sits on {device.on} but follows {contactor}")
        return True

    def _string(self, entry: dict[str, Any]) -> None:
        where = f"strings.{entry.get('wire')}"
        tokens = [token.strip() for token in str(entry.get("run", "")).split(">")]
        length = entry.get("m")
        if len(tokens) < 2 or isinstance(length, bool) or not isinstance(length, int | float) or length < 0:
            self.problems.append(f"{where}: needs a run of at least two stops and one length m")
            return
        stops = [self._control(where, token) for token in tokens]
        if any(stop is None for stop in stops):
            return
        names: list[str] = []
        for left, right in itertools.pairwise(stops):
            a, b = left[-1], right[0]  # type: ignore[index]
            metres = float(length) if self._place(a) != self._place(b) else min(float(length), LOCAL_METRES)
            names.append(f"{entry['wire']}.{len(names) + 1}")
            self._wire(where, names[-1], a, b, entry.get("awg"), metres, 0)
        parts = tuple(token.split(":")[0] for token in tokens)
        self.runs.append(Run(str(entry["wire"]), "string", tuple(stop for stop in stops if stop), parts, tuple(names)))

    def _control(self, where: str, token: str) -> tuple[str, ...] | None:
        """Terminals of one stop of a control path: a rail, one terminal, or the two ends of an element."""
        if token in self.rail_kinds:
            return (token,)
        mark, _, pair = token.partition(":")
        ends = tuple(f"{mark}:{name}" for name in pair.split("-"))
        joined = any({e.a, e.b} == set(ends) for e in self.elements)
        if (
            mark not in self.devices
            or any(end not in self.devices[mark].terminals for end in ends)
            or (len(ends) == 2 and not joined)
        ):
            self.problems.append(f"{where}: {token!r} is no rail, terminal or element of the list")
            return None
        return ends

    def _place(self, terminal: str) -> str:
        device = self.devices.get(terminal.split(":")[0])
        return device.place if device else "panel"

    def _wire(self, where: str, name: str, a: str, b: str, awg: Any, metres: float, pole: int) -> None:
        if str(awg) not in GAUGES:
            self.problems.append(f"{where}.awg: {awg!r} is no gauge; allowed are {', '.join(GAUGES)}")
        if a in self.rail_kinds and b in self.rail_kinds:
            self.problems.append(f"{where}: wire {name} joins rails {a} and {b} with nothing between them")
        self.wires.append(Wire(name, a, b, str(awg), metres, pole))

    # ---- the whole list ---------------------------------------------------------------------------------------------

    def _check(self) -> None:
        names: set[str] = set()
        ends: set[frozenset[str]] = set()
        landed: dict[str, int] = {}
        for wire in self.wires:
            if wire.name in names:
                self.problems.append(f"wire {wire.name}: the name is used twice; number every bundle and string once")
            if frozenset((wire.a, wire.b)) in ends:
                self.problems.append(f"wire {wire.name}: {wire.a} and {wire.b} are joined twice")
            names.add(wire.name)
            ends.add(frozenset((wire.a, wire.b)))
            for end in (wire.a, wire.b):
                landed[end] = landed.get(end, 0) + 1
        for element in self.elements:
            if frozenset((element.a, element.b)) in ends:
                self.problems.append(f"{element.device}: a wire joins both ends of {element.a} and {element.b}")
        covered = {end for e in self.elements if e.symbol == "heater" for end in (e.a,)}
        for device in self.devices.values():
            for terminal in device.terminals:
                if landed.get(terminal, 0) > MOST_WIRES:
                    self.problems.append(f"{terminal}: {landed[terminal]} wires under one screw; at most {MOST_WIRES}")
                if not landed.get(terminal) and terminal not in covered:
                    self.problems.append(f"{terminal}: no wire lands there; wire it or take it off the list")

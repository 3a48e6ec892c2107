"""The wiring list read from a store file.

`blocks` repeat text with ``$n``; `bundles` expand a power path into one wire per pole and hop; `strings` expand a control path into
wires from terminal to terminal. A part that appears both in a block and in `devices` is one part: what `devices` says is added.
"""

from collections.abc import Mapping
from typing import Any

from scenarios.electrical.kinds import CONTACTS, LOADS
from scenarios.electrical.wiring import Device, Element, Rail, Supply, Wiring
from scenarios.errors import BadRequest
from scenarios.parts.kind import Kind
from scenarios.parts.registry import WIRED as KINDS
from scenarios.store import expand
from scenarios.store.problems import Path, Problem, Problems, dotted, near
from scenarios.store.runs import Runs

ABOUT = ("kind", "group", "place", "says", "on", "contacts", "load", "positions", "stands")
"""Keys of every part besides its ratings."""
SMALLEST = 1e-6
"""Of a rating that must be given; others may be zero [in its own unit]."""
MOST_WIRES = 2
"""Wires under one screw; more is bad work and refused."""


def load(store: Mapping[str, Any]) -> Wiring:
    """The wiring of a store file.

    Raises
    ------
    BadRequest
        One line per mistake, all at once: ``where: what is wrong, what is allowed``.
    """
    wiring, found = examined(store)
    if found or wiring is None:
        raise BadRequest("\n".join(f"{dotted(path)}: {text}" for path, text in found))
    return wiring


def examined(store: Mapping[str, Any]) -> tuple[Wiring | None, list[Problem]]:
    """The wiring of a store file, none where it cannot be built, and everything that is wrong with it."""
    reader = _Reader(store)
    wiring = reader.wiring()
    return (None if reader.problems.found else wiring), reader.problems.found


class _Reader:
    """One reading of one store file; collects every problem before it complains."""

    def __init__(self, store: Mapping[str, Any]) -> None:
        self.store = store
        self.problems = Problems()
        self.places = store.get("places", {})
        self.devices: dict[str, Device] = {}
        self.where: dict[str, Path] = {}
        self.elements: list[Element] = []
        self.rails: dict[str, Rail] = {}
        self.bundled: dict[str, list[str]] = {}
        for mark, rail in store.get("rails", {}).items():
            names = list(rail.get("of", [mark]))
            self.bundled[mark] = names
            told = {key: value for key, value in rail.items() if key != "of"}
            self.rails.update({name: Rail(name, group=mark, **told) for name in names})

    def wiring(self) -> Wiring:
        """The wiring as far as it reads."""
        self.merged = merged = self._merged()
        for mark, (told, where) in merged.items():
            self._device(mark, told, where)
        for device in self.devices.values():
            self._elements(device)
        panel = next((name for name, about in self.places.items() if about.get("kind") == "panel"), "")
        runs = Runs(self.problems, self.devices, self.elements, self.rails, self.bundled, set(merged), panel)
        for entry in expand.runs(self.store, "bundles"):
            runs.bundle(entry)
        for entry in expand.runs(self.store, "strings"):
            runs.string(entry)
        self._check(runs)
        terminals = [*self.rails, *(t for d in self.devices.values() for t in d.terminals)]
        supply = Supply.of(self.store["supply"])
        return Wiring(self.devices, list(self.rails), self.rails, terminals, runs.wires, self.elements, runs.runs, supply)

    def _merged(self) -> dict[str, tuple[dict[str, Any], dict[str, Path]]]:
        """Parts by mark with where each key was said; keys said later are added to, or replace, those said before."""
        merged: dict[str, tuple[dict[str, Any], dict[str, Path]]] = {}
        for path, mark, told in expand.devices(self.store):
            keys, where = merged.setdefault(mark, ({}, {"": path}))
            if "kind" in keys and "kind" in told:
                self.problems.add(path, f"{mark} is {dotted(where[''])} already; a mark is given once")
            keys.update(told)
            where.update({key: (*path, key) for key in told})
        return merged

    # ---- parts ------------------------------------------------------------------------------------------------------

    def _device(self, mark: str, told: dict[str, Any], where: dict[str, Path]) -> None:
        self.where[mark] = where[""]
        kind = KINDS.get(str(told.get("kind")))
        if kind is None:
            what = f"{told['kind']!r} is unknown" if "kind" in told else "missing"
            self.problems.add((*where[""], "kind"), f"{what}{near(told.get('kind'), KINDS)}, allowed are {' '.join(sorted(KINDS))}")
            return
        for key in ("group", "place", "says"):
            if not told.get(key):
                self.problems.add((*where[""], key), "missing; every part needs a group, a place and a spoken name")
        if told.get("place") and told["place"] not in self.places:
            self.problems.add(where["place"], f"{told['place']!r} is no place, allowed are {' '.join(self.places)}")
        loads = {str(k): str(v) for k, v in told.get("load", {}).items()} | ({"A1-A2": "coil"} if kind.coil else {})
        contacts = {str(pair): str(symbol) for pair, symbol in told.get("contacts", {}).items()}
        names = [*kind.into, *kind.out, *(t for pair in [*loads, *contacts] for t in pair.split("-"))]
        positions = tuple(map(str, told.get("positions", ())))
        stands = str(told.get("stands", ""))
        if stands and stands not in positions:
            self.problems.add(where["stands"], f"{stands!r} is no position of it, allowed are {' '.join(positions) or 'none'}")
        self.devices[mark] = Device(
            mark,
            str(told["kind"]),
            str(told.get("group")),
            str(told.get("place")),
            str(told.get("says")),
            tuple(f"{mark}:{name}" for name in dict.fromkeys(names)),
            contacts,
            loads,
            str(told.get("on", "")),
            positions,
            stands,
            self._ratings(told, where, kind.ratings),
            self._poles(mark, kind, str(told.get("on", ""))),
            kind.coil,
            kind.follows,
            told=where,
        )

    def _poles(self, mark: str, kind: Kind, on: str) -> tuple[tuple[str, str], ...]:
        """Line and load terminal of each power pole; what sits on another part has that one's load side before it."""
        if not kind.pole:
            return ()
        host = KINDS.get(str(self.merged[on][0].get("kind"))) if on in self.merged else None
        line = [f"{mark}:{t}" for t in kind.into] or [f"{on}:{t}" for t in (host.out if host else ())]
        return tuple(zip(line, (f"{mark}:{t}" for t in kind.out), strict=False))

    def _ratings(self, told: dict[str, Any], where: dict[str, Path], allowed: Mapping[str, float | None]) -> dict[str, float]:
        found = {}
        for key, value in told.items():
            if key in ABOUT:
                continue
            if key not in allowed:
                words = [*ABOUT, *allowed]
                self.problems.add(where[key], f"unknown key{near(key, words)}, allowed are {' '.join(words)}")
            elif isinstance(value, bool) or not isinstance(value, int | float) or value < (allowed[key] is None) * SMALLEST:
                self.problems.add(where[key], f"{value!r} is not a positive number")
            else:
                found[key] = float(value)
        for key, default in allowed.items():
            if key not in told and default is None:
                self.problems.add(where[""], f"{key} is missing, a {told['kind']} needs it")
            found.setdefault(key, default or 0.0)
        return found

    def _elements(self, device: Device) -> None:
        where, kind = self.where[device.mark], KINDS[device.kind]
        if kind.pole == "heater":
            host = self.devices.get(device.on)
            if host is None or host.kind != "contactor3":
                self.problems.add((*where, "on"), f"{device.on!r} is no contactor; an overload relay sits on its contactor")
                return
        for n, (a, b) in enumerate(device.poles):
            self.elements.append(Element(device.mark, kind.pole, a, b, "pole", n))
        self._pairs(device, "contact", "contacts", device.contacts, [*CONTACTS, *device.positions])
        self._pairs(device, "load", "load", device.loads, list(LOADS))

    def _pairs(self, device: Device, role: str, key: str, pairs: dict[str, str], symbols: list[str]) -> None:
        """Contacts or loads of a part, by pair of terminals."""
        where = (*self.where[device.mark], key)
        for n, (pair, symbol) in enumerate(pairs.items()):
            a, dash, b = pair.partition("-")
            if not (a and dash and b) or "-" in b or a == b:
                self.problems.add(where, f"{pair!r} is no pair of terminals; write it as 13-14")
            elif symbol not in symbols:
                self.problems.add((*where, pair), f"{symbol!r} is unknown{near(symbol, symbols)}, allowed are {' '.join(symbols)}")
            else:
                self.elements.append(Element(device.mark, symbol, f"{device.mark}:{a}", f"{device.mark}:{b}", role, n))

    # ---- the whole list ---------------------------------------------------------------------------------------------

    def _check(self, runs: Runs) -> None:
        """What shows only once all wires are drawn; nothing of it where a run could not be, for then all would be missed."""
        landed: dict[str, int] = {}
        for wire in runs.wires:
            for end in (wire.a, wire.b):
                landed[end] = landed.get(end, 0) + 1
        ends = {frozenset((wire.a, wire.b)) for wire in runs.wires}
        for element in self.elements:
            if frozenset((element.a, element.b)) in ends:
                self.problems.add(self.where[element.device], f"a wire joins both ends of {element.a} and {element.b}")
        plugged = {element.a for element in self.elements if element.symbol == "heater"}
        for device in self.devices.values():
            where = self.where[device.mark]
            for terminal in (t for t in device.terminals if landed.get(t, 0) > MOST_WIRES):
                text = f"{landed[terminal]} wires under one screw at {terminal}, allowed are {MOST_WIRES}"
                self.problems.add(where, text)
            bare = [t for t in device.terminals if not landed.get(t) and t not in plugged]
            if bare and not runs.broken:
                self.problems.add(where, f"no wire lands on {' '.join(bare)}; wire each or take it off the list")

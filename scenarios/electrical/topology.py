"""What the kernel needs to know of a store's wiring and no fault changes: indices, all by place in the elimination order."""

import itertools
from collections.abc import Iterable
from typing import Any

import numpy as np

from scenarios.compiling.quantities import table
from scenarios.electrical import layouts
from scenarios.electrical.layouts import (
    DriveAt,
    Guard,
    LoadAt,
    MotorAt,
    Mover,
    Net,
    PathAt,
    ProtectorAt,
    SwitchAt,
    TransformerAt,
    WireAt,
)
from scenarios.electrical.sparse import program_for
from scenarios.electrical.wiring import Element, Wiring

SYMBOLS = {
    "breaker": layouts.BREAKER,
    "fuse": layouts.FUSE,
    "contactor": layouts.POLE,
    "heater": layouts.HEATER,
    "no": layouts.MAKE,
    "nc": layouts.BREAK,
    "p-no": layouts.FOLLOW,
    "p-nc": layouts.FOLLOW,
    "f-no": layouts.FOLLOW,
    "drive-fault": layouts.FAULT,
}
BONDS = "bond"
"""Name that a bonding conductor's wire begins with."""


def bonds(wiring: Wiring) -> list[tuple[str, str, str]]:
    """Bonding conductors that the rails imply: name and two ends."""
    earth = next((name for name, rail in wiring.rail_kinds.items() if rail.kind == "earth"), "")
    return [(f"{BONDS} {name}", name, earth) for name, rail in wiring.rail_kinds.items() if rail.bonded and earth]


def all_wires(wiring: Wiring) -> list[tuple[str, str, str]]:
    """Name and ends of every conductor of the network: the list's wires, then the bonds."""
    return [(w.name, w.a, w.b) for w in wiring.wires] + bonds(wiring)


def neighbours(wiring: Wiring) -> list[tuple[str, str, float]]:
    """Conductors of one string that run side by side to another place: the two terminals they meet at, and the metres."""
    found = []
    by_name = {wire.name: wire for wire in wiring.wires}
    for run in wiring.runs:
        wires = [by_name[name] for name in run.wires]
        for left, right in itertools.pairwise(wires):
            metres = min(left.metres, right.metres)
            if run.kind == "string" and metres > 1.0 and left.b != right.a:
                found.append((left.b, right.a, metres))
    return found


def of_kind(wiring: Wiring, kind: str) -> list[str]:
    """Marks of one kind, in order of the list."""
    return [mark for mark, device in wiring.devices.items() if device.kind == kind]


def _pairs(ends: list[int]) -> list[tuple[int, int]]:
    return [(a, b) for n, a in enumerate(ends) for b in ends[n + 1 :]]


def _leads(wiring: Wiring, mark: str, names: str) -> list[int]:
    return [wiring.node[f"{mark}:{name}"] for name in names.split()]


def driven_motor(wiring: Wiring, drive: str) -> tuple[str, str]:
    """The motor a drive's output leads to, and the first contactor on the way; empty where there is none."""
    reached, contactor, seen = [f"{drive}:U"], "", {f"{drive}:U"}
    while reached:
        here = reached.pop()
        device = wiring.devices.get(wiring.part(here))
        if device is None or (device.mark != drive and device.kind == "drive3"):
            continue
        if device.kind == "motor3":
            return device.mark, contactor
        if device.kind == "contactor3" and not contactor:
            contactor = device.mark
        joined = [{w.a, w.b} for w in wiring.wires_at[here]] + [{e.a, e.b} for e in wiring.elements if e.role == "pole"]
        fresh = {end for ends in joined if here in ends for end in ends} - seen
        seen |= fresh
        reached += sorted(fresh)
    return "", contactor


def build(wiring: Wiring, extra: list[tuple[int, int]]) -> Net:
    """Plan the elimination and lay out every index.

    Parameters
    ----------
    wiring : Wiring
        The checked list.
    extra : list of pairs
        Node numbers joined by jumpers and shorts beside the list. [-]
    """
    node = wiring.node
    wires = [(node[a], node[b]) for _, a, b in all_wires(wiring)]
    switches = [e for e in wiring.elements if e.role != "load"]
    loads = [e for e in wiring.elements if e.role == "load"]
    motors = [_leads(wiring, mark, "T1 T2 T3") for mark in of_kind(wiring, "motor3")]
    transformers = [_leads(wiring, mark, "H1 H4 X1 X2") for mark in of_kind(wiring, "transformer")]
    drives = [(_leads(wiring, mark, "L1 L2 L3"), _leads(wiring, mark, "U V W")) for mark in of_kind(wiring, "drive3")]
    near = [(node[a], node[b]) for a, b, _ in neighbours(wiring)]
    joined = [*wires, *((node[e.a], node[e.b]) for e in [*switches, *loads]), *near, *extra]
    for ends in [*motors, *transformers, *(line for line, _ in drives)]:
        joined += _pairs(ends)
    changing = [end for ends in [*motors, *(end for both in drives for end in both)] for end in ends]
    program, place, entry = program_for(len(wiring.terminals), joined, changing)

    def at(a: int, b: int) -> int:
        return entry[min(place[a], place[b]), max(place[a], place[b])]

    def path(a: int, b: int) -> tuple[int, int, int]:
        return place[a], place[b], at(a, b)

    number = {mark: n for n, mark in enumerate(wiring.devices)}
    beside = {end: n for n, e in enumerate(switches) for end in (e.a, e.b)}
    jumpers = [PathAt(*path(a, b)) for a, b in extra] + [PathAt()] * (layouts.JUMPERS - len(extra))
    return Net(
        program,
        np.array(place, np.int64),
        table([WireAt(*path(node[a], node[b]), beside.get(a, -1), beside.get(b, -1)) for _, a, b in all_wires(wiring)], WireAt),
        table([SwitchAt(*path(node[e.a], node[e.b]), *_moved_by(wiring, e, number)) for e in switches], SwitchAt),
        table([LoadAt(*path(node[e.a], node[e.b]), number[e.device]) for e in loads], LoadAt),
        table([_motor(ends, place, at) for ends in motors], MotorAt),
        table([TransformerAt(*(at(a, b) for a, b in _pairs(ends))) for ends in transformers], TransformerAt),
        table([_drive(wiring, mark, place, at, loads, number) for mark in of_kind(wiring, "drive3")], DriveAt),
        np.array([place[t] for mark in of_kind(wiring, "service") for t in _leads(wiring, mark, "L1 L2 L3")], np.int64),
        table([PathAt(*path(a, b)) for a, b in near], PathAt),
        np.array([metres for _, _, metres in neighbours(wiring)], np.float64),
        table(protectors(wiring, switches, number), ProtectorAt),
        table(movers(wiring, loads, number), Mover),
        np.array([number[mark] for mark in followers(wiring)], np.int64),
        table(guards(wiring, number), Guard),
        table(jumpers),
    )


def _three(found: Iterable[int]) -> layouts.Three:
    a, b, c = found
    return a, b, c


def _motor(ends: list[int], place: list[int], at: Any) -> MotorAt:
    """Places of a motor's leads, entries of the three pairs, and whether each entry runs backward."""
    pairs = [(ends[i], ends[(i + 1) % 3]) for i in range(3)]
    return MotorAt(
        _three(place[t] for t in ends), _three(at(a, b) for a, b in pairs), _three(int(place[a] > place[b]) for a, b in pairs)
    )


def _moved_by(wiring: Wiring, element: Element, number: dict[str, int]) -> list[int]:
    """What closes a switch, its device, and the position of a selector."""
    return [SYMBOLS.get(element.symbol, layouts.POSITION), number[element.device], _spot(wiring, element)]


def _spot(wiring: Wiring, element: Element) -> int:
    positions = wiring.devices[element.device].positions
    return positions.index(element.symbol) if element.symbol in positions else -1


def _drive(wiring: Wiring, mark: str, place: list[int], at: Any, loads: list[Element], number: dict[str, int]) -> DriveAt:
    line, out = _leads(wiring, mark, "L1 L2 L3"), _leads(wiring, mark, "U V W")
    motor, contactor = driven_motor(wiring, mark)
    return DriveAt(
        _three(place[t] for t in line),
        _three(place[t] for t in out),
        _three(at(line[i], line[(i + 1) % 3]) for i in range(3)),
        run_input=next((n for n, e in enumerate(loads) if e.device == mark and e.symbol == "input"), -1),
        motor=of_kind(wiring, "motor3").index(motor) if motor else -1,
        contactor=number.get(contactor, -1),
        part=number[mark],
    )


def followers(wiring: Wiring) -> list[str]:
    """Marks of the parts whose contacts the plant moves, in order of the list."""
    return [mark for mark, device in wiring.devices.items() if device.follows]


def protectors(wiring: Wiring, switches: list[Element], number: dict[str, int]) -> list[ProtectorAt]:
    """Every element that heat opens."""
    sorts = {"breaker": layouts.LATCH, "heater": layouts.HEATERS, "fuse": layouts.LINK}
    return [ProtectorAt(n, number[e.device], sorts[e.symbol]) for n, e in enumerate(switches) if e.symbol in sorts]


def movers(wiring: Wiring, loads: list[Element], number: dict[str, int]) -> list[Mover]:
    """Part and coil of everything a coil moves; relays are faster than contactors, small contactors than large."""
    found = []
    for n, e in enumerate(loads):
        device = wiring.devices[e.device]
        if e.symbol == "coil" and device.coil:
            found.append((1 if device.poles else 0, device.ratings.get("VA", 0.0), number[e.device], n))
    return [Mover(part, load) for _, _, part, load in sorted(found)]


def guards(wiring: Wiring, number: dict[str, int]) -> list[Guard]:
    """Motor protectors and the motor of their group."""
    motors = of_kind(wiring, "motor3")
    groups = {wiring.devices[mark].group: n for n, mark in enumerate(motors)}
    return [
        Guard(number[mark], groups[wiring.devices[mark].group])
        for mark in of_kind(wiring, "motor_protector")
        if wiring.devices[mark].group in groups
    ]

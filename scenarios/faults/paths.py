"""Parameter paths of changes: which row and field of which table a change edits.

Plant paths name table, row and field: ``circuits[8].valve_share``, ``condenser.nozzles``. Electrical paths say it in the words of
the trade: ``pole_burnt K5 0``, ``joint_ohms K5:1``, ``node_leak M5:T1``; `WORDS_OF` explains each.
"""

import re
from collections.abc import Callable
from typing import NamedTuple

from scenarios.electrical.wiring import Element, Wiring
from scenarios.errors import BadRequest


class Spot(NamedTuple):
    """One cell: table, row and field."""

    table: str
    row: int
    field: str


PLANT = re.compile(r"([a-z_]+)(?:\[(\d+)\])?\.([a-z_]+)")


def plant(path: str) -> list[Spot]:
    """The cell of a plant path.

    >>> plant("circuits[8].valve_share")
    [Spot(table='circuits', row=8, field='valve_share')]
    """
    found = PLANT.fullmatch(path)
    if found is None:
        raise BadRequest(f"{path!r} is not a plant path; write table[row].field, as circuits[8].valve_share")
    return [Spot(found[1], int(found[2] or 0), found[3])]


def spots(wiring: Wiring, side: str, path: str) -> list[Spot]:
    """The cells of a path on either side, electrical or plant."""
    return plant(path) if side == "plant" else electrical(wiring, path)


def electrical(wiring: Wiring, path: str) -> list[Spot]:
    """The cells of an electrical path; several where it edits all poles of a part.

    Raises
    ------
    BadRequest
        Unknown word, or a target that the store does not have.
    """
    word, *target = path.split()
    if word not in WORDS_OF:
        raise BadRequest(f"{path!r}: unknown word {word!r}; there are {', '.join(WORDS_OF)}")
    found = WORDS_OF[word][0](wiring, *target)
    if not found:
        raise BadRequest(f"{path!r}: this store has no such thing; check mark, pole or terminal")
    return found


def _rows(wiring: Wiring, wanted: Callable[[Element], bool], among: Callable[[Element], bool]) -> list[int]:
    """Rows of the elements that are wanted, counted among those of one table."""
    return [row for row, element in enumerate(e for e in wiring.elements if among(e)) if wanted(element)]


def _switching(element: Element) -> bool:
    return element.role != "load"


def _pole(field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, mark: str, index: str) -> list[Spot]:
        rows = _rows(wiring, lambda e: (e.device, e.role, e.pole) == (mark, "pole", int(index)), _switching)
        return [Spot("switches", row, field) for row in rows]

    return cells


def _pair(table: str, field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, mark: str, pair: str) -> list[Spot]:
        ends = tuple(f"{mark}:{end}" for end in pair.split("-"))
        among = _switching if table == "switches" else (lambda e: not _switching(e))
        return [Spot(table, row, field) for row in _rows(wiring, lambda e: (e.a, e.b) == ends, among)]

    return cells


def _part(field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, mark: str) -> list[Spot]:
        return [Spot("devices", row, field) for row, name in enumerate(wiring.devices) if name == mark]

    return cells


def _kind(table: str, kind: str, field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, mark: str, index: str = "") -> list[Spot]:
        name = field.split("/")[int(index)] if index else field
        marks = [device.mark for device in wiring.devices.values() if device.kind == kind]
        return [Spot(table, row, name) for row, other in enumerate(marks) if other == mark]

    return cells


def _protector(field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, mark: str) -> list[Spot]:
        rows = _rows(wiring, lambda e: e.device == mark, lambda e: e.symbol in ("breaker", "heater", "fuse"))
        return [Spot("protectors", row, field) for row in rows]

    return cells


def _joint(wiring: Wiring, terminal: str, name: str = "") -> list[Spot]:
    ends = [
        (row, wire.name, end, field)
        for row, wire in enumerate(wiring.wires)
        for end, field in ((wire.a, "joint_a"), (wire.b, "joint_b"))
    ]
    return [Spot("wires", row, field) for row, wire, end, field in ends if end == terminal and name in ("", wire)]


def _wire(field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, name: str) -> list[Spot]:
        return [Spot("wires", row, field) for row, wire in enumerate(wiring.wires) if wire.name == name]

    return cells


def _node(field: str) -> Callable[..., list[Spot]]:
    def cells(wiring: Wiring, terminal: str) -> list[Spot]:
        return [Spot("nodes", wiring.node[terminal], field)] if terminal in wiring.node else []

    return cells


def _phase(wiring: Wiring, index: str) -> list[Spot]:
    return [Spot("phases", int(index), "lost")] if index in ("0", "1", "2") else []


WORDS_OF: dict[str, tuple[Callable[..., list[Spot]], str]] = {
    "pole_burnt": (_pole("burnt"), "PART POLE: that power pole, fuse or heater is open for good"),
    "pole_welded": (_pole("welded"), "PART POLE: that power pole is closed for good"),
    "contact_burnt": (_pair("switches", "burnt"), "PART PAIR: that contact is open for good"),
    "contact_welded": (_pair("switches", "welded"), "PART PAIR: that contact is closed for good"),
    "load_open": (_pair("loads", "opened"), "PART PAIR: that coil is open"),
    "load_shorted": (_pair("loads", "shorted"), "PART PAIR: that coil is shorted"),
    "part_stuck": (_part("stuck"), "PART: 1 stuck as moved, -1 stuck as at rest"),
    "pull_in": (_part("pull_in"), "PART: volts over rated at which the coil pulls in [-]"),
    "joint_ohms": (_joint, "TERMINAL [WIRE]: resistance of the joint [ohm]"),
    "wire_broken": (_wire("broken"), "WIRE: conductor open"),
    "wire_leak": (_wire("leak"), "WIRE: leakage of its insulation to earth [S]"),
    "wire_track": (_wire("track"), "WIRE: carbonised path to earth [S]"),
    "node_leak": (_node("leak"), "TERMINAL: leakage to earth [S]"),
    "node_track": (_node("track"), "TERMINAL: carbonised path to earth [S]"),
    "winding_ohms": (_kind("motors", "motor3", "open_1/open_2/open_3"), "MOTOR WINDING: added resistance [ohm]"),
    "winding_short": (_kind("motors", "motor3", "short_12/short_23/short_31"), "MOTOR WINDING: path past the winding [S]"),
    "seized": (_kind("motors", "motor3", "seized"), "MOTOR: shaft cannot turn"),
    "friction": (_kind("motors", "motor3", "friction"), "MOTOR: rotational loss [W]"),
    "trip_share": (_protector("weak"), "PART: true over marked trip rating [-]"),
    "dial": (_protector("rating"), "PART: trip rating as set [A]"),
    "primary_open": (_kind("transformers", "transformer", "primary_open"), "PART: primary winding open"),
    "secondary_open": (_kind("transformers", "transformer", "secondary_open"), "PART: secondary winding open"),
    "drive_blind": (_kind("drives", "drive3", "blind"), "PART: run input dead"),
    "drive_dead": (_kind("drives", "drive3", "dead"), "PART: no output whatever it is told"),
    "phase_lost": (_phase, "LINE: that line of the supply is open upstream"),
}
"""Words of electrical paths: how the cell is found, and what the word takes and means."""

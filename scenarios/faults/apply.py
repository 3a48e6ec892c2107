"""Putting a fault into a world and taking it out: cells of parameter tables, nothing else.

A side is anything whose attributes are tables of records: the electrical parameters and the plant of one world. The *sound* sides
are those of a healthy store; relative changes start from them and mending copies from them.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from scenarios.electrical.wiring import Wiring
from scenarios.faults import paths
from scenarios.faults.catalogue import Change, Fault

Sides = Mapping[str, Any]
"""``{"electrical": Parameters, "plant": Plant}``."""


def spots(change: Change, wiring: Wiring) -> list[paths.Spot]:
    """Cells that a change edits."""
    return paths.plant(change.path) if change.side == "plant" else paths.electrical(wiring, change.path)


def put(fault: Fault, sides: Sides, sound: Sides, wiring: Wiring, severity: int = 0) -> None:
    """Put a fault into a world.

    Parameters
    ----------
    fault : Fault
        What breaks.
    sides, sound : mapping
        Tables of the world, and of the same store healthy.
    wiring : Wiring
        The store's wiring list.
    severity : int
        0 mildest [-].
    """
    for change, spot in _edits(fault, wiring):
        healthy = getattr(sound[change.side], spot.table)[spot.field][spot.row].item()
        getattr(sides[change.side], spot.table)[spot.field][spot.row] = change.of(healthy, severity)


def mend(fault: Fault, sides: Sides, sound: Sides, wiring: Wiring) -> None:
    """Take a fault out of a world: every cell it edits as in the healthy store."""
    for change, spot in _edits(fault, wiring):
        healthy = getattr(sound[change.side], spot.table)[spot.field][spot.row]
        getattr(sides[change.side], spot.table)[spot.field][spot.row] = healthy


def mended_by(fault: Fault, line: str) -> bool:
    """Whether a step mends a fault: the beginning of the line is one of its mends, word by word.

    >>> from scenarios.faults.catalogue import Fault
    >>> mended_by(Fault("x", "F5", "set_wrong", "", "", 1, (), ("set F5",)), "set F5 4.4")
    True
    """
    words = line.split()
    return any(words[: len(mend.split())] == mend.split() for mend in fault.mends)


def _edits(fault: Fault, wiring: Wiring) -> Iterator[tuple[Change, paths.Spot]]:
    for change in fault.changes:
        for spot in spots(change, wiring):
            yield change, spot

"""Which of all that produces a ticket are suspects: everything, or by a rule that a key names and anybody can work out again.

A store's condenser has a hundred ways to fail, most of them the same on another pole. A key that says ``one_of_each`` takes one of
each kind of fault on each branch of the wiring: on the part at fault if that can have it, on the line of the fault where there are
lines, as bad as it gets, and then the first by name. Of the true fault itself every place on its part stays, because which pole it
is must be found.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from scenarios.faults.catalogue import Fault
from scenarios.parts.kind import Part
from scenarios.store.model import Store

Row = dict[str, Any]
"""A fault by ``id``, and its ``severity``."""


def branch(store: Store, mark: str) -> str:
    """Branch of the wiring that a part is on; of the plant what it belongs to, or itself."""
    if mark in store.wiring.devices:
        return store.wiring.devices[mark].group
    owner = store.parts[mark].owner
    return owner.mark if owner else mark


def line(part: Part, at: str) -> int:
    """Which line of a supply a place on a part is on, counted from 0; -1: none in particular. [-]"""
    for side in (part.kind.into, part.kind.out):
        for n, terminal in enumerate(side):
            if at == f"{part.mark}:{terminal}":
                return n
    return -1


def one_of_each(found: Sequence[Row], faults: Mapping[str, Fault], truth: Mapping[str, Any], store: Store) -> list[Row]:
    """One of each kind of fault on each branch, and every place of the true one."""
    part = str(truth["part"])
    true_line = line(store.parts[part], str(truth.get("where", "")))

    def rank(row: Row) -> tuple[bool, bool, int, str]:
        fault = faults[row["id"]]
        same_line = line(store.parts[fault.part], fault.at) == true_line
        return fault.part != part, not same_line, -int(row["severity"]), fault.id

    groups: dict[tuple[str, ...], list[Row]] = {}
    for row in found:
        fault = faults[row["id"]]
        true = fault.part == part and fault.mode == truth["mode"]
        groups.setdefault((fault.entry, branch(store, fault.part), *[fault.at] * true), []).append(row)
    return [min(rows, key=rank) for rows in groups.values()]


def chosen(rule: str, found: Sequence[Row], faults: Sequence[Fault], truth: Mapping[str, Any], store: Store) -> list[Row]:
    """Suspects by the rule of a key, in order of their names."""
    rows = list(found) if rule == "all" else one_of_each(found, {fault.id: fault for fault in faults}, truth, store)
    return sorted(rows, key=lambda row: (row["id"], row["severity"]))

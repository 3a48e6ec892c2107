"""What crosses between wiring and plant, from the roles in a store's tree: rows of two places each (`loop.Ties`)."""

from collections.abc import Iterator

import numpy as np

from scenarios.electrical.topology import followers, of_kind
from scenarios.loop import Ties
from scenarios.parts.kind import Part, Tie
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import INPUTS, OUTPUTS, place_of
from scenarios.store.model import Store

SIDES = {"motor": ("motors", INPUTS), "load": ("loads", INPUTS), "follower": ("followers", OUTPUTS)}
SIDES |= {"shaft": ("shafts", OUTPUTS), "drive": ("drives", OUTPUTS)}
"""Table of ties, and ports of the plant, by what a tie joins in the wiring."""


def told(store: Store) -> Iterator[tuple[Part, Tie]]:
    """Every tie of a store, with the wired part on its one side."""
    for mark, has in store.has.items():
        for name, part in has.items():
            for tie in store.parts[mark].kind.roles[name].ties:
                yield part, tie


def rows(store: Store) -> dict[str, dict[str, int]]:
    """Row of a mark in every table of the wiring that can be tied; of a part with several loads the last."""
    motors = {mark: n for n, mark in enumerate(of_kind(store.wiring, "motor3"))}
    loads = [element.device for element in store.wiring.elements if element.role == "load"]
    return {
        "motors": motors,
        "shafts": motors,
        "loads": {mark: n for n, mark in enumerate(loads)},
        "followers": {mark: n for n, mark in enumerate(followers(store.wiring))},
        "drives": {mark: n for n, mark in enumerate(of_kind(store.wiring, "drive3"))},
    }


def ties(store: Store, plant: Plant) -> Ties:
    """Rows of all ties of a store.

    Parameters
    ----------
    store : Store
        What its file says.
    plant : Plant
        A plant of it; only the lengths of its tables are read.
    """
    wired = rows(store)
    found: dict[str, list[tuple[int, int]]] = {name: [] for name in Ties._fields}
    for part, tie in told(store):
        table, ports = SIDES[tie.wiring]
        found[table].append((place_of(plant, ports, tie.port, part.row), wired[table][part.mark]))
    return Ties(**{name: np.array(sorted(each), np.int64).reshape(len(each), 2) for name, each in found.items()})

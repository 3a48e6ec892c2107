"""What crosses between plant and wiring, from the roles in which the plant of a store names its wired parts."""

from collections.abc import Iterator

import numpy as np

from scenarios.electrical.network import Network
from scenarios.loop import Ties
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import INPUTS, OUTPUTS, place_of
from scenarios.store.model import Store

FIELDS = {"motor": "motors", "load": "loads", "follower": "followers", "shaft": "shafts", "drive": "drives"}
"""Fields of `Ties` by the word of a kind's tie."""
INTO_PLANT = ("motor", "load")
"""What the wiring tells the plant; the other words say what the plant tells the wiring."""


def rows(store: Store, network: Network, plant: Plant) -> Iterator[tuple[str, int, int]]:
    """Field of `Ties`, place in the plant's flat array, row of the wiring's table."""
    motors = {mark: n for n, mark in enumerate(network.motors)}
    tables = {
        "motor": motors,
        "shaft": motors,
        "load": {element.device: n for n, element in enumerate(network.loads)},
        "follower": {mark: n for n, mark in enumerate(network.followers)},
        "drive": {mark: n for n, mark in enumerate(network.drives)},
    }
    for unit in (unit for rack in store.racks for unit in rack.units):
        for name, part in unit.has.items():
            for tie in unit.part.kind.roles[name].ties:
                ports = INPUTS if tie.wiring in INTO_PLANT else OUTPUTS
                yield FIELDS[tie.wiring], place_of(plant, ports, tie.port, unit.part.row), tables[tie.wiring][part.mark]


def ties(store: Store, network: Network, plant: Plant) -> Ties:
    """Rows of all that crosses, in the order of the store's tree."""
    found: dict[str, list[tuple[int, int]]] = {name: [] for name in Ties._fields}
    for field, place, row in rows(store, network, plant):
        found[field].append((place, row))
    return Ties(**{name: np.array(pairs, np.int64).reshape(len(pairs), 2) for name, pairs in found.items()})

"""Whether locks hang on everything that could feed a part: from the wiring list alone, as a careful person reads a drawing.

Every contact may close and every load may pass volts on, so only a lock parts a circuit; earth feeds nothing.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator

from scenarios.electrical.wiring import Wiring

EARTH = "PE"


def joined(wiring: Wiring, locked: Collection[str]) -> dict[str, set[str]]:
    """Terminals that volts could pass between with some parts locked off: wires, contacts, loads, a transformer's two sides."""
    beside: dict[str, set[str]] = defaultdict(set)
    for a, b in _pairs(wiring, locked):
        if EARTH not in (a, b):
            beside[a].add(b)
            beside[b].add(a)
    return beside


def _pairs(wiring: Wiring, locked: Collection[str]) -> Iterator[tuple[str, str]]:
    yield from ((wire.a, wire.b) for wire in wiring.wires)
    yield from ((element.a, element.b) for element in wiring.elements if element.device not in locked)
    for device in wiring.devices.values():
        if device.kind == "transformer":
            yield from ((device.terminals[0], terminal) for terminal in device.terminals[1:])


def locked_off(wiring: Wiring, mark: str, locked: Collection[str]) -> bool:
    """Whether nothing can feed a part while some disconnects are locked off.

    Parameters
    ----------
    wiring : Wiring
        Of the store.
    mark : str
        The part that hands go to.
    locked : collection of str
        Disconnects on which a lock hangs.
    """
    beside = joined(wiring, locked)
    sources = [terminal for device in wiring.devices.values() if device.kind == "service" for terminal in device.terminals]
    reached, edge = set(sources), list(sources)
    while edge:
        for terminal in beside[edge.pop()] - reached:
            reached.add(terminal)
            edge.append(terminal)
    device = wiring.devices[mark]
    own = {*device.terminals, *(end for pole in device.poles for end in pole)}
    return not own & reached

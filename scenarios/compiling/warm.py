"""Compile every entry point once, with a line of progress for each: ``python -m scenarios.compiling.warm GROUP``.

Run by `kernel.prepare` with the compiler's cache pointed at a new folder: groups ``wiring`` and ``plant`` at the same
time, as evenly as may be. Half way each says so; the wiring's then waits until the plant's code has been copied to its folder.
"""

import gc
import sys
from collections.abc import Callable, Iterator
from typing import Any

from scenarios.compiling.kernel import HALF_WAY, build
from scenarios.electrical import probes
from scenarios.electrical import step as wiring_step
from scenarios.electrical.network import Network
from scenarios.refrigeration import rack
from scenarios.site import World
from scenarios.store import read
from scenarios.store.model import Store

CALL: dict[str, Any] = {"starts": "00:00", "weather": [[-1, 77, 72], [1, 77, 72]], "noise": [[-0.5, 9, 5]]}
"""Weather enough to run a minute."""


def store() -> Store:
    """The store that everything is compiled for."""
    return read.load("corner_market")


def machine(world: World) -> tuple[Any, ...]:
    """What a step of the plant takes."""
    return world.plant, world.plant_in, world.plant_out, 5.0


def wiring() -> Iterator[str]:
    """The network in time; then plant and network on one clock."""
    yield "network of the store"
    build(wiring_step.step, *Network.build(store().wiring).blocks, 5.0)
    yield HALF_WAY
    sys.stdin.readline()
    yield "plant and network on one clock"
    world = World.at_rest(store(), CALL, -3600.0, 2)
    build(rack.step, *machine(world))  # found on disk, so that it is not translated once more for the clock
    world.network.step(5.0)
    world.advance(60.0)


def plant() -> Iterator[str]:
    """The plant; then gauges, and instruments on the network."""
    yield "plant"
    world = World.at_rest(store(), CALL, -3600.0, 2)
    build(rack.step, *machine(world))
    yield HALF_WAY
    yield "gauges"
    for name in world.store.points:
        world.point(name)
    net, par, state, inputs, _ = world.network.blocks
    scratch = world.network.state.volts.copy()
    yield "meter"
    build(probes.solve_present, net, par, state, inputs)
    build(probes.across, net, state, 0, 1, scratch)
    build(probes.to_earth, net, state, 0, scratch)
    yield "ohms and insulation"
    build(probes.solve_direct, net, par, state, True)
    build(wiring_step.bring_back, net, par, state)


GROUPS: dict[str, Callable[[], Iterator[str]]] = {"wiring": wiring, "plant": plant}


def main(group: str) -> None:
    """Do the parts of one group."""
    gc.disable()  # a compiler makes few rings and millions of small things that a collector would look at again and again
    for says in GROUPS[group]():
        print(says if says == HALF_WAY else f"{group}: {says}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1])

"""Compile every entry point once, with a line of progress for each: ``python -m scenarios.compiling.warm GROUP``.

Run by `kernel.prepare` with the compiler's cache pointed at a new folder: groups ``wiring`` and ``plant`` at the same
time, as evenly as may be. Half way each says so; before its last part the plant's waits until the wiring's code has been copied to
its folder.
"""

import gc
import sys
from collections.abc import Callable
from typing import Any

from scenarios.compiling.kernel import build
from scenarios.compiling.progress import HALF_WAY, PARTS
from scenarios.electrical import probes
from scenarios.electrical import step as wiring_step
from scenarios.electrical.network import Network
from scenarios.refrigeration import rack
from scenarios.site import World
from scenarios.store import files as store_files
from scenarios.store.model import Store

CALL: dict[str, Any] = {"starts": "00:00", "weather": [[-1, 77, 72], [1, 77, 72]], "noise": [[-0.5, 9, 5]]}
"""Weather enough to run a minute."""


def store() -> Store:
    """The store that everything is compiled for."""
    return store_files.load("corner_market")


def machine(world: World) -> tuple[Any, ...]:
    """What a step of the plant takes."""
    return world.plant, world.plant_in, world.plant_out, 5.0


def network() -> None:
    """The network in time."""
    build(wiring_step.go_on, *Network.build(store().wiring).blocks, 5.0)


def clock() -> None:
    """Plant and network together; waits until the network's code has been copied here."""
    sys.stdin.readline()
    world = World.at_rest(store(), CALL, -3600.0, 2)
    build(wiring_step.go_on, *world.network.blocks, 5.0)  # found on disk, so that it is not translated once more for the clock
    world.network.step(5.0)
    world.advance(60.0)


def plant() -> None:
    """The plant in time."""
    build(rack.step, *machine(World.at_rest(store(), CALL, -3600.0, 2)))


def gauges() -> None:
    """Every test point of the plant."""
    world = World.at_rest(store(), CALL, -3600.0, 2)
    for name in world.store.points:
        world.point(name)


def meter() -> None:
    """Volts and amps anywhere."""
    net, par, state, inputs, _ = (built := Network.build(store().wiring)).blocks
    scratch = built.state.volts.copy()
    build(probes.solve_present, net, par, state, inputs)
    build(probes.across, net, state, 0, 1, scratch)
    build(probes.to_earth, net, state, 0, scratch)


def ohms() -> None:
    """The network to a direct current, and back from there."""
    net, par, state, *_ = Network.build(store().wiring).blocks
    build(probes.solve_direct, net, par, state, True)
    build(wiring_step.bring_back, net, par, state)


GROUPS: dict[str, tuple[Callable[[], None], ...]] = {"wiring": (network, meter, ohms), "plant": (plant, gauges, clock)}
"""What is done for each of `progress.PARTS`."""


def main(group: str) -> None:
    """Do the parts of one group."""
    gc.disable()  # a compiler makes few rings and millions of small things that a collector would look at again and again
    for title, part in zip(PARTS[group], GROUPS[group], strict=True):
        print(f"{group}: {title}", flush=True)
        part()
        if title == PARTS[group][0]:
            print(HALF_WAY, flush=True)


if __name__ == "__main__":
    main(sys.argv[1])

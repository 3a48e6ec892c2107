"""Compile every entry point once, with a line of progress for each: ``python -m scenarios.warm GROUP``.

Run by `scenarios.kernel.prepare` with the compiler's cache pointed at a new folder: groups ``wiring`` and ``plant`` at the same
time, as evenly as may be. Half way each says so; the wiring's then waits until the plant's code has been copied to its folder.
"""

import gc
import sys
from collections.abc import Callable, Iterator
from typing import Any

from scenarios.electrical import probes, settle, spans
from scenarios.electrical import step as wiring_step
from scenarios.electrical.network import Network
from scenarios.files import yamlfile
from scenarios.kernel import HALF_WAY, build
from scenarios.refrigeration import rack
from scenarios.site import Store, World

CALL: dict[str, Any] = {"starts": "00:00", "weather": [[-1, 77, 72], [1, 77, 72]], "noise": [[-0.5, 9, 5]]}
"""Weather enough to run a minute."""


def store() -> Store:
    """The store that everything is compiled for."""
    return Store(yamlfile.load(yamlfile.FOLDERS["store"] / "corner_market.yaml"))


def wiring() -> Iterator[str]:
    """The solver and all that asks it; then what stands on plant and wiring."""
    network = Network.build(store().wiring)
    net, par, state, inputs, _ = network.blocks
    scratch = network.state.volts.copy()
    yield "network in balance"
    build(probes.solve_present, net, par, state, inputs)
    yield "meter"
    build(probes.across, net, state, 0, 1, scratch)
    build(probes.to_earth, net, state, 0, scratch)
    yield "ohms and insulation"
    build(probes.solve_direct, net, par, state, True)
    build(wiring_step.bring_back, net, par, state)
    yield HALF_WAY
    sys.stdin.readline()
    world = World.at_rest(store(), CALL, -3600.0, 2)
    yield "network of the store"
    world.network.step(5.0)
    yield "plant and network on one clock"
    world.advance(60.0)
    yield "every instrument"
    world.volts("Q5:1", "Q5:3"), world.ohms("K5:1", "K5:2"), world.insulation("M5:T1", "PE")


def plant() -> Iterator[str]:
    """The plant, and of the wiring what needs no solver; then the gauges."""
    world = World.at_rest(store(), CALL, -3600.0, 2)
    net, par, state, inputs, outputs = world.network.kernel
    yield "plant"
    build(rack.step, world.plant, world.plant_in, world.plant_out, 5.0)
    yield "heaters, joints and coils"
    for goes_on in (spans.warm_joints, spans.turn_motors, spans.warm_drives):
        build(goes_on, net, par, state, 1.0)
    build(spans.warm_protectors, net, par, state, 1.0, True)
    build(spans.next_event, net, par, state)
    build(settle.trip_drive, net, par, state)
    build(settle.moves_fastest, net, par, state)
    build(wiring_step.take_inputs, net, par, state, inputs, 1.0)
    build(wiring_step.write_outputs, net, par, state, outputs)
    yield HALF_WAY
    yield "gauges"
    for name in world.store.points:
        world.point(name)


GROUPS: dict[str, Callable[[], Iterator[str]]] = {"wiring": wiring, "plant": plant}


def main(group: str) -> None:
    """Do the parts of one group."""
    gc.disable()  # a compiler makes few rings and millions of small things that a collector would look at again and again
    for says in GROUPS[group]():
        print(says if says == HALF_WAY else f"{group}: {says}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1])

"""Compile every entry point once, with a line of progress for each: ``python -m scenarios.warm GROUP``.

Run by `scenarios.kernel.prepare` with the compiler's cache pointed at a new folder: groups ``wiring`` and ``plant`` at the same
time, as evenly as may be, then ``rest`` on top of both.
"""

import sys
from collections.abc import Callable
from typing import Any

from scenarios.electrical import probes, settle, spans
from scenarios.electrical import step as wiring_step
from scenarios.files import yamlfile
from scenarios.kernel import build
from scenarios.refrigeration import rack
from scenarios.site import Store, World

CALL: dict[str, Any] = {"starts": "00:00", "weather": [[-1, 77, 72], [1, 77, 72]], "noise": [[-0.5, 9, 5]]}
"""Weather enough to run a minute."""
Part = tuple[str, Callable[[], Any]]


def wiring(world: World) -> list[Part]:
    """The solver and all that asks it."""
    net, par, state, inputs, _ = world.network.blocks
    scratch = world.network.state.volts.copy()

    def meter() -> None:
        build(probes.across, net, state, 0, 1, scratch)
        build(probes.to_earth, net, state, 0, scratch)

    return [
        ("network in balance", lambda: build(probes.solve_present, net, par, state, inputs)),
        ("meter", meter),
        ("ohms and insulation", lambda: build(probes.solve_direct, net, par, state, True)),
        ("looking back", lambda: build(probes.bring_back, net, par, state)),
    ]


def plant(world: World) -> list[Part]:
    """The plant, its gauges, and of the wiring what needs no solver."""
    net, par, state, inputs, outputs = world.network.kernel

    def between_events() -> None:
        for goes_on in (spans.warm_joints, spans.turn_motors, spans.warm_drives):
            build(goes_on, net, par, state, 1.0)
        build(spans.warm_protectors, net, par, state, 1.0, True)
        build(spans.next_event, net, par, state)
        build(settle.trip_drive, net, par, state)
        build(settle.moves_fastest, net, par, state)
        build(wiring_step.take_inputs, net, par, state, inputs, 1.0)
        build(wiring_step.write_outputs, net, par, state, outputs)

    return [
        ("plant", lambda: rack.step(world.plant, world.plant_in, world.plant_out, 5.0)),
        ("gauges", lambda: [world.point(name) for name in world.store.points]),
        ("heaters, joints and coils", between_events),
    ]


def rest(world: World) -> list[Part]:
    """What stands on both."""
    return [
        ("network of the store", lambda: world.network.step(5.0)),
        ("plant and network on one clock", lambda: world.advance(60.0)),
        ("every instrument", lambda: (world.volts("Q5:1", "Q5:3"), world.ohms("K5:1", "K5:2"), world.insulation("M5:T1", "PE"))),
        ("every gauge", lambda: [world.point(name) for name in world.store.points]),
    ]


GROUPS: dict[str, Callable[[World], list[Part]]] = {"wiring": wiring, "plant": plant, "rest": rest}


def main(group: str) -> None:
    """Do the parts of one group."""
    world = World.at_rest(Store(yamlfile.load(yamlfile.FOLDERS["store"] / "corner_market.yaml")), CALL, -3600.0, 2)
    parts = GROUPS[group](world)
    for n, (says, work) in enumerate(parts, 1):
        print(f"{group} {n}/{len(parts)} {says}", flush=True)
        work()


if __name__ == "__main__":
    main(sys.argv[1])

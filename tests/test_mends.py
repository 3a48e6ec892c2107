"""Does every mend of the catalogue really mend?

Each fault is put into a sound, dead store, its mend is done by hand as a step, and every parameter that the fault had changed has
to be what it was. The catalogue's `mends` are claims; this holds them to it.
"""

from typing import Any

import numpy as np
import pytest
from stores import corner_market

from scenarios.compiling.warm import CALL
from scenarios.faults import paths
from scenarios.faults.catalogue import Fault, catalogue
from scenarios.site import World
from scenarios.steps import parse
from scenarios.units import from_si
from scenarios.visit import acting
from scenarios.visit.outcome import Scene
from scenarios.visit.technician import Technician

STORE = corner_market()
FAULTS = [fault for fault in catalogue(STORE) if fault.mends]
KINDS = sorted({fault.id.split(":")[0] for fault in FAULTS})


@pytest.fixture(scope="module")
def sound() -> World:
    """A sound store that stands, cold."""
    return World.fresh(STORE, CALL, 0.0)


def cells(world: World, fault: Fault) -> list[float]:
    """What the parameters are that a fault changes."""
    found = []
    for change in fault.changes:
        spots = paths.spots(world.wiring, change.side, change.path)
        tables: Any = world.network.par if change.side == "electrical" else world.plant
        found += [float(getattr(tables, spot.table)[spot.field][spot.row]) for spot in spots]
    return found


def whole_step(fault: Fault, mend: str, sound_cells: list[float]) -> str:
    """The beginning of a step in the catalogue, made whole: a dial goes where it belongs, product to the next case."""
    if mend.startswith("set F"):
        return f"{mend} {sound_cells[0]!r}"
    if mend.startswith("set "):
        return f"{mend} {float(from_si(sound_cells[0], 'psig'))!r} psig"
    if mend.startswith("move-product"):
        return f"{mend} to {'C2' if mend.endswith(' C1') else 'C1'}"
    return mend


@pytest.mark.parametrize("kind", KINDS)
def test_mend_brings_back_what_the_fault_changed(kind: str, sound: World) -> None:
    """Is every cell as bought after each of a fault's mends, in every severity?"""
    before = {name: table.copy() for name, table in zip(type(sound.plant)._fields, sound.plant, strict=True) if name != "fluids"}
    for fault in [fault for fault in FAULTS if fault.id.split(":")[0] == kind]:
        was = cells(sound, fault)
        for mend in fault.mends:
            for severity in range(fault.severities):
                world = sound.fork()
                world.apply(fault, severity)
                assert cells(world, fault) != was, f"{fault.id} changes nothing"
                step = parse(whole_step(fault, mend, was))
                parts = [acting.handling.van_part(world, step.args[0])]
                acting.ACTING[step.verb](Scene(world, Technician(), {"van": {"parts": parts}}, 1, 0.0), step)
                assert cells(world, fault) == pytest.approx(was, rel=1e-9), f"{step.line} does not mend {fault.id}"
        if fault.changes[0].side == "plant" and not mend.startswith(("move", "set")):
            for name, table in before.items():
                assert np.array_equal(getattr(world.plant, name), table), f"{mend} also changed {name}"


def test_mend_of_one_thing_leaves_another_broken(sound: World) -> None:
    """Does a new belt leave the scale on the coil, and a new valve the ice?"""
    by = {fault.id: fault for fault in catalogue(STORE)}
    world = sound.fork()
    for name in ("fan_belt_slips:FAN", "condenser_scaled:COIL", "valve_underfeeds:XV4", "coil_iced:C4"):
        world.apply(by[name])
    iced, scaled = cells(world, by["coil_iced:C4"]), cells(world, by["condenser_scaled:COIL"])
    for name in ("FAN", "XV4", "C4"):
        acting.handling.replace(world, name)
    assert cells(world, by["coil_iced:C4"]) == iced
    assert cells(world, by["condenser_scaled:COIL"]) == scaled
    assert cells(world, by["fan_belt_slips:FAN"]) == cells(sound, by["fan_belt_slips:FAN"])

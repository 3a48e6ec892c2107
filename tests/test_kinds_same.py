"""While the kinds of parts move into modules of their own: is every word that anybody notices what it was before?

`before` holds the old code as it stood. The test goes when nothing of the old is left to compare with.
"""

import pytest
from before import senses as old
from before import tables
from stores import corner_market

from scenarios.compiling.warm import CALL
from scenarios.faults.catalogue import by_id, catalogue
from scenarios.site import World
from scenarios.visit import senses
from scenarios.visit.technician import Technician

STORE = corner_market()
PLANT = ["RECEIVER", "GLASS", "DRIER", "RACK", "COIL", "BASIN", "FLOAT", "FAN", "PUMP", "GD", "GS"]
PARTS = [
    *STORE.wiring.devices, *PLANT, *(f"{head}{n}" for head in ("C", "XV") for n in range(1, 11)),
    *(f"{head}{n}" for head in ("COMP", "OIL") for n in range(1, 5)),
]  # fmt: skip
BROKEN = [
    "", "pole_burnt:K5:1", "armature_stuck:K2", "winding_open:M3:T1", "shaft_seized:M5", "overload_set_low:F5", "drive_dead:U6",
    "power_joint:K5:1", "coil_open:SV4:1", "high_cutout_low:HP3", "control_fuse_blown:FU5:1", "transformer_primary:TR8",
    "level_switch_open:S5:3", "winding_to_earth:M1:T2", "case_fans_dead:C4", "coil_iced:C9", "valve_overfeeds:XV3",
    "charge_lost:RECEIVER",
    "drier_plugged:DRIER", "condenser_scaled:COIL", "nozzles_plugged:COIL", "fan_belt_slips:FAN", "float_stuck:FLOAT",
    "fuse_blown:FU8:1", "heater_burnt_out:E2:1",
]  # fmt: skip


@pytest.fixture(scope="module")
def settled() -> World:
    """A sound store after a day."""
    world = World.fresh(STORE, CALL, -86400.0)
    world.advance(86400.0)
    return world


def persons() -> list[Technician]:
    """Door shut; door open; covers off."""
    shut, ajar, bare = Technician(), Technician(), Technician()
    ajar.door_open = bare.door_open = True
    bare.covers |= set(STORE.wiring.devices)
    return [shut, ajar, bare]


@pytest.mark.parametrize("name", BROKEN)
def test_are_all_words_the_same(settled: World, name: str) -> None:
    world = settled.fork(trend=False)
    if name:
        fault = by_id(catalogue(STORE), name)
        world.apply(fault, fault.severities - 1)
    world.advance(4 * 3600.0)
    for part in PARTS:
        for person in persons():
            assert senses.look(world, person, part) == old.look(world, person, part), part
            assert senses.read(world, person, part) == old.read(world, person, part), part
        assert senses.listen(world, person, part) == old.listen(world, person, part), part
        assert senses.feel(world, person, part) == old.feel(world, person, part), part


def test_are_all_spares_minutes_and_places_the_same() -> None:
    for mark in PARTS:
        part = STORE.parts[mark]
        head = mark.rstrip("0123456789")
        device = STORE.wiring.devices.get(mark)
        spare = tables.SPARES.get(device.kind, "") if device else tables.PLANT_SPARES.get(head, ("", ""))[0]
        if device and device.kind == "motor3":
            spare = {"COMP": "compressor motor", "FAN": "fan motor", "PUMP": "pump motor"}[part.owner.mark.rstrip("0123456789")]
        assert (part.spare, part.minutes if spare else 0.0) == (spare, tables.REPLACE_MINUTES.get(spare, 0.0)), mark
        assert part.place == (device.place if device else tables.PLANT_PLACES[head])
        rows = tables.ACTS.get(device.kind, ["look {p}:Look"]) if device else tables.PLANT_ACTS[head]
        now = [row.replace("{other}", "C10").replace("{other_title}", "walk-in 2") for row in part.kind.acts]
        now = list(dict.fromkeys(r.replace("{position}", p) for r in now for p in ((device and device.positions) or ("",))))
        assert [row.removesuffix(":Replace") for row in now] == [row.removesuffix(":Replace") for row in rows], mark
        if device and part.kind.dial:
            assert part.kind.dial.units == tables.DIAL_UNITS[device.kind]

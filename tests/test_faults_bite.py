"""Faults in a running store: does every entry of the catalogue go in, run on with finite numbers, and move something?"""

import numpy as np
import pytest
from stores import corner_market

from scenarios.faults.catalogue import catalogue
from scenarios.files import yamlfile
from scenarios.site import World

pytestmark = pytest.mark.slow
CALLS = yamlfile.FOLDERS["call"]
LATENT = {
    "pole_welded",
    "relay_stuck_closed",
    "level_switch_closed",
    "breaker_weak",
    "overload_weak",
    "overload_set_low",
    "coil_weak",
    "high_cutout_low",
    "low_cutout_high",
    "receiver_valve_shut",
    "fan_output_stuck",
    "aux_burnt",
    "overcharged",
    "winding_to_earth",
    "float_stuck",
}
"""Entries that may wait for another load, weather or start before anything moves."""


@pytest.fixture(scope="module")
def settled():
    """A sound store after three hours of a warm night."""
    call = yamlfile.load(CALLS / "dairy_and_meat.yaml")
    world = World.fresh(corner_market(), call, -21600.0)
    world.advance(10800.0)
    return world


@pytest.fixture(scope="module")
def by_entry(settled):
    """Every fault, by the entry of the catalogue it comes from."""
    found = {}
    for fault in catalogue(settled.store):
        found.setdefault(fault.id.split(":")[0], []).append(fault)
    return found


def seen(world):
    """Every test point of the plant, every motor's amps, and how warm the oil of each compressor is."""
    points, amps = (world.point(name) for name in world.store.points), np.asarray(world.network.outputs.amps).ravel()
    return np.array([*points, *amps, *world.plant.compressor_states.oil])


def test_does_every_entry_run_on_finite_and_move_something(settled, by_entry):
    """Up to four places of each entry at its worst severity, for an hour; points in Pa or C, amps in A."""
    sound = settled.fork(trend=False)
    sound.advance(3600.0)
    base = seen(sound)
    least = np.where(np.abs(base) > 1000.0, 0.001 * np.abs(base), 0.05)
    still = set()
    for name, faults in by_entry.items():
        moved = False
        for fault in faults[:: max(1, len(faults) // 4)]:
            world = settled.fork(trend=False)
            world.apply(fault, fault.severities - 1)
            world.advance(3600.0)
            now = seen(world)
            assert np.all(np.isfinite(now)), fault.id
            moved |= bool(np.any(np.abs(now - base) > least))
        if not moved:
            still.add(name)
    assert still <= LATENT


def test_is_a_fault_put_in_twice_the_same_as_once(settled, by_entry):
    """Relative changes start from the sound value, so a second time changes nothing: bit for bit after ten minutes."""
    for name in ("overload_set_low", "bearing_worn", "high_cutout_low", "power_joint"):
        once, twice = settled.fork(trend=False), settled.fork(trend=False)
        fault = by_entry[name][0]
        once.apply(fault)
        twice.apply(fault)
        twice.apply(fault)
        once.advance(600.0)
        twice.advance(600.0)
        assert np.array_equal(seen(once), seen(twice)), name

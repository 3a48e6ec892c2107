"""Plant and wiring on one clock: balances over three days, and the same bits whichever way one gets there."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from prints import print_of
from stores import corner_market

from scenarios.faults.catalogue import by_id, catalogue
from scenarios.loop import STEP
from scenarios.refrigeration import books
from scenarios.site import World

STORE = corner_market()
FAULTS = catalogue(STORE)
CALL = {"starts": "03:35", "weather": [[-60, 72, 66], [-8, 84, 73], [6, 61, 55], [80, 75, 69]], "noise": [[0.2, 9, 12]]}
HOUR = 3600.0
FIXTURES = Path(__file__).parent / "fixtures"


@pytest.fixture(scope="module")
def _store() -> World:
    world = World.fresh(STORE, CALL, -4 * HOUR, 300)
    world.advance(4 * HOUR)
    return world


@pytest.fixture
def world(_store: World) -> World:
    """The store after four hours from cold."""
    return _store.fork()


def test_a_fork_is_the_world_run_on(world):
    twin = world.fork()
    world.advance(HOUR)
    assert print_of(twin) != print_of(world)
    twin.advance(HOUR)
    assert print_of(twin) == print_of(world)


def test_a_fork_changes_nothing_of_its_world(world):
    before = print_of(world)
    twin = world.fork()
    twin.network.operate("Q5", "off")
    twin.plant.circuits.fans[3] = 0.0
    twin.advance(600.0)
    assert print_of(world) == before


def test_pieces_are_as_good_as_one_stretch(world):
    """Looks in between and steps of any length do not matter."""
    twin = world.fork()
    world.advance(1800.0)
    for seconds in (5.0, 55.0, 600.0, 1140.0):
        twin.advance(seconds)
        twin.volts("K5:1", "K5:3")
        twin.ohms("M5:T1", "M5:T2")
        twin.point("P4")
    assert print_of(twin) == print_of(world)


@pytest.mark.parametrize("fault", ["overload_weak:F1", "winding_open:M5:T1", "drive_dead:U6", "shaft_seized:M2", "shaft_seized:M6"])
def test_a_step_at_a_time_is_as_good_as_a_stretch(world, fault):
    """Each call reads the wiring's key anew, within a stretch only what has moved makes it read: trips, melts, starts, drives."""
    world.apply(by_id(FAULTS, fault), 1)
    twin = world.fork()
    world.advance(1.5 * HOUR)
    for _ in range(1080):
        twin.advance(STEP)
    assert print_of(twin) == print_of(world)


def test_side_by_side_is_as_alone(world):
    alone = [world.fork() for _ in range(3)]
    for n, each in enumerate(alone):
        each.network.operate(f"Q{n + 1}", "off")
        each.advance(1200.0)
    together = [world.fork() for _ in range(3)]
    for n, each in enumerate(together):
        each.network.operate(f"Q{n + 1}", "off")
    with ThreadPoolExecutor(3) as pool:
        list(pool.map(lambda each: each.advance(1200.0), together))
    assert [print_of(each) for each in together] == [print_of(each) for each in alone]
    assert len({print_of(each) for each in alone}) == 3


def test_a_snapshot_goes_on_with_the_same_bits(world, tmp_path):
    np.savez_compressed(tmp_path / "world.npz", **world.snapshot())
    world.advance(HOUR)
    with np.load(tmp_path / "world.npz", allow_pickle=False) as saved:
        again = World.fresh(STORE, CALL, 0.0)
        again.restore({name: saved[name] for name in saved.files})
    again.advance(HOUR)
    assert print_of(again) == print_of(world)


@pytest.mark.slow
def test_a_fresh_process_comes_to_the_same_bits(world):
    world.advance(600.0)
    script = (
        f"import runpy, sys; sys.path.insert(0, {str(FIXTURES)!r})\n"
        f"told = runpy.run_path({__file__!r}); World = told['World']\n"
        "world = World.fresh(told['STORE'], told['CALL'], -4 * 3600.0, 300); world.advance(4 * 3600.0); world.advance(600.0)\n"
        "print(told['print_of'](world))"
    )
    made = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert made.stdout.strip() == print_of(world)


def test_doors_and_weather_come_on_time(world):
    """A walk-in propped open from minute 12 to 24 after the ticket takes in heat; the dry bulb is that of the profile."""
    shut = World(**{**vars(world.fork()), "night": world.night._replace(doors=world.night.doors[:0])})
    for each in (world, shut):
        each.advance(20 * 60.0)
    assert world.plant_in.door[8] == 1.0
    assert world.point("C9.A2") > shut.point("C9.A2")
    assert world.plant_in.outside[0].dry_bulb == pytest.approx((84 - 23 * (8 + 1 / 3 - STEP / HOUR) / 14 - 32) / 1.8, abs=1e-9)


def test_the_trend_log_has_a_row_a_minute(world):
    log = world.trends()
    assert len(log["rows"]) == 4 * 60 + 1
    assert np.isfinite(log["rows"]).all()
    assert (log["rows"][30:, 1] > log["rows"][30:, 0]).all(), "discharge over suction"


@pytest.mark.slow
def test_seventy_two_hours_close(world):
    """With the wiring driving the machines: a gram of refrigerant, and a thousandth of the condenser's heat. (Hard requirement.)"""
    before = world.fork()
    world.advance(72 * HOUR)
    rejected = abs(float(world.plant.clock[0].condensed - before.plant.clock[0].condensed))
    assert books.charge(world.plant) == pytest.approx(books.charge(before.plant), abs=1e-3)
    assert abs(books.unexplained(world.plant, before.plant)) < 1e-3 * rejected

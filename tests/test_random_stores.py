"""Stores that nobody has written, of other sizes, supplies, marks and gear, are refused in a sentence or run, drawn and toured."""

import sys
from contextlib import suppress

import numpy as np
import pytest
import random_store
import yaml
from fields import fields

from course.desk.drawing import check
from graders import replaying
from scenarios import loop
from scenarios.assignments import Assignment
from scenarios.call import Session
from scenarios.compiling.kernel import COMPILING, plain
from scenarios.errors import BadRequest
from scenarios.facts import SawKind
from scenarios.files import callfile, yamlfile
from scenarios.site import World
from scenarios.store import read
from scenarios.store.model import Store

CALL = {"starts": "03:00", "weather": [[-12, 84, 71], [12, 84, 71]], "noise": [[-1, 1, 20]]}
MANY = range(30)


def store_of(seed: int) -> Store | None:
    """The store of a seed; none where its file is refused."""
    with suppress(BadRequest):
        return read.read(yaml.load(random_store.text(seed), yamlfile.Loader))
    return None


def lives(store: Store) -> None:
    """Six hours of a store stay finite at every point, and sixty steps of it are the same in plain Python."""
    world = World.fresh(store, CALL, -6 * 3600.0, 400)
    world.advance(1800.0)
    fast, slow = world.fork(), world.fork()
    fast.advance(60 * loop.STEP)
    told = (slow.plant, slow.plant_in, slow.plant_out, slow.ties, slow.night, slow.t, 60, slow.trend, slow.trend_from)
    slow.t = plain(loop.run)(*slow.network.blocks, *told)
    compiled, slowly = fields(fast), fields(slow)
    assert [name for name in compiled if not np.array_equal(compiled[name], slowly[name], equal_nan=True)] == []
    world.advance(5.5 * 3600.0)
    assert [name for name in store.points if not np.isfinite(world.point(name))] == []
    assert all(-45.0 < world.point(f"{circuit.mark}.A1") < 45.0 for circuit in store.circuits)


@pytest.mark.slow
@pytest.mark.skipif(not COMPILING, reason="compares compiled code with plain Python")
@pytest.mark.parametrize("seed", MANY)
def test_a_random_store_is_refused_with_a_sentence_or_runs(seed: int) -> None:
    store = store_of(seed)
    if store is not None:
        lives(store)


@pytest.mark.parametrize("seed", [n if n < 6 else pytest.param(n, marks=pytest.mark.slow) for n in MANY])
def test_a_random_store_is_refused_with_a_sentence_or_drawn_whole_and_clean(seed: int) -> None:
    store = store_of(seed)
    if store is not None:
        check.check(store)


def toured(store: Store) -> None:
    """Every safe step on a machine, a circuit and a condenser fan: in the sound world all is in reach and nobody is hurt."""
    night = Assignment.of(callfile.load_call("walk_in_warm"), {"onset": -1.0, "faults": []}, store)
    world = World.fresh(store, night.outside, -3600.0, 400)
    world.advance(3600.0)
    for part in (store.compressors[-1].has["motor"], store.circuits[-1].has["solenoid"], store.fans[0].has["motor"]):
        session = Session(night, 7, world.fork())
        saws = [(line, session.do(line)) for line in replaying.tour_in(store, (part.mark,))]
        assert len(saws) > 40
        assert [(line, saw.text) for line, saw in saws if saw.kind in (SawKind.INCIDENT, SawKind.REFUSED)] == []


@pytest.mark.parametrize("seed", [n if n < 3 else pytest.param(n, marks=pytest.mark.slow) for n in MANY])
def test_a_random_store_is_refused_with_a_sentence_or_toured_safely(seed: int) -> None:
    store = store_of(seed)
    if store is not None:
        toured(store)


def test_most_random_stores_are_accepted_by_every_check(tmp_path) -> None:
    """A generator whose stores are all refused would prove nothing; the first six, gear and charges included."""
    path, accepted = tmp_path / "random_store.yaml", 0
    for seed in range(6):
        path.write_text(random_store.text(seed), "utf-8")
        accepted += not callfile.examined(path, "store")[1]
    assert accepted >= 5


def test_random_stores_differ_in_what_matters() -> None:
    """Among the thirty: all supplies, both frequencies, one and two racks, both condensers, drives, cold groups, other places."""
    stores = [store for store in map(store_of, MANY) if store is not None]
    assert {store.supply.title for store in stores} == {"480Y/277 V, 60 Hz", "208Y/120 V, 60 Hz", "400Y/230 V, 50 Hz"}
    assert {len(store.racks) for store in stores} == {1, 2}
    assert {len(store.groups) for store in stores} >= {1, 2, 3}
    assert {rack.condenser.part.kind.name for store in stores for rack in store.racks} == {"condenser_evaporative", "condenser_air"}
    assert any("drive" in fan.has for store in stores for fan in store.fans)
    assert any("heater" in circuit.has for store in stores for circuit in store.circuits)
    assert len({tuple(store.places) for store in stores}) == 2
    assert len({rack.refrigerant for store in stores for rack in store.racks}) >= 3


def test_a_store_without_a_drive_is_solved_at_its_own_frequency() -> None:
    """What stray farads pass to earth goes with the frequency: 50 to 60 where all else is alike."""
    driven = {"drive" in fan.has: seed for seed in MANY if (store := store_of(seed)) for fan in store.fans}
    data = yaml.load(random_store.text(driven[False]), yamlfile.Loader)
    assert not any(told["kind"] == "drive3" for told in data["devices"].values())
    passed = []
    for hertz in (50, 60):
        data["supply"]["hertz"] = hertz
        for told in data["devices"].values():
            if told["kind"] == "motor3":
                told["rpm"] = 29 * hertz
        world = World.fresh(read.read(data), CALL, 0.0)
        passed.append(float(np.abs(world.network.state.shunt.imag).sum()))
    assert passed[0] / passed[1] == pytest.approx(50.0 / 60.0)


if __name__ == "__main__":  # any number: PYTHONPATH=.:tests/fixtures python tests/test_random_stores.py 1000
    for number in range(int(sys.argv[1])):
        made = store_of(number)
        if made is not None:
            lives(made)
            check.check(made)
            toured(made)
        print(number, "refused" if made is None else "runs", flush=True)

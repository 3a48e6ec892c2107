"""The same bits, whichever way a plant comes to a moment; and no dead or impossible state, whatever happens to it."""

import ideal
import numpy as np
import pytest
from plant_bench import Bench
from stores import corner_market

from scenarios.compiling.kernel import plain
from scenarios.refrigeration import rack
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.store import KEPT

STORE = corner_market()


def bits(plant: Plant) -> bytes:
    """All states field by field: the padding between fields is nobody's."""
    tables = [
        rows
        for name, rows in zip(Plant._fields[1:], plant[1:], strict=True)
        if name not in ("circuit_steps", "group_steps", "signals")
    ]
    return b"".join(rows[name].tobytes() for rows in tables for name in rows.dtype.names)


def edit(bench: Bench, rng: np.random.Generator) -> None:
    """Break up to four things at random, within what the records allow."""
    plant, n = bench.plant, int(rng.integers(10))
    harms = [
        lambda: setattr(plant.liquid[0], "extra_charge", float(rng.uniform(-120.0, 60.0))),
        lambda: setattr(plant.condenser[0], "noncondensable", float(rng.uniform(0.0, 0.6))),
        lambda: setattr(plant.liquid[0], "drier", float(10.0 ** rng.uniform(0.0, 3.5))),
        lambda: setattr(plant.condenser[0], "scale", float(rng.uniform(0.0, 2e-4))),
        lambda: setattr(plant.sprays[0], "nozzles", float(rng.uniform(0.0, 1.0))),
        lambda: setattr(plant.fans[0], "share", float(rng.uniform(0.0, 1.0))),
        lambda: setattr(plant.sprays[0], "float_share", 0.0),
        lambda: setattr(plant.receiver[0], "valve_least", 1.0),
        lambda: setattr(plant.receiver[0], "valve_most", 0.0),
        lambda: setattr(plant.circuits[n], "valve_share", float(rng.uniform(0.05, 3.0))),
        lambda: setattr(plant.circuits[n], "valve_least", float(rng.uniform(0.0, 1.0))),
        lambda: setattr(plant.circuits[n], "solenoid_stuck_open", True),
        lambda: setattr(plant.circuits[n], "solenoid_stuck_shut", True),
        lambda: setattr(plant.circuits[n], "fans", 0.0),
        lambda: setattr(plant.circuits[n], "ajar", 1.0),
        lambda: setattr(plant.circuits[n], "blocked", 0.9),
        lambda: setattr(plant.cases[n], "skipped", True),
        lambda: setattr(plant.cases[n], "sensor_offset", float(rng.uniform(-10.0, 10.0))),
        lambda: setattr(plant.compressors[n % 4], "valve_leak", float(rng.uniform(0.0, 0.9))),
        lambda: setattr(plant.compressors[n % 4], "leak_back", float(rng.uniform(0.0, 2e-5))),
        lambda: setattr(plant.staging[0], "suction_offset", float(rng.uniform(-3e5, 3e5))),
        lambda: setattr(plant.fan_loop[0], "discharge_offset", float(rng.uniform(-8e5, 8e5))),
        lambda: setattr(plant.high[n % 4], "stuck_shut", True),
        lambda: setattr(plant.low[n % 4], "stuck_shut", True),
    ]
    for _ in range(int(rng.integers(1, 5))):
        harms[int(rng.integers(len(harms)))]()


def sound(plant: Plant) -> None:
    """Nothing impossible anywhere."""
    tables = ("liquid", "suction", "discharge", "condenser", "receiver", "staging", "fan_loop", "controller")
    for rows in (plant.circuit_states, plant.spray_states, *(getattr(plant, f"{name}_state") for name in tables)):
        for name in rows.dtype.names:
            assert np.isfinite(rows[name].astype(float)).all(), name
    line, suction, top, held = plant.liquid_state[0], plant.suction_state[0], plant.condenser_state[0], plant.receiver_state[0]
    for mass in (line.liquid, suction.suction, top.gas, top.liquid, held.gas, held.liquid, plant.circuit_states.liquid.min()):
        assert mass >= -1e-4
    assert (plant.circuit_states.air > -45.0).all()
    assert (plant.circuit_states.air < 45.0).all()
    assert -25.0 < top.coil < 95.0
    assert plant.circuit_states.frost.min() >= 0.0


@pytest.fixture(scope="module")
def settled():
    return Bench.of(STORE).run(6.0)


def test_twice_the_same(settled):
    assert bits(settled.fork().run(24.0).plant) == bits(settled.fork().run(24.0).plant)


def test_saved_and_resumed_off_the_grid(settled, tmp_path):
    """Stopped at a step that is neither on the minute nor on a record, saved as npz, loaded, run on."""
    straight = settled.fork().run(6.0)
    part = settled.fork()
    ideal.run(part.plant, part.inputs, part.outputs, part.broken, 7777.0 - 2.0, 5.0)
    np.savez(tmp_path / "p.npz", **{n: np.asarray(r) for n, r in zip(Plant._fields[1:], part.plant[1:], strict=True)})
    with np.load(tmp_path / "p.npz") as kept:
        rows = (kept[n].view(np.recarray) if kept[n].dtype.names else kept[n] for n in Plant._fields[1:])
        again = Bench(Plant(part.plant.fluids, *rows), part.inputs, part.outputs, part.broken)
    ideal.run(again.plant, again.inputs, again.outputs, again.broken, 6.0 * 3600.0 - 7775.0, 5.0)
    assert bits(again.plant) == bits(straight.plant)


def test_plain_python_gives_the_compiled_bits(settled):
    """The whole step in plain Python, dead pump included: not a digit apart."""
    compiled, in_python = settled.fork(), settled.fork()
    compiled.broken = in_python.broken = ideal.Broken(0.0, -1.0, 1.0)
    ideal.run(compiled.plant, compiled.inputs, compiled.outputs, compiled.broken, 150.0, 5.0)
    step, obey = plain(rack.step), plain(ideal.obey)
    with np.errstate(all="ignore"):
        for _ in range(30):
            obey(in_python.inputs, in_python.outputs, in_python.broken)
            step(in_python.plant, in_python.inputs, in_python.outputs, 5.0)
    assert bits(in_python.plant) == bits(compiled.plant)


def mended_after_a_wild_day(settled, seed):
    """Random faults, weather and power cuts, no state of which may be impossible; then all is mended and a day later looked at."""
    rng = np.random.default_rng(seed)
    bench = settled.fork()
    edit(bench, rng)
    for _ in range(8):
        wet = float(rng.uniform(-15.0, 26.0))
        bench.weather(wet + float(rng.uniform(0.0, 12.0)), wet)
        bench.broken = ideal.Broken(float(rng.integers(2)), float(rng.choice([-1.0, -1.0, 0.0, 1.0])), float(rng.random() > 0.2))
        bench.inputs.door[:] = (rng.random(10) > 0.7).astype(float)
        bench.run(float(rng.uniform(0.5, 3.0)))
        sound(bench.plant)
    for name in KEPT:
        getattr(bench.plant, name)[:] = getattr(settled.plant, name)
    for high in bench.plant.high_states:
        high.latched = False
    bench.inputs.door[:] = 0.0
    bench.broken = ideal.HEALTHY
    bench.weather(20.0, 15.0).run(30.0)
    sound(bench.plant)
    return bench.means(6.0)


@pytest.mark.parametrize("seed", range(25))
def test_no_dead_or_impossible_state(settled, seed):
    """The store must come back to cold, whatever it went through."""
    means = mended_after_a_wild_day(settled, seed)
    assert means["air"] < 4.0
    assert means["running"] > 0.2


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 300))
def test_many_more_plants(settled, seed):
    means = mended_after_a_wild_day(settled, seed)
    assert means["air"] < 4.0
    assert means["running"] > 0.2

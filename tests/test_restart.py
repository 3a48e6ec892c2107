"""Bringing a rack back on the coupled store (R22, R23). Common practice of the trade, no single source."""

import pytest
from eyes import looks
from stores import corner_market

from scenarios.assignments import assignment
from scenarios.site import World
from scenarios.units import from_si
from scenarios.visit import handling, senses
from scenarios.visit.technician import Technician

HOT = {"starts": "03:35", "weather": [[-60, 91, 76], [80, 91, 76]]}
LONG = 3.0
"""An outage that lets every case warm up [h]."""


@pytest.fixture(scope="module")
def warm_rack() -> World:
    """A store in the heat whose four compressors have been off at their breakers for hours; the controller calls them all."""
    world = World.fresh(corner_market(), HOT, -30 * 3600.0)
    world.advance(24 * 3600.0)
    for n in range(1, 5):
        handling.handle(world, f"Q{n}", False)
    world.advance(LONG * 3600.0)
    return world


def restarted(rack: World, gap: float, hours: float = 2.0) -> tuple[World, list[str]]:
    """Close the breakers one after another, `gap` minutes apart; what tripped on high pressure."""
    world, begun = rack.fork(), rack.t
    for n in range(1, 5):
        handling.handle(world, f"Q{n}", True)
        if gap:
            world.advance(gap * 60.0)
    world.advance(hours * 3600.0)
    return world, [
        event.what for event in world.events() if event.t > begun and event.on and event.what.startswith("high_pressure")
    ]


@pytest.mark.slow
def test_everything_at_once_trips_again_and_one_by_one_does_not_r22(warm_rack: World) -> None:
    together, tripped = restarted(warm_rack, 0.0)
    staged, clean = restarted(warm_rack, 10.0)
    assert set(tripped) == {f"high_pressure_{n}" for n in range(1, 5)}
    assert clean == []
    assert list(together.plant.high_states.closed) == [True, True, False, False], "the manual ones wait for their buttons (R23)"
    assert max(staged.plant.case_states.display) < max(warm_rack.plant.case_states.display)


def shown(world: World) -> list[float]:
    """Suction [Pa], discharge [Pa] and amps of compressor 1 [A]."""
    return [world.point("P5"), world.point("P4"), world.amps("M1:T1")]


@pytest.mark.slow
def test_a_long_outage_shows_in_suction_head_and_amps_r22(warm_rack: World) -> None:
    """Against the most that two hours of the same weather bring: suction, head and amps all stand higher at the restart."""
    usual = World.fresh(warm_rack.store, HOT, -30 * 3600.0)
    usual.advance(24 * 3600.0)
    at_work, at_restart = [], []
    for _ in range(720):
        usual.advance(10.0)
        at_work.append(shown(usual))
    world = warm_rack.fork()
    for n in range(1, 5):
        handling.handle(world, f"Q{n}", True)
    for _ in range(60):
        world.advance(5.0)
        at_restart.append(shown(world))
    suction, head, amps = (max(column) for column in zip(*at_work, strict=True))
    found = [max(column) for column in zip(*at_restart, strict=True)]
    assert found[0] > suction + 3e5
    assert found[1] > head
    assert found[2] > amps


@pytest.mark.slow
def test_a_cut_out_stops_its_machine_before_the_head_runs_away(warm_rack: World) -> None:
    """Machines that start on a rack at rest move kilograms a second; a switch sees it within a second, and so must ours."""
    world = warm_rack.fork()
    opens = max(float(row.opens) for row in world.plant.high)
    for n in range(1, 5):
        handling.handle(world, f"Q{n}", True)
    peak = 0.0
    for _ in range(12):
        world.advance(5.0)
        peak = max(peak, float(world.plant.discharge_state[0].discharge))
    assert peak < opens + 3e5


@pytest.fixture(scope="module")
def dry_night() -> World:
    """The night of the dry coil, an hour after the ticket, at a moment when a button would hold."""
    world = assignment("dairy_and_meat").world(0).fork()
    world.advance(3600.0)
    manual = world.plant.high[2]
    for _ in range(720):
        if world.plant.discharge_state[0].discharge <= manual.opens - manual.differential:
            return world
        world.advance(5.0)
    pytest.fail("head pressure never came down far enough for a button")


def capacity(world: World, hours: float) -> float:
    """Share of the rack's swept flow that turned over some hours."""
    swept = world.plant.compressors.swept_flow
    turned = 0.0
    for _ in range(round(hours * 120)):
        world.advance(30.0)
        turned += float((swept * (world.plant_in.speed > 0.3)).sum() / swept.sum())
    return turned / round(hours * 120)


def mean_display(world: World) -> float:
    """Mean of the case displays [F]."""
    return float(from_si(float(world.plant.case_states.display.mean()), "F"))


@pytest.mark.slow
def test_both_buttons_on_the_dry_coil_buy_minutes(dry_night: World) -> None:
    world = dry_night.fork()
    for mark in ("HP3", "HP4"):
        handling.push(world, mark)
    ran = 0
    for step in range(1, 121):
        world.advance(5.0)
        if any(world.plant_in.speed[2:] > 0.3):
            ran = step
    assert 0 < ran * 5.0 <= 5 * 60.0
    assert not any(world.plant.high_states.closed[2:])


@pytest.mark.slow
def test_one_button_on_the_dry_coil_costs_hours(dry_night: World) -> None:
    """One machine holds the head where the two automatic ones cannot come back: less runs than if nobody had pushed."""
    pushed, left = dry_night.fork(), dry_night.fork()
    handling.push(pushed, "HP3")
    assert capacity(pushed, 2.0) < capacity(left, 2.0)
    assert mean_display(pushed) > mean_display(left)


def outage(rack: World, heat: bool) -> World:
    """Six hours with every high-pressure contact open and no liquid to the cases; the control breaker, and with it the crankcase
    heaters, on or off."""
    world = rack.fork()
    world.plant.high.stuck_open[:] = True
    world.plant.circuits.solenoid_stuck_shut[:] = True
    handling.handle(world, "Q8", heat)
    world.advance(6 * 3600.0)
    return world


def started(world: World) -> World:
    """Everything back at once, a quarter of a minute later."""
    world.plant.high.stuck_open[:] = False
    world.plant.high_states.pushed[:] = True
    world.plant.circuits.solenoid_stuck_shut[:] = False
    handling.handle(world, "Q8", True)
    world.advance(15.0)
    return world


@pytest.mark.slow
def test_lost_crankcase_heat_makes_the_restart_a_slugging_risk_r22() -> None:
    """Common practice: warm oil takes up next to nothing; cold oil takes up kilograms, foams at the start, and machines knock."""
    rack = World.fresh(corner_market(), HOT, -30 * 3600.0)
    rack.advance(24 * 3600.0)
    assert looks(rack.plant, "oil_glass", 0)["oil"] == "half glass, clear"
    kept, lost = outage(rack, True), outage(rack, False)
    assert bool(kept.plant_in.heater.all())
    assert not bool(lost.plant_in.heater.any())
    assert float(kept.plant.compressor_states.oil.min()) > float(lost.plant.compressor_states.oil.max()) + 10.0
    assert float(kept.plant.compressor_states.dissolved.max()) < 0.05
    assert float(lost.plant.compressor_states.dissolved.min()) > 1.0
    assert {looks(lost.plant, "oil_glass", n - 1)["oil"] for n in range(1, 5)} == {"full, thin as water"}
    kept, lost = started(kept), started(lost)
    turning = [n for n in range(1, 5) if lost.plant.compressor_states[n - 1].speed > 0.9]
    assert turning
    assert {looks(lost.plant, "oil_glass", n - 1)["oil"] for n in turning} == {"foaming"}
    assert {senses.listen(lost, Technician(), f"COMP{n}")[0].category for n in turning} == {"knocking"}
    assert {senses.listen(kept, Technician(), f"COMP{n}")[0].category for n in range(1, 5)} <= {"running", "silent"}
    assert float(kept.plant.compressor_states.foam.max()) == 0.0
    assert float(kept.plant.compressor_states.speed.max()) > 0.9


@pytest.mark.slow
def test_a_contactor_held_in_on_an_open_breaker_leaves_its_crankcase_cold_r22(warm_rack: World) -> None:
    """The heater hangs on the break contact of the contactor, not on the motor: no volts to it while the coil is called."""
    assert bool(warm_rack.network.state.devices.picked[warm_rack.network.number["K1"]])
    assert not warm_rack.plant_in.heater[0]
    assert warm_rack.volts("E1:1", "E1:2") < 5.0
    world = warm_rack.fork()
    world.plant.high.stuck_open[0] = True
    world.advance(10.0)
    assert world.plant_in.heater[0]
    assert world.volts("E1:1", "E1:2") == pytest.approx(120.0, rel=0.05)

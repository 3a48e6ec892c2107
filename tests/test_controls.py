"""Cut-outs, staging, fan loop, thermostats, defrost, alarms: each alone, below, at and above its limit."""

import ideal
import numpy as np
import pytest
from eyes import looks
from plant_bench import Bench
from stores import corner_market, raw

from scenarios.compiling.kernel import plain
from scenarios.compiling.quantities import table
from scenarios.controls.alarms import MOST_EVENTS, Alarm, AlarmState, Event, Log, note, watch
from scenarios.controls.case import CaseControl, CaseControlState, case
from scenarios.controls.cutouts import Cutout, CutoutState, may_close, sense
from scenarios.controls.fan_loop import FanLoop, FanLoopState, fan, stage_fan
from scenarios.controls.staging import Stage, Staging, StagingState, next_off, next_on, prove, stage_capacity
from scenarios.errors import BadRequest
from scenarios.parts.kind import nothing
from scenarios.parts.registry import KINDS
from scenarios.refrigeration.fans import Fan, FanState
from scenarios.refrigeration.observe import VALUES, WICKS, observe
from scenarios.refrigeration.points import ROLES
from scenarios.store import read
from scenarios.store.entries import alarms_of, entries

STORE = corner_market()
PSI = 6894.757293168
HIGH = Cutout(opens=22.9e5, differential=4.1e5)
sense, may_close, watch, note = plain(sense), plain(may_close), plain(watch), plain(note)
case, fan, prove, stage_capacity, next_on, next_off = (plain(x) for x in (case, fan, prove, stage_capacity, next_on, next_off))


@pytest.fixture(scope="module")
def settled():
    return Bench.of(STORE, 20.0, 15.0).run(6.0)


def follow(cutout, pressures, push_at=()):
    state, seen = CutoutState(), []
    for n, pressure in enumerate(pressures):
        state.pushed = n in push_at
        sense(cutout, state, pressure)
        seen.append(state.closed)
    return seen


def test_automatic_cutout_opens_at_its_setting_and_closes_after_its_differential():
    assert follow(HIGH, [22.89e5, 22.9e5, 20e5, 18.81e5, 18.8e5]) == [True, False, False, False, True]


def test_manual_cutout_waits_for_its_button_and_for_pressure():
    manual = Cutout(opens=22.9e5, differential=4.1e5, manual=True)
    assert follow(manual, [23e5, 20e5, 18e5, 18e5]) == [False, False, False, False]
    assert follow(manual, [23e5, 20e5, 20e5, 18e5], push_at={1}) == [False, False, False, False]
    assert follow(manual, [23e5, 20e5, 18e5, 22e5], push_at={2}) == [False, False, True, True]


def test_low_pressure_cutout_is_the_mirror():
    low = Cutout(opens=2.0e5, differential=1.0e5, above=False)
    assert follow(low, [2.1e5, 2.0e5, 2.9e5, 3.0e5]) == [True, False, False, True]


def test_stuck_contacts():
    assert follow(Cutout(opens=22.9e5, stuck_open=True), [10e5]) == [False]
    assert follow(Cutout(opens=22.9e5, stuck_shut=True), [30e5]) == [True]


def stages(*called):
    return table([Stage(capacity=c, called=k) for c, k in zip((0.18, 0.24, 0.24, 0.33), called, strict=True)])


def test_small_errors_move_small_machines_large_errors_large_ones():
    settings = Staging()
    assert next_on(settings, stages(False, False, False, False), False) == 0
    assert next_on(settings, stages(False, False, False, False), True) == 3
    assert next_off(settings, stages(True, True, False, True), False) == 0
    assert next_off(settings, stages(True, True, False, True), True) == 3
    assert next_on(settings, stages(True, True, True, True), True) == -1


def test_nothing_moves_inside_the_dead_band_or_before_its_delay():
    settings, state, rack = Staging(), StagingState(), stages(False, False, False, False)
    for _ in range(100):
        stage_capacity(settings, state, rack, settings.suction_target + 1.1, 5.0)
    assert not rack.called.any()
    for _ in range(int(settings.add_delay / 5.0) - 1):
        stage_capacity(settings, state, rack, settings.suction_target + 1.3, 5.0)
    assert not rack.called.any()
    stage_capacity(settings, state, rack, settings.suction_target + 1.3, 5.0)
    assert list(rack.called) == [True, False, False, False]


def test_least_times_are_kept():
    settings, rack = Staging(), stages(True, False, False, False)
    rack.timer = 10.0
    assert next_off(settings, rack, False) == -1
    assert next_on(settings, rack, False) == -1


def test_a_machine_without_proof_has_failed_and_another_is_called():
    settings, rack = Staging(), stages(True, False, False, False)
    for _ in range(4):
        prove(settings, rack, np.zeros(4), 0.3, 5.0)
    assert rack.failed[0]
    assert next_on(settings, rack, False) == 1
    assert next_off(settings, rack, False) == 0
    prove(settings, rack, np.array([1.0, 0.0, 0.0, 0.0]), 0.3, 5.0)
    assert not rack.failed[0]


def test_fan_target_is_the_higher_of_floor_and_wet_bulb_plus_approach():
    settings, state = FanLoop(), FanLoopState()
    fan(settings, state, 30.0, 22.2, 5.0)
    assert state.target == pytest.approx(32.2)
    fan(settings, state, 30.0, -5.0, 5.0)
    assert state.target == settings.floor


def test_fan_reference_ramps_and_stays_between_zero_and_one():
    settings, state = FanLoop(), FanLoopState(reference=0.5)
    fan(settings, state, 60.0, 20.0, 5.0)
    assert state.reference == pytest.approx(0.5 + 5.0 / settings.ramp)
    for _ in range(200):
        fan(settings, state, 60.0, 20.0, 5.0)
    assert state.reference == 1.0
    for _ in range(2000):
        fan(settings, state, 0.0, 20.0, 5.0)
    assert state.reference == 0.0


def test_a_fan_is_called_above_one_share_and_let_go_below_another():
    each, state = Fan(starts=0.4, stops=0.2), FanState(called=False)
    seen = []
    for reference in (0.3, 0.4, 0.41, 0.3, 0.2, 0.3, -1.0):
        plain(stage_fan)(each, state, reference)
        seen.append(state.called)
    assert seen == [False, False, True, True, False, False, False]


def test_thermostat_has_a_differential():
    control, state = CaseControl(cut_in=3.0, cut_out=1.0), CaseControlState(calling=False)
    seen = []
    for air in (2.9, 3.0, 1.1, 1.0, 2.9):
        case(control, state, air, air, 1e4, True, 5.0)
        seen.append(state.calling)
    assert seen == [False, True, True, False, False]


def test_defrost_starts_by_clock_and_ends_by_coil_or_time():
    control, state = CaseControl(first=3600.0), CaseControlState()
    case(control, state, 2.0, 0.0, 3600.0, True, 5.0)
    assert state.defrosting
    assert not state.calling
    case(control, state, 6.0, 5.0, 3605.0, True, 5.0)
    assert not state.defrosting
    assert not state.by_time
    case(control, state, 2.0, 0.0, 3600.0 + 21600.0, True, 5.0)
    for _ in range(int(control.longest / 5.0)):
        case(control, state, 4.0, 0.1, 9000.0, True, 5.0)
    assert not state.defrosting
    assert state.by_time


def test_a_skipped_defrost_never_starts():
    control, state = CaseControl(first=3600.0, skipped=True), CaseControlState()
    case(control, state, 2.0, 0.0, 3600.0, True, 5.0)
    assert not state.defrosting


def test_alarm_needs_its_delay_and_returns_after_its_calm():
    alarm, state = Alarm(kind=0, limit=5.0, returns=4.0, delay=10.0, calm=10.0), AlarmState()
    seen = [watch(alarm, state, value, 5.0) for value in (4.9, 5.0, 5.0, 5.0, 4.5, 4.0, 4.1, 4.0, 4.0, 4.0)]
    assert seen == [0, 0, 0, 1, 0, 0, 0, 0, 0, -1]


def test_a_full_log_forgets_the_oldest():
    events, log = table([Event() for _ in range(4)]), table([Log()])
    for n in range(6):
        note(events, log[0], float(n), n, True)
    assert sorted(events.time) == [2.0, 3.0, 4.0, 5.0]
    assert log[0].written == 6
    assert MOST_EVENTS >= 300


def test_without_supply_every_output_drops_and_the_restart_is_logged(settled):
    twin = settled.fork()
    twin.broken = ideal.Broken(1.0, -1.0, 0.0)
    twin.run(0.1)
    out = twin.outputs
    assert not out.call_compressor.any()
    assert not out.call_liquid.any()
    assert not out.call_fan.any()
    assert not out.call_pump.any()
    silent = int(twin.plant.log[0].written)
    twin.broken = ideal.HEALTHY
    twin.run(0.05)
    rows = alarms_of(STORE)
    ids = [rows[twin.plant.events[n].alarm][0] for n in range(silent, int(twin.plant.log[0].written))]
    assert "controller_supply" in ids


def test_the_clock_of_the_log_is_the_controllers(settled):
    early, late = settled.fork(), settled.fork()
    late.plant.controller.clock_offset = 240.0
    for twin in (early, late):
        twin.plant.high.stuck_open[0] = True
        twin.run(0.05)
    last = [twin.plant.events[int(twin.plant.log[0].written) - 1].time for twin in (early, late)]
    assert last[1] - last[0] == pytest.approx(240.0)


def test_door_alarm(settled):
    twin = settled.fork()
    twin.inputs.door[8] = 1.0
    twin.run(0.2)
    rows = alarms_of(STORE)
    standing = [rows[n][0] for n in range(len(rows)) if twin.plant.alarm_states[n].active]
    assert "door_9" in standing


def test_a_healthy_day_is_quiet(settled):
    """At most 20 events a day on a healthy store; 150 a day is what one person manages (ISA-18.2, from memory)."""
    twin = settled.fork()
    before = int(twin.plant.log[0].written)
    twin.run(24.0)
    assert int(twin.plant.log[0].written) - before <= 20


def test_every_point_can_be_observed_and_has_a_place(settled):
    places = {"van", "floor", "motor_room", "panel", "roof"}
    found = STORE.points
    assert len(found) == 19 + 7 * 10
    for about in found.values():
        value = observe(settled.plant, settled.inputs, about)
        assert np.isfinite(value)
        assert about.place in places
        assert (value > 5e4) == (about.quantity == "pressure")


def test_points_tell_one_story(settled):
    """Readings in the order a sound plant has them."""
    see = {name: observe(settled.plant, settled.inputs, point) for name, point in STORE.points.items()}
    assert see["P4"] >= see["P1"] >= see["P2"] > see["P5"]
    assert see["T7"] > see["T1"] - 8.0 > see["T2"]
    assert see["C4.A1"] <= see["C4.A2"]
    assert observe(settled.plant, settled.inputs, STORE.points["T5"], wick=True) == pytest.approx(15.0)


def test_every_part_shows_something(settled):
    shown = {name for name, kind in KINDS.items() if not kind.wired and kind.look is not nothing}
    assert {"condenser_evaporative", "case", "walk_in", "compressor", "expansion_valve", "receiver", "rack_controller"} <= shown
    for kind in shown:
        assert all(looks(settled.plant, kind).values()), kind


def test_every_role_of_a_point_has_a_value():
    assert set(VALUES) == set(ROLES)
    assert set(WICKS) <= set(ROLES)


def test_every_mistake_of_a_store_file_is_told_at_once():
    wrong = raw()
    wrong["racks"][0]["condenser"]["scala"] = 1.0
    wrong["racks"][0]["liquid"] = {"drier": -1.0}
    del wrong["racks"][0]["groups"][0]["compressors"][3]["swept_flow_l_s"]
    with pytest.raises(BadRequest) as told:
        entries(read.read(wrong))
    for part in ("condenser.scala: unknown", "liquid.drier", "compressors[3].swept_flow: missing"):
        assert part in str(told.value)

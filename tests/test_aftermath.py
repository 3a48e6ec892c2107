"""Which alarms of the hours after are a callback, and which belong to recovery and ordinary life."""

import pytest

from graders.aftermath import HOUR, Happening, judge, standing

CLOSED = 10 * HOUR


def on(hours, what, text=None):
    return Happening(CLOSED + hours * HOUR, what, True, text or what)


def back(hours, what):
    return Happening(CLOSED + hours * HOUR, what, False, what)


def test_quiet_hours_hold():
    assert judge([], CLOSED, {}).held


@pytest.mark.parametrize("what", ["door_9", "defrost_3", "fan_full", "low_pressure_2"])
def test_ordinary_life_is_no_callback(what):
    assert judge([on(20, what)], CLOSED, {}).held


@pytest.mark.parametrize("what", ["air_4", "discharge_high", "high_pressure_2", "no_proof_1"])
def test_alarms_that_bring_a_technician(what):
    after = judge([on(20, what)], CLOSED, {})
    assert not after.held
    assert after.at == pytest.approx(20 * HOUR)
    assert "after 20 h" in after.reason


def test_recovery_has_its_grace_but_a_trip_has_none():
    assert judge([on(0.5, "discharge_high")], CLOSED, {}).held
    assert not judge([on(0.5, "F5", "F5 overload trips")], CLOSED, {}).held


def test_what_happened_before_close_out_is_no_callback():
    assert judge([on(-1, "F5", "F5 overload trips"), on(-2, "air_4"), back(-1, "air_4")], CLOSED, {}).held


def test_standing_alarm_must_come_back():
    assert list(standing([on(-2, "air_4")], CLOSED)) == ["air_4"]
    assert judge([on(-2, "air_4"), back(3, "air_4")], CLOSED, {}).held
    late = judge([on(-2, "air_4"), back(30, "air_4")], CLOSED, {})
    assert not late.held
    assert late.standing == ("air_4",)


def test_key_may_ignore_an_alarm():
    assert judge([on(20, "air_4")], CLOSED, {"ignore": ["air_4"]}).held

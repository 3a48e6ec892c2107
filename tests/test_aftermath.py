"""Which alarms of the hours after are a callback, and which belong to recovery and ordinary life."""

import pytest

from graders.aftermath import HOUR, Happening, judge, standing
from scenarios.facts import AlarmKind, Event, EventKind

CLOSED = 10 * HOUR


AIR, HIGH, TRIP = AlarmKind.CASE_AIR, AlarmKind.DISCHARGE, EventKind.OVERLOAD_TRIPS


def on(hours, kind, what="some"):
    return Happening(Event(CLOSED + hours * HOUR, kind, what), f"words for {what}")


def back(hours, kind, what="some"):
    return Happening(Event(CLOSED + hours * HOUR, kind, what, False), "other words")


def test_quiet_hours_hold():
    assert judge([], CLOSED, {}).held


@pytest.mark.parametrize(
    "kind", [AlarmKind.DOOR, AlarmKind.DEFROST_BY_TIME, AlarmKind.FAN_FULL, AlarmKind.LOW_PRESSURE, EventKind.PULLS_IN]
)
def test_ordinary_life_is_no_callback(kind):
    assert judge([on(20, kind)], CLOSED, {}).held


@pytest.mark.parametrize("kind", [AIR, HIGH, AlarmKind.HIGH_PRESSURE, AlarmKind.NO_PROOF])
def test_alarms_that_bring_a_technician(kind):
    after = judge([on(20, kind)], CLOSED, {})
    assert not after.held
    assert after.at == pytest.approx(20 * HOUR)
    assert "after 20 h" in after.reason


def test_recovery_has_its_grace_but_a_trip_has_none():
    assert judge([on(0.5, HIGH)], CLOSED, {}).held
    assert not judge([on(0.5, TRIP, "F5")], CLOSED, {}).held


def test_what_happened_before_close_out_is_no_callback():
    assert judge([on(-1, TRIP, "F5"), on(-2, AIR, "air_4"), back(-1, AIR, "air_4")], CLOSED, {}).held


def test_standing_alarm_must_come_back():
    assert list(standing([on(-2, AIR, "air_4")], CLOSED)) == ["air_4"]
    assert judge([on(-2, AIR, "air_4"), back(3, AIR, "air_4")], CLOSED, {}).held
    late = judge([on(-2, AIR, "air_4"), back(30, AIR, "air_4")], CLOSED, {})
    assert not late.held
    assert late.standing == ("words for air_4",)


def test_key_may_ignore_an_alarm():
    assert judge([on(20, AIR, "air_4")], CLOSED, {"ignore": ["air_4"]}).held

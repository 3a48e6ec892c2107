"""Wrong methods are recognised from the trainee's own readings, and never where two explain an answer equally well."""

import math

import CoolProp.CoolProp as cp  # noqa: N813
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graders import misconceptions as miss
from graders import replaying
from graders.calculations import Saturation, percent_unbalance, superheat
from graders.moments import ATM, DEGREE_F, PSI, Moment, Reading, Truth
from graders.rubric import CREDITS
from graders.sums import credit, judge_answer, spec_of, taken

GRID = np.geomspace(1.5e5, 25e5, 80)


def curve(quality):
    """R-407A, a blend with 8 to 10 F of glide; linear in the logarithm of pressure, good to 0.01 K."""
    degrees = [cp.PropsSI("T", "P", p, "Q", quality, "R407A.mix") - 273.15 for p in GRID]
    return lambda p: float(np.interp(np.log(p), np.log(GRID), degrees))


BLEND = Saturation(dew=curve(1), bubble=curve(0))


def psia(psig):
    return psig * PSI + ATM


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def figure(n, t, of, kind, value, accuracy, window=(), step=None):
    truth = Truth(of, kind, value, window=window, accuracy=accuracy)
    return Moment(n, t, "roof", step or f"read {of}", "", "reading", 1.0, (Reading(of, kind, "", value=value),), (truth,))


def pressure(n, t, of, psig, **more):
    return figure(n, t, of, "pressure", psia(psig), 1.5 * PSI, **more)


def temperature(n, t, of, fahrenheit, **more):
    return figure(n, t, of, "temperature", celsius(fahrenheit), 1.0 * DEGREE_F, **more)


SUPERHEAT = spec_of(
    {"id": "superheat", "kind": "superheat", "unit": "F-difference", "needs": [{"at": "C4.P8"}, {"at": "C4.T1"}]}, {}
)
SUBCOOLING = spec_of({"id": "subcooling", "kind": "subcooling", "unit": "F-difference", "needs": [{"at": "P2"}, {"at": "T2"}]}, {})
APPROACH = spec_of(
    {"id": "approach", "kind": "approach", "unit": "F-difference", "needs": [{"at": "P1"}, {"at": "T5", "how": "wick"}]}, {}
)
UNBALANCE = spec_of(
    {"id": "unbalance", "kind": "unbalance", "unit": "%", "needs": [{"at": "a"}, {"at": "b"}, {"at": "c"}]}, {"after": "repair"}
)
OVERLOAD = spec_of(
    {"id": "overload", "kind": "overload_setting", "unit": "A", "needs": [{"at": "M5"}]},
    {"nameplate": 4.4, "table": 4.8, "service_factor": 1.15, "found": 5.4, "breaker": 15.0, "measured_at": ["a"]},
)


def judged(spec, moments, value, unit="F", repair=None):
    return judge_answer("q", spec, (99, value, unit), taken(moments), repair, BLEND)


# Published (computed from the reference equation): R-407A at 42.3 psig, line 32 F: 12.02 F from dew, 22.45 F wrongly from bubble.
# R-407A at 225 psig, line 85 F: 11.27 F from bubble, 19.32 F wrongly from dew.
@pytest.mark.parametrize(
    ("spec", "psig", "line", "right", "wrong", "slip"),
    [(SUPERHEAT, 42.3, 32.0, 12.02, 22.45, "bubble_for_dew"), (SUBCOOLING, 225.0, 85.0, 11.27, 19.32, "dew_for_bubble")],
)
def test_wrong_curve_of_a_blend(spec, psig, line, right, wrong, slip):
    points = ("C4.P8", "C4.T1") if spec is SUPERHEAT else ("P2", "T2")
    moments = [pressure(1, 60, points[0], psig), temperature(2, 90, points[1], line)]
    good = judged(spec, moments, right)
    assert (good.verdict.verdict, good.credit) == (miss.RIGHT, 1.0)
    assert good.reference == pytest.approx(right, abs=0.1)
    bad = judged(spec, moments, wrong)
    assert bad.verdict.methods == (slip,)
    assert bad.credit == CREDITS[slip]


@pytest.mark.parametrize(
    ("unit", "given", "slip"),
    [("F", -12.0, "wrong_sign"), ("F", 6.68, "celsius_for_fahrenheit"), ("F", 44.0, "difference_as_temperature")],
)
def test_slips_of_a_difference(unit, given, slip):
    moments = [pressure(1, 60, "C4.P8", 42.3), temperature(2, 90, "C4.T1", 32.0)]
    assert slip in judged(SUPERHEAT, moments, given, unit).verdict.methods


def test_the_same_answer_in_kelvin_is_right():
    moments = [pressure(1, 60, "C4.P8", 42.3), temperature(2, 90, "C4.T1", 32.0)]
    assert judged(SUPERHEAT, moments, 12.02 * DEGREE_F, "K").verdict.verdict == miss.RIGHT


def test_gauge_looked_up_as_absolute():
    moments = [pressure(1, 60, "C4.P8", 42.3), temperature(2, 90, "C4.T1", 32.0)]
    given = superheat(BLEND, 42.3 * PSI, celsius(32.0)) / DEGREE_F
    assert judged(SUPERHEAT, moments, given).verdict.methods == ("gauge_for_absolute",)


def test_dry_bulb_for_wet_bulb():
    moments = [
        pressure(1, 60, "P1", 210.4),
        temperature(2, 90, "T5 wet bulb", 72.0),
        temperature(3, 95, "T5", 79.0),
    ]
    assert judged(APPROACH, moments, 28.0).verdict.verdict == miss.RIGHT
    assert "dry_bulb_for_wet_bulb" in judged(APPROACH, moments, 21.0).verdict.methods


def lines(*amps, start=1, t=600.0):
    return [
        figure(start + k, t, name, "amps", value, 0.02 * value + 0.05)
        for k, (name, value) in enumerate(zip("abc", amps, strict=True))
    ]


def test_unbalance_slips_with_wide_lines():
    """Exact figures (no instrument spread) so that the slips stand apart: average 4.0, deviations -0.6, +0.2, +0.4."""
    moments = [
        figure(1 + k, 600.0, name, "amps", value, 0.0) for k, (name, value) in enumerate(zip("abc", (3.4, 4.2, 4.4), strict=True))
    ]
    right = percent_unbalance((3.4, 4.2, 4.4))
    assert right == pytest.approx(15.0)
    for value, slip in (
        (25.0, "largest_spread"),
        (10.0, "highest_line_only"),
        (0.15, "fraction_for_percent"),
        (13.64, "divided_by_highest"),
    ):
        assert judged(UNBALANCE, moments, value, "%", repair=0.0).verdict.methods == (slip,)


def test_dead_line_averaged_in():
    moments = [*lines(0.0, 8.0, 8.1, start=1, t=100.0), *lines(3.8, 3.8, 3.9, start=10, t=900.0)]
    answer = judged(UNBALANCE, moments, percent_unbalance((0.0, 8.0, 8.1)), "%", repair=500.0)
    assert answer.verdict.methods == ("dead_line_in_average",)
    assert judged(UNBALANCE, moments, percent_unbalance((3.8, 3.8, 3.9)), "%", repair=500.0).verdict.verdict == miss.RIGHT


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (4.4, ()),
        (4.8, ("table_current",)),
        (6.0, ("margin_on_table",)),
        (15.0, ("breaker_amps",)),
        (5.06, ("service_factor_amps",)),
    ],
)
def test_overload_slips(given, expected):
    assert judged(OVERLOAD, [], given, "A").verdict.methods == expected


def test_two_slips_that_give_the_same_are_both_named():
    """1.25 x 4.4 is 5.5 and the dial was found at 5.4: at a dial's resolution nobody can say which it was."""
    answer = judged(OVERLOAD, [], 5.45, "A")
    assert set(answer.verdict.methods) == {"margin_twice", "left_as_found"}
    assert "cannot be told apart" in answer.verdict.says
    assert answer.credit == max(CREDITS["margin_twice"], CREDITS["left_as_found"])


def test_measured_amps_for_nameplate():
    assert judged(OVERLOAD, lines(3.8, 3.8, 3.9), 3.8, "A").verdict.methods == ("measured_amps",)


def test_right_method_on_a_wrong_reading_keeps_method_marks():
    moments = [pressure(1, 60, "C4.P8", 42.3), pressure(2, 80, "P5", 30.0), temperature(3, 90, "C4.T1", 32.0)]
    given = superheat(BLEND, psia(30.0), celsius(32.0)) / DEGREE_F
    answer = judged(SUPERHEAT, moments, given)
    assert answer.verdict.verdict == miss.CLOSE_METHOD
    assert 0.0 < answer.credit < 1.0


def test_without_readings_there_is_no_right_answer():
    assert judged(SUPERHEAT, [], 12.0).verdict.verdict == miss.NO_READING
    assert judge_answer("q", SUPERHEAT, None, [], None, BLEND).verdict.verdict == miss.MISSING


def test_readings_from_before_the_repair_do_not_serve_a_question_about_after():
    spec = {**SUPERHEAT, "after": "repair"}
    moments = [pressure(1, 60, "C4.P8", 42.3), temperature(2, 90, "C4.T1", 32.0)]
    answer = judged(spec, moments, 12.0, repair=1000.0)
    assert answer.verdict.verdict == miss.CLOSE_METHOD
    assert "before the repair" in answer.verdict.says


def test_plant_that_moves_between_readings_widens_the_tolerance():
    window = tuple(psia(42.3 + k) for k in (-6, 0, 6))
    near = [pressure(1, 60, "C4.P8", 42.3, window=window), temperature(2, 60, "C4.T1", 32.0)]
    far = [pressure(1, 60, "C4.P8", 42.3, window=window), temperature(2, 400, "C4.T1", 32.0)]
    assert judged(SUPERHEAT, far, 12.0).tolerance > judged(SUPERHEAT, near, 12.0).tolerance >= 2.0


def test_every_slip_has_a_credit_and_a_sentence():
    found = [
        *miss.superheat(BLEND, psia(42.3), 0.0),
        *miss.subcooling(BLEND, psia(225), 29.0),
        *miss.approach(BLEND, psia(210), 22.0, 26.0),
        *miss.unbalance((3.8, 3.9, 4.0), (0.0, 8.0, 8.2)),
        *miss.overload(4.4, {"table": 4.8, "measured": 3.8, "found": 5.4, "breaker": 15.0}),
        *miss.ratio(psia(178), psia(30)),
    ]
    assert {wrong.id for wrong in found} == set(CREDITS)
    assert all(wrong.says and 0.0 <= CREDITS[wrong.id] < 1.0 for wrong in found)


def test_credit_of_a_plain_wrong_answer_is_nothing():
    assert credit(miss.Verdict(miss.WRONG)) == 0.0


def test_three_dead_lines_have_no_unbalance_and_stop_nobody():
    """Before the repair the pump stood: three clamps at 0.00 A. The sum asked for is that of the three lines after it."""
    after = lines(3.8, 3.8, 3.9, start=10, t=900.0)
    answer = judged(UNBALANCE, [*lines(0.0, 0.0, 0.0, t=100.0), *after], percent_unbalance((3.8, 3.8, 3.9)), "%", repair=500.0)
    assert answer.verdict.verdict == miss.RIGHT
    assert judged(UNBALANCE, lines(0.0, 0.0, 0.0, t=900.0), 0.0, "%", repair=500.0).verdict.verdict == miss.NO_READING
    judged(UNBALANCE, [*after, *lines(0.0, 0.0, 0.0, start=20, t=950.0)], 1.7, "%", repair=500.0)


RATIO = spec_of({"id": "ratio", "kind": "pressure_ratio", "unit": "-", "needs": [{"at": "GD"}, {"at": "GS"}]}, {})
NEEDED = {
    "C4.P8": "pressure", "P2": "pressure", "P1": "pressure", "GD": "pressure", "GS": "pressure", "C4.T1": "temperature",
    "T2": "temperature", "T5": "temperature", "T5 wet bulb": "temperature", "a": "amps", "b": "amps", "c": "amps",
}  # fmt: skip
ODD = st.one_of(
    st.sampled_from([0.0, -0.0, ATM, -ATM, 1e-300, 1e200, -1e200, math.inf, -math.inf, math.nan]), st.floats(-1e9, 1e9)
)


@settings(deadline=None)  # the first sum loads compiled code
@given(st.lists(st.tuples(st.sampled_from(sorted(NEEDED)), ODD, st.sampled_from([100.0, 900.0])), max_size=16), ODD)
def test_no_reading_however_odd_stops_the_judging_of_a_sum(entries, value):
    moments = [figure(n, t, of, NEEDED[of], shown, 0.1) for n, (of, shown, t) in enumerate(entries, 1)]
    for spec in (SUPERHEAT, SUBCOOLING, APPROACH, UNBALANCE, {**UNBALANCE, "after": "any"}, OVERLOAD, RATIO):
        answer = judge_answer("q", spec, (99, value, "F"), taken(moments), 500.0, replaying.saturation("R-448A"))
        assert 0.0 <= answer.credit <= 1.0
        assert answer.reference is None or math.isfinite(answer.reference)

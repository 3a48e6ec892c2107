"""Sums against published examples; pages that are wrong are negative tests.

Saturation here is CoolProp, called one by one (an independent program from the tables the store uses).
"""

import math

import CoolProp.CoolProp as cp  # noqa: N813
import pytest
from hypothesis import given
from hypothesis import strategies as st

from graders.calculations import (
    Figure,
    Saturation,
    approach,
    card_steps,
    overload_setting,
    percent_unbalance,
    pressure_ratio,
    sequence_unbalance,
    spread,
    subcooling,
    superheat,
)
from graders.moments import ATM, DEGREE_F, PSI


def saturation(name):
    return Saturation(
        dew=lambda p: cp.PropsSI("T", "P", p, "Q", 1, name) - 273.15,
        bubble=lambda p: cp.PropsSI("T", "P", p, "Q", 0, name) - 273.15,
    )


def psia(psig):
    return psig * PSI + ATM


def celsius(fahrenheit):
    return (fahrenheit - 32.0) / 1.8


# Card W1 (a printed pressure-temperature card, one decimal of psi): 43.1 psig is 20 F and 195.9 psig is 100 F for R-22.
def test_textbook_pair_of_r22():
    fluid = saturation("R22")
    assert superheat(fluid, psia(43.1), celsius(30.0)) / DEGREE_F == pytest.approx(10.0, abs=0.1)
    assert subcooling(fluid, psia(195.9), celsius(90.0)) / DEGREE_F == pytest.approx(10.0, abs=0.1)


# Computed with a reference equation of state; the card resolution is 0.1 psi, hence 0.1 F.
@pytest.mark.parametrize(
    ("fluid", "psig", "line", "expected"), [("R404A", 33.0, 20.0, 19.60), ("R134a", 18.4, 30.0, 10.04), ("R507A", 58.3, 30.0, 9.94)]
)
def test_superheat_from_dew(fluid, psig, line, expected):
    assert superheat(saturation(fluid), psia(psig), celsius(line)) / DEGREE_F == pytest.approx(expected, abs=0.1)


def test_subcooling_from_bubble_not_dew():
    """R-404A 236.8 psig, line 88 F: 12.01 F from bubble; 12.62 would be from dew."""
    value = subcooling(saturation("R404A"), psia(236.8), celsius(88.0)) / DEGREE_F
    assert value == pytest.approx(12.01, abs=0.1)
    assert abs(value - 12.62) > 0.4


# Three line-to-line magnitudes, NEMA percent as the page prints it, page's own rounding as tolerance.
@pytest.mark.parametrize(
    ("lines", "nema", "tolerance"),
    [
        ((460, 467, 450), 1.96, 0.005),
        ((462, 468, 450), 2.2, 0.05),
        ((470, 479, 482), 100 * 7 / 477, 1e-9),
        ((203, 210, 212), 2.56, 0.005),
        ((460, 460, 460), 0.0, 1e-12),
    ],
)
def test_published_unbalance(lines, nema, tolerance):
    assert percent_unbalance(lines) == pytest.approx(nema, abs=tolerance)


def test_page_that_took_the_highest_line_is_wrong():
    """A web article prints 1.45 % for 400/395/388 V: it took the highest line, but the low one is farther from the average."""
    assert percent_unbalance((400, 395, 388)) == pytest.approx(1.606, abs=0.001)


# Sequence components of the closed triangle of the same magnitudes, built independently below.
@pytest.mark.parametrize("lines", [(460, 467, 450), (203, 210, 212), (500, 480, 460), (240, 240, 220)])
def test_sequence_ratio_equals_components_of_the_triangle(lines):
    ab, bc, ca = lines
    x = (ab * ab + ca * ca - bc * bc) / (2 * ab)
    y = math.sqrt(ca * ca - x * x)
    sides = [complex(ab, 0), complex(x - ab, y), complex(-x, -y)]
    a = complex(-0.5, math.sqrt(3) / 2)
    one, two = sides[0] + a * sides[1] + a * a * sides[2], sides[0] + a * a * sides[1] + a * sides[2]
    ratio = 100 * min(abs(one), abs(two)) / max(abs(one), abs(two))
    assert sequence_unbalance(lines) == pytest.approx(ratio, abs=1e-6)


@given(st.lists(st.floats(380, 500), min_size=3, max_size=3), st.floats(0.1, 10))
def test_unbalance_knows_no_scale_and_no_order(lines, scale):
    assert percent_unbalance([line * scale for line in lines]) == pytest.approx(percent_unbalance(lines), abs=1e-9)
    assert percent_unbalance(lines[::-1]) == pytest.approx(percent_unbalance(lines), abs=1e-9)
    assert sequence_unbalance(lines[::-1]) == pytest.approx(sequence_unbalance(lines), abs=1e-5)  # the root of a rounding error


def test_overload_dial_in_full_load_amps_is_the_nameplate():
    """NFPA 70 430.32(A)(1) from memory: 13.2 A at service factor 1.15 allows 16.5 A *trip*, at 1.0 15.18 A."""
    assert overload_setting(4.4) == 4.4
    assert overload_setting(13.2, "trip", 1.15) == pytest.approx(16.5)
    assert overload_setting(13.2, "trip", 1.0) == pytest.approx(15.18)
    assert overload_setting(13.2, "trip", 1.0, rise=40.0) == pytest.approx(16.5)


def test_ratio_is_of_absolute_pressures():
    assert pressure_ratio(psia(178), psia(30)) == pytest.approx(192.7 / 44.7, rel=1e-3)


# GUM 5.1.2, gauge +-1 % of span and a type T class 2 thermocouple (+-1 C): U from a published-slope sum, given to 0.01 F.
@pytest.mark.parametrize(
    ("fluid", "psig", "span", "dew", "expected"),
    [
        ("R404A", 15.0, 150, True, 3.29),
        ("R404A", 55.3, 150, True, 2.46),
        ("R404A", 236.8, 500, False, 2.68),
        ("R134a", 18.4, 150, True, 3.22),
    ],
)
def test_spread_of_superheat_and_subcooling(fluid, psig, span, dew, expected):
    table = saturation(fluid)
    figures = [Figure(psia(psig), 0.01 * span * PSI), Figure(0.0, 1.0)]
    sum_of = (lambda v: superheat(table, v[0], v[1])) if dew else (lambda v: subcooling(table, v[0], v[1]))
    assert spread(sum_of, figures) / DEGREE_F == pytest.approx(expected, abs=0.02)


def test_spread_of_unbalance_with_independent_errors():
    """460/467/450 V at +-(1 % + 3 counts of 0.1 V): u = 0.46 points, so U = 0.92 (Monte Carlo of 200 000 draws)."""
    figures = [Figure(v, 0.01 * v + 0.3) for v in (460.0, 467.0, 450.0)]
    assert spread(percent_unbalance, figures) == pytest.approx(0.92, abs=0.03)


def test_card_and_movement_only_ever_widen():
    table = saturation("R404A")
    sum_of = lambda v: superheat(table, v[0], v[1])  # noqa: E731
    still, moving = [Figure(psia(33), PSI), Figure(-6.0, 1.0)], [Figure(psia(33), PSI, 3 * PSI), Figure(-6.0, 1.0)]
    plain = spread(sum_of, still)
    assert spread(sum_of, still, card_steps(table.dew, psia(33))) > plain
    assert spread(sum_of, moving) > plain


def test_approach_uses_dew():
    table = saturation("R404A")
    assert approach(table, psia(234.7), celsius(80.0)) / DEGREE_F == pytest.approx(20.0, abs=0.1)

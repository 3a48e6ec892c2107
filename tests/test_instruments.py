"""Instruments: are limits those that published examples give, and does every reading stay within its own?"""

import itertools
import math
import random
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenarios.errors import BadRequest
from scenarios.instruments import INPUT_OHMS, LOW_INPUT_OHMS, SHELF, greatest_error, read
from scenarios.instruments.noise import noise
from scenarios.instruments.reading import spec_limit
from scenarios.units import UNITS, convert, from_si, to_si


@pytest.mark.parametrize(
    ("percent", "counts", "reading", "resolution", "greatest"),
    [
        (0.08, 2, 2.0, 0.001, 0.0036),  # published error page of a digital meter: 1.996 to 2.004 after rounding
        (1.0, 3, 460.0, 0.1, 4.9),  # same form, worked by hand
        (2.0, 5, 14.0, 0.01, 0.33),  # clamp meter, same form, worked by hand
        (2.0, 2, 100.0, 0.1, 2.2),  # school physics sheet: 97.8 to 102.2
    ],
)
def test_is_the_limit_percent_of_reading_plus_counts(percent, counts, reading, resolution, greatest):
    assert spec_limit(reading, percent, counts, resolution) == pytest.approx(greatest, rel=1e-12)


def test_is_a_published_mistake_not_repeated():
    """A maker's page gives 99.8 to 101.2 V for 100 V at 1 % + 2 counts of 0.1; right is 98.8 to 101.2."""
    greatest = spec_limit(100.0, 1.0, 2, 0.1)
    assert 100.0 + greatest == pytest.approx(101.2)
    assert 100.0 - greatest == pytest.approx(98.8)


@pytest.mark.parametrize(
    ("instrument", "reading", "greatest", "unit"),
    [
        ("volts", 460.0, 4.9, "V"),  # 1 % + 3
        ("clamp", 14.0, 0.33, "A"),  # 2 % + 5
        ("gauge-high", 236.8, 5.0, "psig"),  # span rule: 1 % of 500 psi, anywhere on the dial
        ("gauge-low", 15.0, 1.5, "psig"),  # span rule: 1 % of 150 psi
        ("dial-high", 100.0, 8.0, "psig"),  # EN 837-1 class 1.6 of 500
        ("thermometer", 32.0, 0.9, "F"),  # IEC 60584-1 type T class 1: 0.5 C below 125 C
        ("thermometer", -20.0, 0.9, "F"),
    ],
)
def test_has_each_instrument_its_class(instrument, reading, greatest, unit):
    assert greatest_error(instrument, reading, unit) == pytest.approx(greatest, rel=1e-9)


def test_does_one_meter_cancel_its_own_gain_in_an_unbalance():
    """Published figures, 460/467/450 V at 1 % + 3: three meters 0.46 points of unbalance, one meter 0.03 (Monte Carlo, GUM S1)."""
    independent, common = 0.46, 0.03
    spreads = []
    for seed in range(400):
        shown = [read("volts", v, seed, n, str(n)).value for n, v in enumerate((460.0, 467.0, 450.0))]
        mean = sum(shown) / 3
        spreads.append(100 * max(abs(v - mean) for v in shown) / mean)
    centre = sum(spreads) / len(spreads)
    got = math.sqrt(sum((s - centre) ** 2 for s in spreads) / len(spreads))
    assert common < got < independent / 2


@pytest.mark.parametrize(("ohms", "volts", "within"), [(INPUT_OHMS, 42.33, 0.005), (LOW_INPUT_OHMS, 0.01, 0.005)])
def test_does_a_ghost_collapse_on_the_low_input(ohms, volts, within):
    """100 pF to a 120 V, 60 Hz neighbour: published 42.33 V on 10 Mohm, 0.01 V on 3 kohm; V·R/√(R²+Xc²)."""
    reactance = 1 / (2 * math.pi * 60 * 100e-12)
    assert 120 * ohms / math.hypot(ohms, reactance) == pytest.approx(volts, abs=within)


TRUTHS = {
    "V": st.floats(0, 900),
    "A": st.floats(0, 550),
    "ohm": st.floats(0, 3.9e7),
    "Mohm": st.floats(0, 1.9e9),
    "psig": st.floats(101325.0, 1.1e6),
    "F": st.floats(-25, 200),
    "%": st.floats(0, 1),
    "Hz": st.floats(0, 90),
    "h": st.floats(0, 1e7),
    "s": st.floats(0, 3000),
}


@given(st.data(), st.sampled_from(sorted(SHELF)), st.integers(0, 2**31), st.integers(1, 200))
def test_is_every_reading_within_its_limit(data, instrument, seed, step):
    """Shown value is off by no more than the instrument's limit and half of the last digit."""
    made = SHELF[instrument]
    truth = data.draw(TRUTHS[made.ranges[0].unit if instrument != "insulation" else "Mohm"])
    got = read(instrument, truth, seed, step, "A B")
    if got.shown == "OL":
        assert from_si(truth, made.ranges[-1].unit) > made.ranges[-1].top * 0.9
        return
    digit = max(float(r.resolution) for r in made.ranges if r.unit == got.unit and r.top >= got.value)
    assert abs(got.value - from_si(truth, got.unit)) <= got.limit * 1.03 + 0.51 * digit
    assert got == read(instrument, truth, seed, step, "A B")
    assert got.si == pytest.approx(to_si(got.value, got.unit))


@pytest.mark.parametrize(
    ("instrument", "truth", "shown", "unit"),
    [
        ("ohms", math.inf, "OL", "Mohm"),
        ("ohms", 5e7, "OL", "Mohm"),
        ("insulation", math.inf, "OL", "Mohm"),
        ("insulation", 2.2e9, "OL", "Mohm"),
        ("volts", 1200.0, "OL", "V"),
        ("clamp", 800.0, "OL", "A"),
        ("gauge-low", to_si(180.0, "psig"), ">150", "psig"),
        ("gauge-low", to_si(-12.0, "psig"), "<0", "psig"),
    ],
)
def test_what_is_shown_beyond_the_range(instrument, truth, shown, unit):
    got = read(instrument, truth, 7, 1)
    assert (got.shown, got.unit) == (shown, unit)


@pytest.mark.parametrize(
    ("truth", "unit", "decimals"),
    [
        (12.0, "ohm", 1),
        (580.0, "ohm", 1),
        (1200.0, "kohm", 3),
        (47e3, "kohm", 2),
        (330e3, "kohm", 1),
        (1.5e6, "Mohm", 3),
        (22e6, "Mohm", 2),
    ],
)
def test_does_the_ohmmeter_take_the_finest_range(truth, unit, decimals):
    got = read("ohms", truth, 3, 5)
    assert got.unit == unit
    assert len(got.shown.partition(".")[2]) == decimals
    assert convert(got.value, got.unit, "ohm") == pytest.approx(truth, rel=0.012)


def test_is_a_dial_read_in_its_own_steps():
    for step in range(50):
        high = read("gauge-high", to_si(237.0, "psig"), 11, step)
        low = read("gauge-low", to_si(41.3, "psig"), 11, step)
        assert high.value % 2 == 0
        assert low.value % 0.5 == 0


def test_does_noise_belong_to_instrument_and_reading():
    """Most of an error is the instrument's own all night, a little differs from reading to reading; another seed is another one."""
    one = [read("volts", 480.0, 7, step).value for step in range(40)]
    assert 0.1 < max(one) - min(one) < 0.55 * SHELF["volts"].percent / 100 * 480
    means = [read("volts", 480.0, seed, 1).value for seed in range(60)]
    assert max(means) - min(means) > 4
    assert read("clamp", 20.0, 7, 1, copy=1) != read("clamp", 20.0, 7, 1, copy=2)


def test_is_noise_even_and_centred():
    """Mean 0 and variance 1/3 of an even spread; 20 000 draws, four standard errors."""
    draws = [noise(seed, step, "x") for seed, step in itertools.product(range(100), range(200))]
    assert abs(sum(draws) / len(draws)) < 4 * math.sqrt(1 / 3 / 20_000)
    assert sum(d * d for d in draws) / len(draws) == pytest.approx(1 / 3, abs=0.01)
    assert max(map(abs, draws)) < 1


def test_is_noise_the_same_in_another_process():
    """Pin: hashing of text must not depend on the process (as Python's own hash does)."""
    code = "from scenarios.instruments import read; print(read('volts', 481.0, 2**31 + 1, 17, 'a b').shown)"
    other = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert {other.stdout.strip()} == {read("volts", 481.0, 2**31 + 1, 17, "a b").shown}


def test_are_bad_requests_refused():
    with pytest.raises(BadRequest, match="unknown instrument 'sextant'"):
        read("sextant", 1.0, 1, 1)
    with pytest.raises(ValueError, match="not a number"):
        read("volts", math.nan, 1, 1)


def test_has_every_instrument_units_and_growing_ranges():
    for name, made in SHELF.items():
        tops = [to_si(span.top, span.unit) for span in made.ranges]
        assert tops == sorted(tops), name
        assert len({UNITS[span.unit].of for span in made.ranges}) == 1, name


def test_is_a_dead_point_never_shown_below_zero():
    random.seed(1)
    assert all(float(read("volts", 0.0, random.randrange(10**6), n).shown) >= 0 for n in range(200))

"""Units: are conversions those of the tables, and is a temperature never taken for a difference?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenarios.errors import BadRequest
from scenarios.units import UNITS, alike, convert, from_si, meant, parse_value, rounded, show, to_si

NUMBER = st.floats(-1e6, 1e6)


@given(NUMBER, st.sampled_from(sorted(UNITS)))
def test_does_every_unit_go_there_and_back(value, unit):
    assert from_si(to_si(value, unit), unit) == pytest.approx(value, rel=1e-9, abs=1e-3)


@pytest.mark.parametrize(
    ("value", "given_in", "wanted", "expected"),
    [
        (32.0, "F", "C", 0.0),
        (212.0, "F", "C", 100.0),
        (-40.0, "F", "C", -40.0),  # definition of the scales
        (18.0, "F-difference", "K", 10.0),
        (1.0, "K", "F-difference", 1.8),  # a difference has no zero to shift
        (0.0, "psig", "kPa", 101.325),
        (14.6959, "psia", "kPa", 101.325),  # NIST SP 811: 1 psi = 6.894757 kPa
        (1.0, "bar", "psia", 14.5038),
        (0.0, "barg", "psia", 14.6959),  # NIST SP 811
        (1.0, "hp", "W", 745.6999),  # NIST SP 811: 550 ft·lbf/s
        (1.0, "lb", "kg", 0.45359237),  # exact by definition
        (2.2, "Mohm", "kohm", 2200.0),
        (60.0, "rpm", "rpm", 60.0),
        (25.0, "%", "-", 0.25),
        (90.0, "min", "h", 1.5),
    ],
)
def test_are_conversions_those_of_the_tables(value, given_in, wanted, expected):
    assert convert(value, given_in, wanted) == pytest.approx(expected, rel=1e-5, abs=1e-9)


@pytest.mark.parametrize(
    ("given_in", "wanted"),
    [
        ("F", "F-difference"),
        ("C", "K"),
        ("F-difference", "C"),
        ("psig", "psi"),
        ("V", "A"),
        ("psi", "kPa"),
    ],
)
def test_is_a_temperature_never_a_difference(given_in, wanted):
    with pytest.raises(BadRequest) as caught:
        convert(10.0, given_in, wanted)
    assert UNITS[given_in].of in str(caught.value)
    assert " or ".join(alike(wanted)) in str(caught.value)


@pytest.mark.parametrize(
    ("given_in", "asked", "unit"),
    [
        ("F", "F-difference", "F-difference"),
        ("C", "F-difference", "K"),
        ("F", "F", "F"),
        ("psig", "psi", "psi"),
        ("V", "F-difference", "V"),
    ],
)
def test_is_f_said_of_a_superheat_a_difference(given_in, asked, unit):
    assert meant(given_in, asked) == unit


@pytest.mark.parametrize(
    ("value", "resolution", "text"),
    [
        (481.26, "0.1", "481.3"),
        (0.25, "0.1", "0.2"),
        (0.35, "0.1", "0.4"),  # ties to even, as ISO 80000-1 rule A
        (-0.04, "0.1", "0.0"),
        (181.0, "2", "180"),
        (183.0, "2", "184"),
        (7.3, "0.5", "7.5"),
        (2000.0, "1", "2000"),
        (1e-9, "0.001", "0.000"),
    ],
)
def test_is_rounding_to_the_resolution_shown(value, resolution, text):
    assert rounded(value, resolution) == text


@given(NUMBER, st.sampled_from(["0.001", "0.1", "0.5", "1", "2", "5"]))
def test_is_rounding_never_off_by_more_than_half(value, resolution):
    assert abs(float(rounded(value, resolution)) - value) <= float(resolution) / 2 * (1 + 1e-9) + 1e-9


def test_is_a_value_shown_with_its_unit():
    assert show(37.04, "F") == "37.0 F"


@pytest.mark.parametrize(("text", "unit", "si"), [("4,4", "A", 4.4), (" 32 ", "F", 0.0), ("\u221240", "C", -40.0)])
def test_are_numbers_read_as_people_type_them(text, unit, si):
    assert parse_value(text, unit) == pytest.approx(si, abs=1e-9)


@pytest.mark.parametrize("text", ["", "twelve", "nan", "inf", "1e99", "1.2.3"])
def test_is_what_is_no_number_refused(text):
    with pytest.raises(BadRequest, match=r"is not a (measurable )?number"):
        parse_value(text, "V")


def test_is_an_unknown_unit_refused_with_what_is_allowed():
    with pytest.raises(BadRequest, match="unknown unit 'degF'; allowed are psig psia"):
        to_si(1.0, "degF")

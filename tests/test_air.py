"""Moist air against the handbook and against an independent library."""

import psychrolib
import pytest

from scenarios.compiling.kernel import COMPILING, plain
from scenarios.refrigeration import air

if COMPILING:  # the library compiles itself with the same compiler and cannot start without it
    psychrolib.SetUnitSystem(psychrolib.SI)
PSI = 6894.757293168


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("fahrenheit", "psia"), [(23.0, 0.058268), (41.0, 0.12656), (77.0, 0.45973), (122.0, 1.79140)])
def test_saturation_pressure_of_the_handbook(fahrenheit, psia):
    """ASHRAE Fundamentals (2017), ch. 1, table 3; the formula is claimed to 0.03 %."""
    assert air.saturation_pressure(celsius(fahrenheit)) == pytest.approx(psia * PSI, rel=3e-4)


def test_the_handbook_example_of_wet_bulb():
    """ASHRAE Fundamentals (2017), ch. 1, example 1: 100 F dry, 65 F wet: W 0.00523, h 29.80 Btu/lb (read from its chart)."""
    humidity = air.humidity_from_wet_bulb(celsius(100.0), celsius(65.0))
    assert humidity == pytest.approx(0.00523, rel=0.01)
    btu_per_lb = (air.enthalpy(celsius(100.0), humidity) - air.enthalpy(celsius(0.0), 0.0)) / 2326.0
    assert btu_per_lb == pytest.approx(29.80, rel=0.005)


@pytest.mark.parametrize(("dry", "relative", "wet"), [(95.0, 0.40, 75.08), (95.0, 0.50, 79.05), (105.0, 0.15, 69.21)])
def test_wet_bulb_of_hot_days(dry, relative, wet):
    """Computed with psychrolib at 14.696 psia."""
    humidity = air.humidity_at(celsius(dry), relative)
    assert air.wet_bulb(celsius(dry), humidity) == pytest.approx(celsius(wet), abs=0.02)


@pytest.mark.skipif(not COMPILING, reason="psychrolib needs the compiler")
@pytest.mark.parametrize("dry", [-15.0, -2.0, 0.5, 5.6, 15.0, 25.0, 40.0])
@pytest.mark.parametrize("below", [0.0, 1.0, 4.0])
def test_against_psychrolib(dry, below):
    humidity = air.humidity_from_wet_bulb(dry, dry - below)
    theirs = psychrolib.GetHumRatioFromTWetBulb(dry, dry - below, air.SEA_LEVEL)
    assert humidity == pytest.approx(theirs, rel=2e-5, abs=1e-7)
    assert air.enthalpy(dry, humidity) == pytest.approx(psychrolib.GetMoistAirEnthalpy(dry, theirs), abs=2.0)
    assert air.saturation_pressure(dry) == pytest.approx(psychrolib.GetSatVapPres(dry), rel=1e-9)
    if humidity > 2e-4:
        assert air.wet_bulb(dry, humidity) == pytest.approx(dry - below, abs=1e-3)


@pytest.mark.parametrize("temperature", [5.0, 18.0, 32.0, 50.0])
def test_slope_of_saturated_enthalpy_is_its_derivative(temperature):
    high, _ = air.rough_saturated(temperature + 0.01)
    low, _ = air.rough_saturated(temperature - 0.01)
    assert air.rough_saturated(temperature)[1] == pytest.approx((high - low) / 0.02, rel=0.02)


def test_python_and_compiled_give_the_same_bits():
    for t in (-20.0, 0.0, 13.0, 31.7):
        assert plain(air.saturation_pressure)(t) == air.saturation_pressure(t)
        assert plain(air.wet_bulb)(t, 0.002) == air.wet_bulb(t, 0.002)


@pytest.mark.parametrize(("resistance", "stiffness", "drop"), [(1e4, 0.0, 2500.0), (1e4, 5e3, 2500.0), (1.0, 1e5, 2500.0)])
def test_flow_through_satisfies_its_own_equation(resistance, stiffness, drop):
    flow = air.through(resistance, stiffness, drop)
    assert resistance * flow * flow + stiffness * flow == pytest.approx(drop, rel=1e-12)


def test_no_drop_no_flow():
    assert air.through(1e4, 1e3, -5.0) == 0.0

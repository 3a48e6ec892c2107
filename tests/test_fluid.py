"""Refrigerants: tables against their source, published points, and closed volumes."""

import os
import subprocess
import sys
from dataclasses import fields

import numpy as np
import pytest
from CoolProp import CoolProp

from scenarios.compiling.kernel import plain
from scenarios.errors import BadRequest
from scenarios.refrigeration import fluid as f
from scenarios.refrigeration import property_tables
from scenarios.refrigeration.build_tables import Source, measure
from scenarios.refrigeration.closed_volume import closed_volume

R448A = property_tables.load("R-448A")
PSI, ATM = 6894.757293168, 101325.0
OTHER_POINTS = 7
"""Seed of the points a table is measured at here; when it was built, and its stated errors were found, it was another."""
WORSE = 1.5
"""Largest difference among other points, over that among those the stated error was found at [-]."""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize("name", property_tables.known())
def test_every_table_meets_its_source_within_its_stated_error(name):
    """Fresh flashes at random points, no row of any table among them: saturation 0.5 to 31 bar, vapour up to 90 K over dew."""
    found, stated = measure(name, OTHER_POINTS), property_tables.errors(name)
    for field in fields(stated):
        assert getattr(found, field.name) <= WORSE * getattr(stated, field.name), field.name


@pytest.mark.parametrize("name", property_tables.known())
def test_stated_errors_are_small_enough_for_a_gauge(name):
    """What an instrument of the trade could never tell: a thousandth of a kelvin, a quarter of a kelvin of superheat, 0.1 %."""
    stated = property_tables.errors(name)
    assert stated.saturation < 1e-3
    assert stated.superheat < 0.3
    assert max(stated.volume, stated.gas_volume) < 1e-3
    assert max(stated.enthalpy, stated.gas_enthalpy) < 700.0


@pytest.mark.parametrize(
    ("name", "dew"), [("R-404A", -45.7), ("R-134a", -26.1), ("R-290", -42.1), ("R-449A", -39.9), ("R-448A", -39.8)]
)
def test_dew_at_one_atmosphere(name, dew):
    """ASHRAE Standard 34, table 4 (from memory, +-0.5 K): dew, or the one boiling point, at one atmosphere [C]."""
    assert f.saturation(property_tables.load(name), ATM).t_dew == pytest.approx(dew, abs=0.5)


@pytest.mark.parametrize("name", property_tables.known())
def test_every_table_counts_from_liquid_at_zero(name):
    """200 kJ/kg for saturated liquid at 0 C, but for R-448A, which counts from 203.5 as CoolProp's mixture does."""
    fluid, zero = property_tables.load(name), 203.458e3 if name == "R-448A" else 200e3
    assert f.from_temperature(fluid.by_temperature, 0.0, 2) == pytest.approx(zero, abs=60.0)
    for temperature in (-50.0, -30.0, 0.0, 40.0, 60.0):
        liquid = f.from_temperature(fluid.by_temperature, temperature, 2)
        assert f.liquid_temperature(fluid, liquid) == pytest.approx(temperature, abs=0.05)


@pytest.mark.parametrize("name", property_tables.known())
def test_scalars_are_those_of_the_library(name):
    """Steepness, heats and densities against CoolProp; those of R-448A were fitted by hand, to ten percent and its density."""
    about, state = property_tables.load(name).about[0], Source.of(name).state
    rough = 0.12 if name == "R-448A" else 0.02

    def steep(temperature: float) -> float:
        pressures = []
        for t in (temperature - 1.0, temperature + 1.0):
            state.update(CoolProp.QT_INPUTS, 1.0, t)
            pressures.append(state.p())
        return float(np.log(pressures[1] / pressures[0]) / 2.0)

    assert about.steepness == pytest.approx(steep(266.15), rel=rough)
    assert about.warm_steepness == pytest.approx(steep(308.15), rel=rough)
    state.update(CoolProp.QT_INPUTS, 1.0, 266.15)
    assert about.gas_heat == pytest.approx(state.cpmass(), rel=rough)
    state.update(CoolProp.QT_INPUTS, 0.0, 308.15)
    assert about.liquid_heat == pytest.approx(state.cpmass(), rel=rough)
    state.update(CoolProp.QT_INPUTS, 0.0, 303.15)
    assert about.line_density == pytest.approx(state.rhomass(), rel=rough)
    assert about.tank_volume == pytest.approx(1.0 / state.rhomass(), rel=rough)


def test_an_unknown_refrigerant_is_refused():
    with pytest.raises(BadRequest, match="refrigerant R-999: there is no table of it; there are R-134a"):
        property_tables.load("R-999")


def test_temperature_and_enthalpy_tables_invert_the_pressure_table():
    for p in np.geomspace(0.6e5, 30e5, 60):
        at = f.saturation(R448A, float(p))
        assert f.bubble_pressure(R448A, at.t_bub) == pytest.approx(p, rel=1e-4)
        assert f.dew_pressure(R448A, at.t_dew) == pytest.approx(p, rel=1e-4)
        if at.h_liq > 121e3:
            assert f.liquid_temperature(R448A, at.h_liq) == pytest.approx(at.t_bub, abs=1e-3)


def test_normal_boiling_points():
    """ASHRAE Standard 34, table 4-2 (from memory, +-0.3 F): R-448A bubble -50.6 F, dew -39.6 F at one atmosphere.

    The mixture model behind the table is up to 1.5 % in pressure away from it, which is 0.6 F here.
    """
    at = f.saturation(R448A, ATM)
    assert at.t_bub == pytest.approx(celsius(-50.6), abs=0.6 / 1.8)
    assert at.t_dew == pytest.approx(celsius(-39.6), abs=0.6 / 1.8)


@pytest.mark.parametrize(("psig", "line", "superheat"), [(23.8, 20.0, 20.05)])
def test_superheat_counts_from_dew(psig, line, superheat):
    """Computed with CoolProp 8.0.0, not published: 23.8 psig and 20 F are 20.05 F of superheat; bubble would give 31.4."""
    at = f.saturation(R448A, psig * PSI + ATM)
    assert (celsius(line) - at.t_dew) * 1.8 == pytest.approx(superheat, abs=0.03)
    assert (celsius(line) - at.t_bub) * 1.8 == pytest.approx(31.4, abs=0.03)


def test_subcooling_counts_from_bubble():
    """Computed with CoolProp 8.0.0, not published: 227 psig and 85 F are 9.98 F of subcooling; dew would give 19.28."""
    at = f.saturation(R448A, 227.0 * PSI + ATM)
    assert (at.t_bub - celsius(85.0)) * 1.8 == pytest.approx(9.98, abs=0.03)
    assert (at.t_dew - celsius(85.0)) * 1.8 == pytest.approx(19.28, abs=0.03)


@pytest.mark.parametrize("name", property_tables.known())
def test_bubble_lies_under_dew_everywhere(name):
    """A pure refrigerant has no glide: there the two columns are one, to a ten-thousandth of a kelvin."""
    table = property_tables.load(name).by_pressure
    assert (table[:, 1] > table[:, 0] - 1e-4).all()
    assert ((table[:, 1] - table[:, 0]).max() > 0.3) == (name not in ("R-134a", "R-290"))
    assert (np.diff(table[:, :2], axis=0) > 0.0).all()


@pytest.mark.parametrize("over", [-150e3, -40e3, -1e3, 0.0, 1e3, 30e3, 90e3])
@pytest.mark.parametrize("pressure", [0.8e5, 4.2e5, 14e5, 23e5, 31e5])
def test_a_closed_volume_gets_its_pressure_back(pressure, over):
    at = f.saturation(R448A, pressure)
    h = max(at.h_gas + over, at.h_liq + 2e3)
    v = f.volume(R448A, at, h)
    for guess in (0.5, 0.97, 1.4):
        found = closed_volume(R448A, v, h - pressure * v, guess * pressure)
        assert found.pressure == pytest.approx(pressure, rel=2e-6)
        assert found.enthalpy == pytest.approx(h, abs=1.0)


def test_a_closed_volume_is_found_within_half_a_pascal_of_a_near_guess():
    """As near as one step is from the next, wet and superheated, over the whole table."""
    rng, worst = np.random.default_rng(5), 0.0
    for _ in range(2000):
        pressure = float(np.exp(rng.uniform(np.log(0.7e5), np.log(31e5))))
        at = f.saturation(R448A, pressure)
        h = at.h_gas + float(rng.uniform(-0.95 * (at.h_gas - at.h_liq), 90e3))
        v = f.volume(R448A, at, h)
        guess = pressure * (1.0 + float(rng.choice([1e-5, 1e-4, 1e-3, 1e-2])) * float(rng.uniform(-1.0, 1.0)))
        worst = max(worst, abs(closed_volume(R448A, v, h - pressure * v, guess).pressure - pressure))
    assert worst < 0.5


def test_a_closed_volume_warms_when_it_is_filled_with_gas():
    """Filling a rigid vessel warms it: the work of pushing stays inside (first law, hand argument)."""
    at = f.saturation(R448A, 4e5)
    h = at.h_gas + f.rise(at, 20.0)
    v = f.volume(R448A, at, h)
    u = h - 4e5 * v
    fuller = closed_volume(R448A, v / 1.5, (u + 0.5 * h) / 1.5, 4e5)
    assert fuller.pressure > 5.5e5
    assert fuller.temperature > at.t_dew + 20.0 + 5.0


def test_python_and_compiled_give_the_same_bits():
    in_python = plain(closed_volume)
    for space, energy in ((0.05, 385e3), (0.055, 390e3), (0.018, 360e3), (0.01, 300e3)):
        assert tuple(in_python(R448A, space, energy, 5e5)) == tuple(closed_volume(R448A, space, energy, 5e5))


def test_the_source_library_is_not_needed_to_run():
    program = "import sys, scenarios.refrigeration.store, scenarios.refrigeration.rack; sys.exit('CoolProp' in sys.modules)"
    environ = {**os.environ, "NUMBA_DISABLE_JIT": "1", "HALFSPLIT_PREPARE": "0"}
    assert subprocess.run([sys.executable, "-c", program], env=environ, check=False).returncode == 0


@pytest.mark.slow
def test_committed_tables_are_what_their_script_makes():
    from scenarios.refrigeration.build_tables import saturation_table

    for name in property_tables.known():
        made = saturation_table(Source.of(name))
        assert np.allclose(made, property_tables.load(name).by_pressure, rtol=1e-7, atol=1e-9), name

"""R-448A: the table against its source, published points, and closed volumes."""

import os
import subprocess
import sys

import numpy as np
import pytest
from CoolProp import CoolProp

from scenarios.compiling.kernel import plain
from scenarios.refrigeration import fluid as f
from scenarios.refrigeration import refrigerants
from scenarios.refrigeration.build_tables import FLUID, sample
from scenarios.refrigeration.closed_volume import closed_volume

R448A = refrigerants.load("R-448A")
PSI, ATM = 6894.757293168, 101325.0


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.fixture(scope="module")
def source():
    return CoolProp.AbstractState("HEOS", FLUID)


@pytest.fixture(scope="module")
def flashes(source):
    """Three hundred fresh saturation flashes between 0.5 and 31 bar; pressures where the dew flash fails are left out."""
    found = []
    for p in np.exp(np.random.default_rng(1).uniform(np.log(0.5e5), np.log(31e5), 300)):
        one = sample(source, float(p))
        if "t_dew" in one:
            found.append((float(p), one))
    assert len(found) > 280
    return found


def test_saturation_meets_its_source_within_the_stated_error(flashes):
    for p, true in flashes:
        at = f.saturation(R448A, p)
        assert at.t_bub == pytest.approx(true["t_bub"], abs=4e-5)
        assert at.t_dew == pytest.approx(true["t_dew"], abs=4e-5)
        assert at.h_liq == pytest.approx(true["h_liq"], abs=0.05)
        assert at.h_gas == pytest.approx(true["h_gas"], abs=0.05)
        assert at.v_gas == pytest.approx(true["v_gas"], rel=1e-5)
        assert at.v_liq == pytest.approx(true["v_liq"], rel=1e-6)


def test_superheated_vapour_meets_its_source(source):
    rng = np.random.default_rng(2)
    worst_h = worst_t = worst_v = 0.0
    for p in np.exp(rng.uniform(np.log(0.7e5), np.log(23e5), 200)):
        at = f.saturation(R448A, float(p))
        warmer = float(rng.uniform(0.5, 90.0))
        source.specify_phase(CoolProp.iphase_gas)
        source.update(CoolProp.PT_INPUTS, float(p), at.t_dew + 273.15 + warmer)
        h, v = source.hmass(), 1.0 / source.rhomass()
        source.unspecify_phase()
        worst_h = max(worst_h, abs(at.h_gas + f.rise(at, warmer) - h))
        worst_t = max(worst_t, abs(f.superheat(R448A, at, h) - warmer))
        worst_v = max(worst_v, abs(f.volume(R448A, at, h) / v - 1.0))
    assert worst_h < 400.0
    assert worst_t < 0.25
    assert worst_v < 3e-4


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


def test_bubble_lies_under_dew_everywhere():
    table = R448A.by_pressure
    assert (table[:, 1] > table[:, 0]).all()
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
def test_the_committed_table_is_what_its_script_makes():
    from scenarios.refrigeration.build_tables import saturation_table

    assert np.allclose(saturation_table(), R448A.by_pressure, rtol=1e-7, atol=1e-9)

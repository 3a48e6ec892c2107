"""Compressors: limits, balances, published ratings and heat rejection."""

import pytest
from rating import Rating, rated

from scenarios.compiling.kernel import plain
from scenarios.compiling.quantities import one
from scenarios.refrigeration import fluid as f
from scenarios.refrigeration import property_tables
from scenarios.refrigeration.compressor import (
    HEAT_INTO_GAS,
    Compressor,
    compress,
    compression,
    efficiency,
    leaks_back,
    volumetric_efficiency,
)

MACHINE = Compressor(swept_flow=0.0225)
SUCTION, DENSITY, DISCHARGE = 4.1e5, 17.5, 14.35e5
R448A = property_tables.load("R-448A")
RATIO = compression(SUCTION, DISCHARGE, R448A.about[0].exponent)
MOST = 150e3
"""More enthalpy no machine puts into its gas [J/kg]."""
FLOW = Rating(217.3163128, 5.094492028, -0.593170311, 0.0438, -0.0214, 0.0104, 7.9e-05, -5.73e-05, 0.000179, -8.08e-05)
POWER = Rating(
    -561.3615705, -15.62601841, 46.92506685, -0.217949552, 0.435062616, -0.442400826, 0.000225, 0.00237, -0.00332, 0.0025
)


@pytest.mark.parametrize(
    ("suction", "discharge", "flow", "power"),
    [(45.0, 130.0, 459.448, 3074.97), (35.0, 110.0, 391.407, 2358.92), (50.0, 115.0, 516.695, 2476.04)],
)
def test_rating_polynomial_of_a_published_machine(suction, discharge, flow, power):
    """AHRI 540 form; coefficients of an R-410A 3-ton machine from a published heat-pump model, lb/h and W; values by hand."""
    assert rated(FLOW, suction, discharge) == pytest.approx(flow, abs=0.005)
    assert rated(POWER, suction, discharge) == pytest.approx(power, abs=0.05)


def test_the_other_order_of_coefficients_is_another_number():
    swapped = Rating(FLOW.c1, FLOW.c2, FLOW.c4, FLOW.c3, FLOW.c6, FLOW.c5, FLOW.c7, FLOW.c10, FLOW.c8, FLOW.c9)
    assert abs(rated(swapped, 45.0, 130.0) - 459.448) > 10.0


def test_nothing_re_expands_at_ratio_one():
    assert volumetric_efficiency(1.0, one(MACHINE)) == pytest.approx(MACHINE.tightness, rel=1e-12)


def test_filling_falls_with_ratio_and_never_below_zero():
    values = [volumetric_efficiency(r, one(MACHINE)) for r in (1.0, 2.0, 4.0, 8.0, 16.0, 60.0)]
    assert values == sorted(values, reverse=True)
    assert values[-1] == 0.0


def test_flow_by_hand():
    """Ratio 3.5, clearance 4 %: 3.5^(1/1.085) = 3.173; 0.97 (1 - 0.04 2.173) = 0.8857; times 0.0225 17.5 = 0.3487 kg/s."""
    assert compress(one(MACHINE), 1.0, SUCTION, DENSITY, RATIO, MOST).flow == pytest.approx(0.3487, rel=1e-3)


def test_shaft_power_leaves_with_the_gas_but_for_the_share_to_the_room():
    stroke = compress(one(MACHINE), 1.0, SUCTION, DENSITY, RATIO, MOST)
    assert stroke.flow * stroke.enthalpy_rise == pytest.approx(HEAT_INTO_GAS * stroke.shaft, rel=1e-12)


def test_a_standing_machine_moves_nothing():
    assert compress(one(MACHINE), 0.0, SUCTION, DENSITY, RATIO, MOST).flow == 0.0


def test_leaking_valves_cost_flow_and_less_power():
    good = compress(one(MACHINE), 1.0, SUCTION, DENSITY, RATIO, MOST)
    bad = compress(one(Compressor(swept_flow=0.0225, valve_leak=0.6)), 1.0, SUCTION, DENSITY, RATIO, MOST)
    assert bad.flow == pytest.approx(0.4 * good.flow, rel=1e-12)
    assert 0.4 * good.shaft < bad.shaft < good.shaft
    assert bad.enthalpy_rise > 1.3 * good.enthalpy_rise


def test_a_gap_leaks_only_downhill():
    gap = one(Compressor(swept_flow=0.0225, leak_back=2e-6))
    assert leaks_back(gap, 50.0, SUCTION, DISCHARGE) > 0.0
    assert leaks_back(gap, 50.0, DISCHARGE, SUCTION) == 0.0


@pytest.mark.parametrize(("condensing", "factor"), [(30.0, 1.24), (35.0, 1.26), (40.0, 1.29), (45.0, 1.33)])
def test_heat_rejection_factor(condensing, factor):
    """Condenser selection sheet, suction-cooled machines at -5 C: heat to reject over cooling. The sheet is for older
    refrigerants: +-0.06, and not above 45 C, where this blend needs more work."""
    low, high = f.saturation(R448A, f.dew_pressure(R448A, -5.0)), f.saturation(R448A, f.dew_pressure(R448A, condensing))
    gas = low.h_gas + f.rise(low, 12.0)
    stroke = compress(
        one(MACHINE),
        1.0,
        low.pressure,
        1.0 / f.volume(R448A, low, gas),
        compression(low.pressure, high.pressure, R448A.about[0].exponent),
        MOST,
    )
    cooling = stroke.flow * (gas - high.h_liq)
    assert (cooling + stroke.shaft) / cooling == pytest.approx(factor, abs=0.06)


def test_polytropic_exponent_fits_the_fluid():
    """Isentropic work by CoolProp over suction 1.5 to 6.5 bar, ratio 2 to 6; the exponent is claimed to 3 %."""
    from CoolProp import CoolProp

    gas = CoolProp.AbstractState("HEOS", "R448A.mix")
    gas.specify_phase(CoolProp.iphase_gas)
    for pressure in (1.5e5, 4.1e5, 6.5e5):
        at = f.saturation(R448A, pressure)
        for ratio in (2.0, 3.5, 5.0):
            if ratio * pressure > 24e5:
                continue
            gas.update(CoolProp.PT_INPUTS, pressure, at.t_dew + 10.0 + 273.15)
            h, s, density = gas.hmass(), gas.smass(), gas.rhomass()
            low, high = at.t_dew + 280.0, at.t_dew + 420.0
            for _ in range(50):
                middle = 0.5 * (low + high)
                gas.update(CoolProp.PT_INPUTS, pressure * ratio, middle)
                low, high = (middle, high) if gas.smass() < s else (low, middle)
            work = pressure / density * compression(pressure, ratio * pressure, R448A.about[0].exponent).work
            assert work == pytest.approx(gas.hmass() - h, rel=0.03)


def test_python_and_compiled_give_the_same_bits():
    args = (1.0, SUCTION, DENSITY, RATIO, MOST)
    assert tuple(plain(compress)(MACHINE, *args)) == tuple(compress(one(MACHINE), *args))
    assert efficiency(3.2) == 0.7

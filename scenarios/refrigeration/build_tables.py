"""Build the property table of R-448A from CoolProp: ``python -m scenarios.refrigeration.build_tables``.

Run by a developer, never at install: the table is committed as data, because another processor would give other last digits and
every replay depends on them. CoolProp's predefined mixture `R448A.mix` is sampled at Chebyshev nodes of the square root of
pressure; polynomials through the samples fill uniform grids that are read by straight lines. Near the top of the range the
dew-point flash fails at single pressures; those samples are dropped and the fit runs through the others.

Measured against 300 fresh flashes between 0.5 and 31 bar (tests/test_fluid.py repeats it): bubble and dew temperature within
4e-5 K, enthalpy of saturated liquid and vapour within 0.05 J/kg, densities within 0.001 %; superheated vapour up to 90 K within
0.4 kJ/kg and 0.03 % up to 23 bar (0.7 kJ/kg above). That tests the interpolation; the mixture model itself is good to about
1 % in pressure.
"""

from pathlib import Path
from typing import Any

import numpy as np
from CoolProp import CoolProp
from numpy.polynomial import Chebyshev

FLUID = "R448A.mix"
PLACE = Path(__file__).with_name("r448a.npz")
LEAST, MOST = 0.3e5, 33.0e5
"""Pressures of the table [Pa]."""
ROWS, NODES, SUPERHEATS = 2049, 90, np.array([1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 52.0, 65.0, 80.0, 95.0, 110.0])
COLDEST, WARMEST = -60.0, 68.0
"""Temperatures of the liquid table [C]."""
COLUMNS = ("t_bub", "t_dew", "h_liq", "h_gas", "v_liq", "v_gas", "c1", "c2", "c3", "s1", "s2", "s3", "b1", "b2", "b3")


def through_origin(x: np.ndarray[Any, Any], y: np.ndarray[Any, Any], degree: int = 3) -> np.ndarray[Any, Any]:
    """Coefficients of y = a1 x + a2 x² + a3 x³, least squares."""
    return np.asarray(np.linalg.lstsq(np.stack([x**n for n in range(1, degree + 1)], axis=1), y, rcond=None)[0])


def sample(fluid: Any, pressure: float) -> dict[str, float]:
    """Saturation and superheated-vapour coefficients at one pressure; the failing side is left out."""
    found: dict[str, float] = {}
    try:
        fluid.update(CoolProp.PQ_INPUTS, pressure, 0.0)
        found |= {"t_bub": fluid.T() - 273.15, "h_liq": fluid.hmass(), "v_liq": 1.0 / fluid.rhomass()}
    except ValueError:
        return found
    try:
        fluid.update(CoolProp.PQ_INPUTS, pressure, 1.0)
    except ValueError:
        return found
    dew, h_gas, v_gas = fluid.T() - 273.15, fluid.hmass(), 1.0 / fluid.rhomass()
    rise, swell, superheat = [], [], []
    fluid.specify_phase(CoolProp.iphase_gas)
    for warmer in SUPERHEATS:
        try:
            fluid.update(CoolProp.PT_INPUTS, pressure, dew + 273.15 + float(warmer))
        except ValueError:
            continue
        superheat.append(warmer)
        rise.append(fluid.hmass() - h_gas)
        swell.append(1.0 / fluid.rhomass() / v_gas - 1.0)
    fluid.unspecify_phase()
    if len(superheat) < 10 or not 0.0 < dew - found["t_bub"] < 9.0:
        return found
    x, y, z = np.array(superheat), np.array(rise), np.array(swell)
    found |= {"t_dew": dew, "h_gas": h_gas, "v_gas": v_gas}
    found |= dict(zip(("c1", "c2", "c3"), through_origin(x / 100, y), strict=True))
    found |= dict(zip(("s1", "s2", "s3"), through_origin(y / 1e5, x), strict=True))
    found |= dict(zip(("b1", "b2", "b3"), through_origin(y / 1e5, z), strict=True))
    return found


def fitted(at: list[float], values: list[float], grid: np.ndarray[Any, Any], degree: int) -> np.ndarray[Any, Any]:
    """A Chebyshev polynomial in the square root of pressure, evaluated on the grid."""
    ends = [LEAST**0.5, MOST**0.5]
    return np.asarray(Chebyshev.fit(np.sqrt(at), values, degree, domain=ends)(grid))


def saturation_table() -> np.ndarray[Any, Any]:
    """Rows uniform in the square root of pressure, columns as in `COLUMNS`."""
    fluid = CoolProp.AbstractState("HEOS", FLUID)
    middle, half = (LEAST**0.5 + MOST**0.5) / 2, (MOST**0.5 - LEAST**0.5) / 2
    nodes = (middle + half * np.cos(np.pi * (np.arange(NODES) + 0.5) / NODES)) ** 2
    samples = [(float(p), sample(fluid, float(p))) for p in nodes]
    grid = np.linspace(LEAST**0.5, MOST**0.5, ROWS)
    made = np.empty((ROWS, len(COLUMNS)))
    for column, name in enumerate(COLUMNS):
        have = [(p, s[name]) for p, s in samples if name in s]
        at = [p for p, _ in have]
        if name in ("v_gas", "v_liq"):  # p v varies far less than v
            scale = np.asarray(at) if name == "v_gas" else np.ones(len(at))
            values = list(scale * np.array([v for _, v in have]))
            made[:, column] = fitted(at, values, grid, 22) / (grid**2 if name == "v_gas" else 1.0)
        elif name in ("t_bub", "t_dew"):  # ln p / linear in 1/T: remove the steep part first
            rough = [1.0 / (t + 273.15) for _, t in have]
            line = np.polyfit(np.log(at), rough, 1)
            rest = list(np.array(rough) - np.polyval(line, np.log(at)))
            made[:, column] = 1.0 / (np.polyval(line, np.log(grid**2)) + fitted(at, rest, grid, 24)) - 273.15
        else:
            made[:, column] = fitted(at, [v for _, v in have], grid, 22 if name[0] == "h" else 10)
    return made


def liquid_table(saturation: np.ndarray[Any, Any]) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """By temperature: bubble and dew pressure, enthalpy and volume of liquid; by enthalpy: temperature of liquid."""
    pressure = np.linspace(LEAST**0.5, MOST**0.5, ROWS) ** 2
    warm = np.linspace(COLDEST, WARMEST, 2561)
    bubble, dew = saturation[:, 0], saturation[:, 1]

    def at(x: np.ndarray[Any, Any], xs: np.ndarray[Any, Any], ys: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        inside = np.interp(x, xs, ys)
        low, high = (ys[1] - ys[0]) / (xs[1] - xs[0]), (ys[-1] - ys[-2]) / (xs[-1] - xs[-2])
        below, above = ys[0] + low * (x - xs[0]), ys[-1] + high * (x - xs[-1])
        return np.asarray(np.where(x < xs[0], below, np.where(x > xs[-1], above, inside)))

    by_temperature = np.stack(
        [
            np.exp(at(warm, bubble, np.log(pressure))),
            np.exp(at(warm, dew, np.log(pressure))),
            at(warm, bubble, saturation[:, 2]),
            at(warm, bubble, saturation[:, 4]),
        ],
        axis=1,
    )
    enthalpy = np.linspace(120e3, 322e3, 2021)
    return by_temperature, at(enthalpy, by_temperature[:, 2], warm)


def main() -> None:
    """Write the table beside this module."""
    saturation = saturation_table()
    by_temperature, by_enthalpy = liquid_table(saturation)
    np.savez_compressed(PLACE, by_pressure=saturation, by_temperature=by_temperature, by_enthalpy=by_enthalpy)
    print(f"{PLACE}: {PLACE.stat().st_size} bytes")


if __name__ == "__main__":
    main()

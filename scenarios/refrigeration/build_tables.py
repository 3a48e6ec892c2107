"""Build the property tables of refrigerants from CoolProp: ``python -m scenarios.refrigeration.build_tables R-449A R-290``.

Run by a developer, never at install: the tables are committed as data, because another processor would give other last digits and
every replay depends on them. A refrigerant is sampled at Chebyshev nodes of the square root of pressure; polynomials through the
samples fill uniform grids that are read by straight lines. Near the top of the range the dew-point flash of a mixture fails at
single pressures; those samples are dropped and the fit runs through the others. Every table counts 200 kJ/kg for saturated liquid
at 0 C, so a constant is added where CoolProp's mixture counts from elsewhere.

The error of a table is measured against fresh flashes at random points when it is built and kept in its file (tests/test_fluid.py
measures it again at other points). That tests the interpolation; the mixture models themselves are good to about 1 % in pressure.

The scalars of a refrigerant come from CoolProp likewise, but for R-448A, which keeps those that were fitted to it by hand.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from CoolProp import CoolProp
from numpy.polynomial import Chebyshev

from scenarios.compiling.quantities import table
from scenarios.refrigeration.fluid import COLDEST, INTERVALS, LEAST_PRESSURE, LIQUID_ROWS, MOST_PRESSURE, WARMEST
from scenarios.refrigeration.property_tables import TABLES
from scenarios.refrigeration.refrigerants import Errors, Refrigerant

SOURCES = {
    "R-448A": "R448A.mix",
    "R-449A": "R449A.mix",
    "R-404A": "R404A.mix",
    "R-134a": "R134a",
    "R-290": "Propane",
}
"""What CoolProp calls each."""
FITTED: dict[str, dict[str, float]] = {
    "R-448A": {
        "exponent": 1.085, "steepness": 0.034, "warm_steepness": 0.026, "gas_heat": 900.0, "warm_gas_heat": 950.0,
        "liquid_slope": 1350.0, "liquid_heat": 1550.0, "line_density": 1080.0, "tank_volume": 9.3e-4, "most_lift": 150e3,
        "most_over": 1.6, "least_enthalpy": 120e3, "most_enthalpy": 322e3,
    },
}  # fmt: skip
"""Scalars that were fitted by hand before, by refrigerant."""
LEAST_GOOD, MOST_GOOD = 0.5e5, 31.0e5
"""Pressures between which errors are measured [Pa]."""
ROWS, NODES, SUPERHEATS = (
    INTERVALS + 1,
    90,
    np.array([1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 52.0, 65.0, 80.0, 95.0, 110.0]),
)
COLUMNS = ("t_bub", "t_dew", "h_liq", "h_gas", "v_liq", "v_gas", "c1", "c2", "c3", "s1", "s2", "s3", "b1", "b2", "b3")
GLIDE_MOST = 9.0
"""A larger difference of dew and bubble is a flash that failed [K]."""
COLD, WARM, TANK = 266.15, 308.15, 303.15
"""Where the scalars are taken: boiling, condensing, and in receiver and line [K]."""


@dataclass(frozen=True)
class Source:
    """A refrigerant at CoolProp, counted from 200 kJ/kg for saturated liquid at 0 C."""

    state: Any
    shift: float
    """Added to its enthalpies [J/kg]."""

    @classmethod
    def of(cls, name: str) -> "Source":
        """Open one by the trade's name."""
        state = CoolProp.AbstractState("HEOS", SOURCES[name])
        state.update(CoolProp.QT_INPUTS, 0.0, 273.15)
        return cls(state, 0.0 if name in FITTED else 200e3 - state.hmass())


def through_origin(x: np.ndarray[Any, Any], y: np.ndarray[Any, Any], degree: int = 3) -> np.ndarray[Any, Any]:
    """Coefficients of y = a1 x + a2 x² + a3 x³, least squares."""
    return np.asarray(np.linalg.lstsq(np.stack([x**n for n in range(1, degree + 1)], axis=1), y, rcond=None)[0])


def saturated(source: Source, pressure: float) -> dict[str, float]:
    """Saturation at one pressure; the failing side is left out."""
    fluid = source.state
    found: dict[str, float] = {}
    try:
        fluid.update(CoolProp.PQ_INPUTS, pressure, 0.0)
        found |= {"t_bub": fluid.T() - 273.15, "h_liq": fluid.hmass() + source.shift, "v_liq": 1.0 / fluid.rhomass()}
        fluid.update(CoolProp.PQ_INPUTS, pressure, 1.0)
    except ValueError:
        return found
    dew = fluid.T() - 273.15
    if not -1e-6 < dew - found["t_bub"] < GLIDE_MOST:
        return found
    return found | {"t_dew": dew, "h_gas": fluid.hmass() + source.shift, "v_gas": 1.0 / fluid.rhomass()}


def superheated(source: Source, pressure: float, temperature: float) -> tuple[float, float]:
    """Enthalpy [J/kg] and volume [m3/kg] of vapour at a temperature [C].

    Raises
    ------
    ValueError
        The library finds no vapour there.
    """
    fluid = source.state
    fluid.specify_phase(CoolProp.iphase_gas)
    try:
        fluid.update(CoolProp.PT_INPUTS, pressure, temperature + 273.15)
        return fluid.hmass() + source.shift, 1.0 / fluid.rhomass()
    finally:
        fluid.unspecify_phase()


def sample(source: Source, pressure: float) -> dict[str, float]:
    """Saturation and superheated-vapour coefficients at one pressure; the failing side is left out."""
    found = saturated(source, pressure)
    if "t_dew" not in found:
        return found
    rise, swell, superheat = [], [], []
    for warmer in SUPERHEATS:
        try:
            enthalpy, volume = superheated(source, pressure, found["t_dew"] + float(warmer))
        except ValueError:
            continue
        superheat.append(warmer)
        rise.append(enthalpy - found["h_gas"])
        swell.append(volume / found["v_gas"] - 1.0)
    if len(superheat) < 10:
        return {name: found[name] for name in ("t_bub", "h_liq", "v_liq")}
    x, y, z = np.array(superheat), np.array(rise), np.array(swell)
    found |= dict(zip(("c1", "c2", "c3"), through_origin(x / 100, y), strict=True))
    found |= dict(zip(("s1", "s2", "s3"), through_origin(y / 1e5, x), strict=True))
    found |= dict(zip(("b1", "b2", "b3"), through_origin(y / 1e5, z), strict=True))
    return found


def fitted(at: list[float], values: list[float], grid: np.ndarray[Any, Any], degree: int) -> np.ndarray[Any, Any]:
    """A Chebyshev polynomial in the square root of pressure, evaluated on the grid."""
    ends = [LEAST_PRESSURE**0.5, MOST_PRESSURE**0.5]
    return np.asarray(Chebyshev.fit(np.sqrt(at), values, degree, domain=ends)(grid))


def saturation_table(source: Source) -> np.ndarray[Any, Any]:
    """Rows uniform in the square root of pressure, columns as in `COLUMNS`."""
    least, most = LEAST_PRESSURE**0.5, MOST_PRESSURE**0.5
    middle, half = (least + most) / 2, (most - least) / 2
    nodes = (middle + half * np.cos(np.pi * (np.arange(NODES) + 0.5) / NODES)) ** 2
    samples = [(float(p), sample(source, float(p))) for p in nodes]
    grid = np.linspace(least, most, ROWS)
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


def beyond(x: np.ndarray[Any, Any], xs: np.ndarray[Any, Any], ys: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Straight lines between points, and on in the direction of the last two beyond them."""
    inside = np.interp(x, xs, ys)
    low, high = (ys[1] - ys[0]) / (xs[1] - xs[0]), (ys[-1] - ys[-2]) / (xs[-1] - xs[-2])
    below, above = ys[0] + low * (x - xs[0]), ys[-1] + high * (x - xs[-1])
    return np.asarray(np.where(x < xs[0], below, np.where(x > xs[-1], above, inside)))


def liquid_table(saturation: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """By temperature: bubble and dew pressure, enthalpy and volume of liquid."""
    pressure = np.linspace(LEAST_PRESSURE**0.5, MOST_PRESSURE**0.5, ROWS) ** 2
    warm = np.linspace(COLDEST, WARMEST, 2561)
    bubble, dew = saturation[:, 0], saturation[:, 1]
    pressures = [np.exp(beyond(warm, side, np.log(pressure))) for side in (bubble, dew)]
    return np.stack([*pressures, beyond(warm, bubble, saturation[:, 2]), beyond(warm, bubble, saturation[:, 4])], axis=1)


class Scalars(NamedTuple):
    """What `Refrigerant` takes from the library."""

    values: dict[str, float]
    most_enthalpy: float
    """Last row of the liquid table [J/kg]."""


def exponents(source: Source) -> Iterator[float]:
    """Exponents that meet the volume and the work of compressing without loss, over the range of a rack.

    Suction -30, -20 and -7 C with 15 K of superheat, ratio 2 to 6.5: the same ends by enthalpy, entropy and volume.
    """
    fluid = source.state
    for dew in (-30.0, -20.0, -7.0):
        fluid.update(CoolProp.QT_INPUTS, 1.0, dew + 273.15)
        pressure = fluid.p()
        for ratio in (2.0, 3.0, 4.5, 6.5):
            try:
                yield from ends(fluid, pressure, dew + 15.0 + 273.15, ratio)
            except ValueError:  # no gas is found near the dew line of some mixtures
                continue
            finally:
                fluid.unspecify_phase()


def ends(fluid: Any, pressure: float, warm: float, ratio: float) -> tuple[float, float]:
    """The two exponents of one compression without loss, from a pressure [Pa] and a temperature [K].

    Raises
    ------
    ValueError
        The library finds no gas at one of the ends.
    """
    fluid.update(CoolProp.PQ_INPUTS, pressure * ratio, 1.0)
    low = fluid.T()
    fluid.specify_phase(CoolProp.iphase_gas)
    fluid.update(CoolProp.PT_INPUTS, pressure, warm)
    start, entropy, density, high = fluid.hmass(), fluid.smass(), fluid.rhomass(), low + 120.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        fluid.update(CoolProp.PT_INPUTS, pressure * ratio, middle)
        low, high = (middle, high) if fluid.smass() < entropy else (low, middle)
    by_volume = np.log(ratio) / np.log(fluid.rhomass() / density)
    work, below, above = (fluid.hmass() - start) * density / pressure, 1.001, 1.6
    for _ in range(60):
        n = 0.5 * (below + above)
        below, above = (n, above) if (ratio ** ((n - 1) / n) - 1.0) * n / (n - 1) < work else (below, n)
    return float(by_volume), float(n)


def scalars(name: str, source: Source, by_temperature: np.ndarray[Any, Any]) -> Scalars:
    """What is a matter of the refrigerant and in no table."""
    if name in FITTED:
        kept = dict(FITTED[name])
        return Scalars(kept, kept.pop("most_enthalpy"))
    fluid, found = source.state, {"exponent": round(float(np.mean(list(exponents(source)))), 3)}

    def steep(temperature: float) -> float:
        pressures = []
        for t in (temperature - 0.5, temperature + 0.5):
            fluid.update(CoolProp.QT_INPUTS, 1.0, t)
            pressures.append(fluid.p())
        return float(np.log(pressures[1] / pressures[0]))

    found |= {"steepness": round(steep(COLD), 4), "warm_steepness": round(steep(WARM), 4)}
    fluid.update(CoolProp.QT_INPUTS, 1.0, COLD)
    found["gas_heat"], gas = round(fluid.cpmass()), fluid.hmass()
    fluid.update(CoolProp.QT_INPUTS, 0.0, COLD)
    found["liquid_slope"], found["most_lift"] = round(fluid.cpmass()), 0.8 * (gas - fluid.hmass())
    fluid.update(CoolProp.QT_INPUTS, 1.0, WARM)
    found["warm_gas_heat"] = round(fluid.cvmass())
    found["most_over"] = 1.6 * max(1.0, found["gas_heat"] / 950.0)
    fluid.update(CoolProp.QT_INPUTS, 0.0, WARM)
    found["liquid_heat"] = round(fluid.cpmass())
    fluid.update(CoolProp.QT_INPUTS, 0.0, TANK)
    found["line_density"], found["tank_volume"] = round(fluid.rhomass(), 1), round(1.0 / fluid.rhomass(), 7)
    found["least_enthalpy"] = float(np.floor(by_temperature[0, 2] / 1e3) * 1e3)
    return Scalars(found, float(np.ceil(by_temperature[-1, 2] / 1e3) * 1e3))


def measure(name: str, seed: int) -> Errors:
    """Largest differences of a committed table from fresh flashes at random points."""
    from scenarios.refrigeration import fluid as f
    from scenarios.refrigeration.property_tables import load

    source, ours, worst = Source.of(name), load(name), dict.fromkeys(Errors.__dataclass_fields__, 0.0)
    rng = np.random.default_rng(seed)

    def note(**found: float) -> None:
        for field, value in found.items():
            worst[field] = max(worst[field], abs(value))

    for p in np.exp(rng.uniform(np.log(LEAST_GOOD), np.log(MOST_GOOD), 300)):
        true, at = saturated(source, float(p)), f.saturation(ours, float(p))
        if "t_dew" in true:
            note(saturation=at.t_bub - true["t_bub"], enthalpy=at.h_liq - true["h_liq"], volume=at.v_liq / true["v_liq"] - 1.0)
            note(saturation=at.t_dew - true["t_dew"], enthalpy=at.h_gas - true["h_gas"], volume=at.v_gas / true["v_gas"] - 1.0)
    for p in np.exp(rng.uniform(np.log(0.6e5), np.log(23e5), 300)):
        at, warmer = f.saturation(ours, float(p)), float(rng.uniform(0.5, 90.0))
        h, v = superheated(source, float(p), at.t_dew + warmer)
        note(gas_enthalpy=at.h_gas + f.rise(at, warmer) - h, gas_volume=f.volume(ours, at, h) / v - 1.0)
        note(superheat=f.superheat(ours, at, h) - warmer)
    return Errors(**worst)


def build(name: str) -> None:
    """Write the file of one refrigerant, then measure it and write the errors into it."""
    source = Source.of(name)
    saturation = saturation_table(source)
    by_temperature = liquid_table(saturation)
    values, most = scalars(name, source, by_temperature)
    enthalpy = np.linspace(values["least_enthalpy"], most, LIQUID_ROWS + 1)
    by_enthalpy = beyond(enthalpy, by_temperature[:, 2], np.linspace(COLDEST, WARMEST, 2561))
    rows = LIQUID_ROWS / (most - values["least_enthalpy"])
    about = Refrigerant(**values, boils_below_dew=0.37, liquid_rows=rows, least_good=LEAST_GOOD, most_good=MOST_GOOD)
    tables: dict[str, Any] = {"by_pressure": saturation, "by_temperature": by_temperature, "by_enthalpy": by_enthalpy}
    tables["about"] = np.asarray(table([about]))[0]
    place = TABLES / f"{name}.npz"
    np.savez_compressed(place, **tables)
    np.savez_compressed(place, **tables, errors=np.asarray(table([measure(name, 1)]))[0])
    print(f"{place}: {place.stat().st_size} bytes")


if __name__ == "__main__":
    for given in sys.argv[1:]:
        build(given)

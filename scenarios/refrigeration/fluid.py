"""R-448A by table: saturation, superheated vapour, subcooled liquid, and the state of a closed volume.

Dew and bubble are kept apart: superheat counts from dew, subcooling from bubble. Pressures index a table that is uniform in
their square root, so one look-up needs no logarithm. The table is data built from CoolProp (see `build_tables`, which states
the error); nothing of CoolProp is imported here. Enthalpy: 200 kJ/kg for saturated liquid at 0 C.

    vapour      h = h_gas + c1 s + c2 s² + c3 s³          s = superheat / 100 K
                v = v_gas (1 + b1 d + b2 d² + b3 d³)      d = (h - h_gas) / 100 kJ/kg
    two-phase   h = h_liq + x (h_gas - h_liq)             v likewise
    closed      u = h - p v                               p found by Newton's steps
"""

import math
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from scenarios.compiling.kernel import compiled

Table = np.ndarray[Any, np.dtype[np.float64]]
LEAST_ROOT, MOST_ROOT = 173.20508075688772, 1816.5902124584949
"""Square roots of the table's end pressures, 0.3 and 33 bar [Pa^0.5]."""
LEAST_PRESSURE, MOST_PRESSURE = 0.3e5, 33.0e5
INTERVALS = 2048
"""Of the table by pressure [-]."""
PER_ROW = (MOST_ROOT - LEAST_ROOT) / INTERVALS
"""Square root of pressure from row to row [Pa^0.5]."""
MOST_STEPS, NEAR = 12, 0.05
"""Of the search for a closed volume's pressure; a step of this share of a row ends within a fraction of a pascal [-]."""
COLDEST, WARMEST = -60.0, 68.0
LEAST_ENTHALPY, MOST_ENTHALPY = 120e3, 322e3
ATMOSPHERE = 101325.0
"""Standard atmosphere [Pa]."""


class Fluid(NamedTuple):
    """The tables of one refrigerant, handed to every formula."""

    by_pressure: Table
    by_temperature: Table
    by_enthalpy: Table


class Saturation(NamedTuple):
    """Everything known at one pressure."""

    pressure: float
    t_bub: float
    t_dew: float
    h_liq: float
    h_gas: float
    v_liq: float
    v_gas: float
    c1: float
    c2: float
    c3: float
    s1: float
    s2: float
    s3: float
    b1: float
    b2: float
    b3: float


class State(NamedTuple):
    """State of a closed volume."""

    pressure: float
    """[Pa]"""
    temperature: float
    """Of the gas where there is only gas, else half-way between bubble and dew [C]."""
    quality: float
    """Vapour share by mass; above 1 superheated [-]."""
    enthalpy: float
    """Of the whole content [J/kg]."""


TABLES = Path(__file__).with_name("r448a.npz")


def load(place: Path = TABLES) -> Fluid:
    """Read the committed tables."""
    with np.load(place) as kept:
        return Fluid(*(np.ascontiguousarray(kept[name]) for name in Fluid._fields))


@compiled
def place_of(pressure: float) -> float:
    """Place of a pressure [Pa] in the table by pressure, first row 0 [-]."""
    return (math.sqrt(pressure) - LEAST_ROOT) * (1.0 / PER_ROW)


@compiled
def saturation(fluid: Fluid, pressure: float) -> Saturation:
    """All properties at one pressure, held to the ends of the table.

    Parameters
    ----------
    fluid : Fluid
        Tables.
    pressure : float
        Absolute pressure. [Pa]
    """
    held = min(max(pressure, LEAST_PRESSURE), MOST_PRESSURE)
    return between_rows(fluid, place_of(held), held)


@compiled
def between_rows(fluid: Fluid, place: float, pressure: float) -> Saturation:
    """All properties at a place of the table by pressure, which belongs to a pressure.

    Parameters
    ----------
    fluid : Fluid
        Tables.
    place : float
        Place in the table. [-]
    pressure : float
        Absolute pressure there. [Pa]
    """
    row = min(int(place), INTERVALS - 1)
    w = place - row
    a = fluid.by_pressure[row]
    b = fluid.by_pressure[row + 1]
    return Saturation(
        pressure,
        a[0] + w * (b[0] - a[0]),
        a[1] + w * (b[1] - a[1]),
        a[2] + w * (b[2] - a[2]),
        a[3] + w * (b[3] - a[3]),
        a[4] + w * (b[4] - a[4]),
        a[5] + w * (b[5] - a[5]),
        a[6] + w * (b[6] - a[6]),
        a[7] + w * (b[7] - a[7]),
        a[8] + w * (b[8] - a[8]),
        a[9] + w * (b[9] - a[9]),
        a[10] + w * (b[10] - a[10]),
        a[11] + w * (b[11] - a[11]),
        a[12] + w * (b[12] - a[12]),
        a[13] + w * (b[13] - a[13]),
        a[14] + w * (b[14] - a[14]),
    )


@compiled
def from_temperature(table: Table, temperature: float, column: int) -> float:
    """One column of the table by temperature: 0 bubble pressure, 1 dew pressure, 2 liquid enthalpy, 3 liquid volume.

    Parameters
    ----------
    table : array
        The table by temperature. [-]
    temperature : float
        Of the liquid or vapour. [C]
    column : int
        Which. [-]
    """
    place = (min(max(temperature, COLDEST), WARMEST) - COLDEST) * (2560.0 / (WARMEST - COLDEST))
    row = min(int(place), 2559)
    w = place - row
    return float(table[row, column] + w * (table[row + 1, column] - table[row, column]))


@compiled
def bubble_pressure(fluid: Fluid, temperature: float) -> float:
    """Pressure at which liquid of a temperature begins to boil [Pa].

    Parameters
    ----------
    fluid : Fluid
        What it works with.
    temperature : float
        Liquid temperature. [C]
    """
    return from_temperature(fluid.by_temperature, temperature, 0)


@compiled
def dew_pressure(fluid: Fluid, temperature: float) -> float:
    """Pressure at which vapour of a temperature begins to condense [Pa].

    Parameters
    ----------
    fluid : Fluid
        What it works with.
    temperature : float
        Vapour temperature. [C]
    """
    return from_temperature(fluid.by_temperature, temperature, 1)


@compiled
def liquid_temperature(fluid: Fluid, enthalpy: float) -> float:
    """Temperature of liquid of an enthalpy; pressure hardly matters [C].

    Parameters
    ----------
    fluid : Fluid
        What it works with.
    enthalpy : float
        Of the liquid. [J/kg]
    """
    place = (min(max(enthalpy, LEAST_ENTHALPY), MOST_ENTHALPY) - LEAST_ENTHALPY) * (2020.0 / (MOST_ENTHALPY - LEAST_ENTHALPY))
    row = min(int(place), 2019)
    w = place - row
    return float(fluid.by_enthalpy[row] + w * (fluid.by_enthalpy[row + 1] - fluid.by_enthalpy[row]))


@compiled
def rise(at: Saturation, superheat: float) -> float:
    """Enthalpy of vapour above saturated vapour [J/kg].

    Parameters
    ----------
    at : Saturation
        Properties at its pressure.
    superheat : float
        Above dew. [K]
    """
    s = 0.01 * superheat
    return s * (at.c1 + s * (at.c2 + s * at.c3))


@compiled
def superheat(at: Saturation, enthalpy: float) -> float:
    """Superheat of vapour of an enthalpy; zero where it is wet [K].

    Parameters
    ----------
    at : Saturation
        Properties at its pressure.
    enthalpy : float
        Of the vapour. [J/kg]
    """
    d = min(max(1e-5 * (enthalpy - at.h_gas), 0.0), 1.6)
    return d * (at.s1 + d * (at.s2 + d * at.s3))


@compiled
def volume(at: Saturation, enthalpy: float) -> float:
    """Specific volume at a pressure and enthalpy, wet or superheated [m3/kg].

    Parameters
    ----------
    at : Saturation
        Properties at the pressure.
    enthalpy : float
        Of the mixture or vapour. [J/kg]
    """
    over = enthalpy - at.h_gas
    if over <= 0.0:
        x = (enthalpy - at.h_liq) / (at.h_gas - at.h_liq)
        return at.v_liq + x * (at.v_gas - at.v_liq)
    d = min(1e-5 * over, 1.6)
    return at.v_gas * (1.0 + d * (at.b1 + d * (at.b2 + d * at.b3)))


class Taken(NamedTuple):
    """Volume that a content would take."""

    volume: float
    """Per mass [m3/kg]."""
    steepness: float
    """And its change from one row of the table by pressure to the next [m3/kg]."""


@compiled
def taken(fluid: Fluid, space: float, energy: float, place: float) -> Taken:
    """Volume that a content of a closed volume would take at another pressure.

    Parameters
    ----------
    fluid : Fluid
        Tables.
    space : float
        Volume per mass that it has. [m3/kg]
    energy : float
        Internal energy per mass. [J/kg]
    place : float
        Place in the table by pressure. [-]
    """
    row = min(int(place), INTERVALS - 1)
    w, root = place - row, LEAST_ROOT + place * PER_ROW
    a, b = fluid.by_pressure[row], fluid.by_pressure[row + 1]
    enthalpy, more = energy + root * root * space, 2.0 * root * PER_ROW * space
    more_liq, more_gas, wider_liq, wider_gas = b[2] - a[2], b[3] - a[3], b[4] - a[4], b[5] - a[5]
    h_gas, v_gas = a[3] + w * more_gas, a[5] + w * wider_gas
    over = enthalpy - h_gas
    if over <= 0.0:
        h_liq, v_liq = a[2] + w * more_liq, a[4] + w * wider_liq
        per_heat = 1.0 / (h_gas - h_liq)
        x = (enthalpy - h_liq) * per_heat
        more_x = (more - more_liq - x * (more_gas - more_liq)) * per_heat
        return Taken(v_liq + x * (v_gas - v_liq), wider_liq + x * (wider_gas - wider_liq) + more_x * (v_gas - v_liq))
    d, more_d = min(1e-5 * over, 1.6), 1e-5 * (more - more_gas)
    more_b1, more_b2, more_b3 = b[12] - a[12], b[13] - a[13], b[14] - a[14]
    b1, b2, b3 = a[12] + w * more_b1, a[13] + w * more_b2, a[14] + w * more_b3
    swollen = 1.0 + d * (b1 + d * (b2 + d * b3))
    more_swollen = more_d * (b1 + d * (2.0 * b2 + d * 3.0 * b3)) + d * (more_b1 + d * (more_b2 + d * more_b3))
    return Taken(v_gas * swollen, wider_gas * swollen + v_gas * more_swollen)


@compiled
def closed_volume(fluid: Fluid, space: float, energy: float, guess: float) -> State:
    """Pressure and temperature of a closed volume from what it holds, by Newton's steps to within half a pascal.

    Parameters
    ----------
    fluid : Fluid
        Tables.
    space : float
        Volume per mass. [m3/kg]
    energy : float
        Internal energy per mass. [J/kg]
    guess : float
        Pressure to start from, the last one. [Pa]
    """
    place = min(max(place_of(guess), 0.0), float(INTERVALS))
    for _ in range(MOST_STEPS):
        found = taken(fluid, space, energy, place)
        rows, volume = place + LEAST_ROOT / PER_ROW, max(found.volume, 1e-5)
        # 1 / volume is nearly straight in pressure; a content hardly stiffer than a gas is taken for a fifth as stiff as one
        step = rows * volume * (space - volume) / (space * min(found.steepness * rows, -0.4 * volume))
        last, place = place, min(max(place + min(max(step, -0.16 * rows), 0.18 * rows), 0.0), float(INTERVALS))
        if abs(step) < NEAR or place == last:
            break
    root = LEAST_ROOT + place * PER_ROW
    at = between_rows(fluid, place, root * root)
    enthalpy = energy + at.pressure * space
    x = (enthalpy - at.h_liq) / (at.h_gas - at.h_liq)
    middle = 0.5 * (at.t_bub + at.t_dew)
    temperature = middle if x <= 1.0 else at.t_dew + superheat(at, enthalpy)
    return State(at.pressure, temperature, x, enthalpy)

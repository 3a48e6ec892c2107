"""Refrigerants by table: saturation, superheated vapour, subcooled liquid, and the state of a closed volume.

Dew and bubble are kept apart: superheat counts from dew, subcooling from bubble. Pressures index a table that is uniform in
their square root, so one look-up needs no logarithm. The table is data built from CoolProp (see `build_tables`, which states
the error); nothing of CoolProp is imported here. Enthalpy: 200 kJ/kg for saturated liquid at 0 C (203.5 for R-448A). All tables
have the same rows of pressure and temperature; what else is a matter of the refrigerant stands in its record `Refrigerant`.

    vapour      h = h_gas + c1 s + c2 s² + c3 s³          s = superheat / 100 K
                v = v_gas (1 + b1 d + b2 d² + b3 d³)      d = (h - h_gas) / 100 kJ/kg
    two-phase   h = h_liq + x (h_gas - h_liq)             v likewise
    closed      u = h - p v                               p found by Newton's steps
"""

import math
from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.refrigerants import Fluid, Table

LEAST_ROOT, MOST_ROOT = 173.20508075688772, 1816.5902124584949
"""Square roots of the table's end pressures, 0.3 and 33 bar [Pa^0.5]."""
LEAST_PRESSURE, MOST_PRESSURE = 0.3e5, 33.0e5
INTERVALS = 2048
"""Of the table by pressure [-]."""
PER_ROW = (MOST_ROOT - LEAST_ROOT) / INTERVALS
"""Square root of pressure from row to row [Pa^0.5]."""
COLDEST, WARMEST = -60.0, 68.0
LIQUID_ROWS = 2020
"""Intervals of the table by enthalpy [-]."""
ATMOSPHERE = 101325.0
"""Standard atmosphere [Pa]."""


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
    place = min(max((enthalpy - fluid.about[0].least_enthalpy) * fluid.about[0].liquid_rows, 0.0), float(LIQUID_ROWS))
    row = min(int(place), LIQUID_ROWS - 1)
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
def superheat(fluid: Fluid, at: Saturation, enthalpy: float) -> float:
    """Superheat of vapour of an enthalpy; zero where it is wet [K].

    Parameters
    ----------
    fluid : Fluid
        Tables.
    at : Saturation
        Properties at its pressure.
    enthalpy : float
        Of the vapour. [J/kg]
    """
    d = min(max(1e-5 * (enthalpy - at.h_gas), 0.0), fluid.about[0].most_over)
    return d * (at.s1 + d * (at.s2 + d * at.s3))


@compiled
def volume(fluid: Fluid, at: Saturation, enthalpy: float) -> float:
    """Specific volume at a pressure and enthalpy, wet or superheated [m3/kg].

    Parameters
    ----------
    fluid : Fluid
        Tables.
    at : Saturation
        Properties at the pressure.
    enthalpy : float
        Of the mixture or vapour. [J/kg]
    """
    over = enthalpy - at.h_gas
    if over <= 0.0:
        x = (enthalpy - at.h_liq) / (at.h_gas - at.h_liq)
        return at.v_liq + x * (at.v_gas - at.v_liq)
    d = min(1e-5 * over, fluid.about[0].most_over)
    return at.v_gas * (1.0 + d * (at.b1 + d * (at.b2 + d * at.b3)))

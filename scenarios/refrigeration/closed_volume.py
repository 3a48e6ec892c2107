"""A closed volume: pressure and temperature of what holds so much mass and energy in so much room."""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.fluid import INTERVALS, LEAST_ROOT, PER_ROW, between_rows, place_of, superheat
from scenarios.refrigeration.refrigerants import Fluid

MOST_STEPS, NEAR = 12, 0.05
"""Of the search for a closed volume's pressure; a step of this share of a row ends within a fraction of a pascal [-]."""


class ClosedVolume(NamedTuple):
    """State of a closed volume."""

    pressure: float
    """[Pa]"""
    temperature: float
    """Of the gas where there is only gas, else half-way between bubble and dew [C]."""
    quality: float
    """Vapour share by mass; above 1 superheated [-]."""
    enthalpy: float
    """Of the whole content [J/kg]."""


class VolumeTaken(NamedTuple):
    """Volume that a content would take."""

    volume: float
    """Per mass [m3/kg]."""
    steepness: float
    """And its change from one row of the table by pressure to the next [m3/kg]."""


@compiled
def taken(fluid: Fluid, space: float, energy: float, place: float) -> VolumeTaken:
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
        return VolumeTaken(v_liq + x * (v_gas - v_liq), wider_liq + x * (wider_gas - wider_liq) + more_x * (v_gas - v_liq))
    d, more_d = min(1e-5 * over, fluid.about[0].most_over), 1e-5 * (more - more_gas)
    more_b1, more_b2, more_b3 = b[12] - a[12], b[13] - a[13], b[14] - a[14]
    b1, b2, b3 = a[12] + w * more_b1, a[13] + w * more_b2, a[14] + w * more_b3
    swollen = 1.0 + d * (b1 + d * (b2 + d * b3))
    more_swollen = more_d * (b1 + d * (2.0 * b2 + d * 3.0 * b3)) + d * (more_b1 + d * (more_b2 + d * more_b3))
    return VolumeTaken(v_gas * swollen, wider_gas * swollen + v_gas * more_swollen)


@compiled
def closed_volume(fluid: Fluid, space: float, energy: float, guess: float) -> ClosedVolume:
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
    temperature = middle if x <= 1.0 else at.t_dew + superheat(fluid, at, enthalpy)
    return ClosedVolume(at.pressure, temperature, x, enthalpy)

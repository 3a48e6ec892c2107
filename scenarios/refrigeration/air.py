"""Moist air at one pressure: saturation, humidity, enthalpy and wet bulb.

Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, equations 5 and 6 (saturation over ice and water, after Hyland and Wexler
1983), 20 and 22 (humidity ratio), 30 (enthalpy), 33 and 35 (wet bulb).
"""

import math

from scenarios.compiling.exact import exp, log
from scenarios.compiling.kernel import compiled

SEA_LEVEL = 101325.0
"""Air pressure of the store [Pa]."""
VAPOUR_HEAT = 2501e3
"""Enthalpy of water vapour at 0 C above liquid [J/kg]; the handbook's enthalpy formula."""


@compiled
def saturation_pressure(temperature: float) -> float:
    """Water vapour pressure over water, below 0 C over ice [Pa].

    Parameters
    ----------
    temperature : float
        Of water or ice, -100 to 200. [C]

    Examples
    --------
    Handbook table 3: 3169.9 Pa at 25 C, 610.7 at the ice point.

    >>> saturation_pressure(25.0)  # doctest: +NUMBER
    3169.
    """
    t = temperature + 273.15
    if temperature <= 0.0:
        series = (
            -5.6745359e3 / t
            + 6.3925247
            + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - 9.484024e-13 * t)))
            + 4.1635019 * log(t)
        )
    else:
        series = -5.8002206e3 / t + 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - 1.4452093e-8 * t)) + 6.5459673 * log(t)
    return exp(series)


@compiled
def saturated_humidity(temperature: float) -> float:
    """Water that air can hold, per dry air [kg/kg].

    Parameters
    ----------
    temperature : float
        Of the air, below boiling. [C]
    """
    vapour = saturation_pressure(min(temperature, 95.0))
    return 0.621945 * vapour / (SEA_LEVEL - vapour)


@compiled
def enthalpy(temperature: float, humidity: float) -> float:
    """Enthalpy of moist air per dry air [J/kg].

    Parameters
    ----------
    temperature : float
        Dry bulb. [C]
    humidity : float
        Water per dry air. [kg/kg]

    Examples
    --------
    >>> enthalpy(0.0, 0.0)
    0.0
    """
    return 1006.0 * temperature + humidity * (VAPOUR_HEAT + 1860.0 * temperature)


@compiled
def humidity_from_wet_bulb(dry_bulb: float, wet_bulb: float) -> float:
    """Humidity ratio from the two thermometers [kg/kg].

    Parameters
    ----------
    dry_bulb, wet_bulb : float
        Thermometer temperatures. [C]
    """
    wet = min(wet_bulb, dry_bulb)
    most = saturated_humidity(wet)
    if wet >= 0.0:
        found = ((2501.0 - 2.326 * wet) * most - 1.006 * (dry_bulb - wet)) / (2501.0 + 1.86 * dry_bulb - 4.186 * wet)
    else:
        found = ((2830.0 - 0.24 * wet) * most - 1.006 * (dry_bulb - wet)) / (2830.0 + 1.86 * dry_bulb - 2.1 * wet)
    return max(found, 1e-7)


@compiled
def wet_bulb(dry_bulb: float, humidity: float) -> float:
    """Wet-bulb temperature, by halving [C].

    Parameters
    ----------
    dry_bulb : float
        Dry bulb. [C]
    humidity : float
        Water per dry air. [kg/kg]
    """
    low, high = dry_bulb - 60.0, dry_bulb
    for _ in range(45):
        middle = 0.5 * (low + high)
        if humidity_from_wet_bulb(dry_bulb, middle) > humidity:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)


@compiled
def rough_saturated(temperature: float) -> tuple[float, float]:
    """Enthalpy of saturated air [J/kg] and its slope [J/kg K], for the heat balance of a wet coil.

    Parameters
    ----------
    temperature : float
        Of the air and the water. [C]
    """
    held = min(max(temperature, -40.0), 75.0)
    vapour = saturation_pressure(held)
    humidity = 0.621945 * vapour / (SEA_LEVEL - vapour)
    # d ln p / dT of water vapour, Clausius and Clapeyron with the heat of vaporisation at hand
    steep = (2501e3 - 2370.0 * held) / (461.5 * (held + 273.15) * (held + 273.15))
    slope = 1006.0 + humidity * SEA_LEVEL / (SEA_LEVEL - vapour) * steep * (VAPOUR_HEAT + 1860.0 * held) + 1860.0 * humidity
    return enthalpy(held, humidity), slope


@compiled
def humidity_at(temperature: float, relative: float) -> float:
    """Humidity ratio from relative humidity [kg/kg].

    Parameters
    ----------
    temperature : float
        Dry bulb. [C]
    relative : float
        Vapour pressure over saturation, 0 to 1. [-]
    """
    vapour = relative * saturation_pressure(temperature)
    return 0.621945 * vapour / (SEA_LEVEL - vapour)


@compiled
def through(resistance: float, stiffness: float, drop: float) -> float:
    """Flow m with ``resistance m² + stiffness m = drop``; zero where nothing drives it [kg/s].

    Parameters
    ----------
    resistance : float
        Pressure drop per flow squared. [Pa s2/kg2]
    stiffness : float
        How fast the flow itself closes the difference within the step. [Pa s/kg]
    drop : float
        Pressure difference at the start. [Pa]
    """
    if drop <= 0.0:
        return 0.0
    root = math.sqrt(stiffness * stiffness + 4.0 * resistance * drop)
    return 2.0 * drop / (stiffness + root)

"""A bad joint: it drops volts, heats by I2R, discolours, slowly gets worse and cooks what it is screwed to.

    warm'  = (amps^2 ohms R_TO_AIR - warm) / tau
    worse' = worse AGEING 2^((temperature - AGES_AT) / DOUBLES)
    cooked' = COOKS 2^((temperature - COOKS_AT) / DOUBLES)

A sound joint stays within a few kelvin of its surroundings, where both rates vanish. Constants: common practice, chosen so that a
pump lug of half an ohm discolours within hours and burns its contactor pole open within some tens of hours.
"""

from scenarios.compiling.exact import exp
from scenarios.compiling.kernel import compiled

R_TO_AIR = 18.0
"""Thermal resistance of a lug with its stub of wire to the air around [K/W]."""
TAU = 240.0
"""Time constant of a lug [s]."""
SURROUNDINGS = 32.0
"""Air in a closed panel [C]."""
AGES_AT, AGEING, DOUBLES = 120.0, 1.0e-6, 30.0
"""Temperature at which resistance grows by AGEING of itself a second [C, 1/s], and the rise that doubles it [K]."""
COOKS_AT, COOKS = 150.0, 2.4e-6
"""Temperature at which a pole next to it loses COOKS of its life a second [C, 1/s]."""
MOST_WORSE = 20.0
"""A joint gets at most this much worse before something else burns [-]."""
WARMEST = 450.0
"""No lug gets hotter than this over its surroundings: it glows and the wire takes the rest [K]."""
LOOSE = 0.01
"""A joint above this resistance is not sound and is followed in time [ohm]."""
REFRESH = 1.06
"""The network takes up a joint's new resistance when it has moved by this factor [-]."""
BLUE, BROWN = 190.0, 90.0
"""Peak temperatures over surroundings that leave copper and plating blue, or browned [K]. Common practice."""


@compiled
def two_to(x: float) -> float:
    """2 to the power x [-]."""
    return exp(0.6931471805599453 * x)


@compiled
def rise(amps: float, ohms: float) -> float:
    """Steady temperature of a joint over its surroundings.

    Parameters
    ----------
    amps : float
        Current. [A]
    ohms : float
        Joint resistance. [ohm]

    Returns
    -------
    float
        [K]
    """
    return min(amps * amps * ohms * R_TO_AIR, WARMEST)


@compiled
def ageing(warm: float) -> float:
    """Growth of a joint's resistance, as a share of itself.

    Parameters
    ----------
    warm : float
        Over its surroundings. [K]

    Returns
    -------
    float
        [1/s]
    """
    return AGEING * two_to((SURROUNDINGS + warm - AGES_AT) / DOUBLES)


@compiled
def cooking(warm: float) -> float:
    """Life that a pole beside a hot joint loses.

    Parameters
    ----------
    warm : float
        Joint over its surroundings. [K]

    Returns
    -------
    float
        [1/s]
    """
    return COOKS * two_to((SURROUNDINGS + warm - COOKS_AT) / DOUBLES)


def colour(peak: float) -> str:
    """What a joint looks like for ever after its hottest hour: bright, brown or blue.

    >>> colour(10.0), colour(120.0), colour(250.0)
    ('bright', 'brown', 'blue')
    """
    return "blue" if peak >= BLUE else "brown" if peak >= BROWN else "bright"

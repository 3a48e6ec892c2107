"""Heat-driven trips: bimetals of overload relays, breakers and fuse links, on one first-order law.

    heat' = ((amps / rating)^2 - heat) / tau        trips where heat reaches its trip level

advanced exactly over any span, so a trip falls at its own instant and not on a step. An overload relay trips at 1.15 times its
dial for ever (heat 1.32); its time constant is 21.4 s times its class, which gives 11 s at 7.2 times the dial from cold for class
20 (IEC 60947-4-1 table 2, bands 4-10, 6-20, 9-30 s).
Breaker and fuse constants: common practice for small moulded-case breakers and time-delay fuses.
"""

from scenarios.compiling.exact import exp, log
from scenarios.compiling.kernel import compiled
from scenarios.electrical.parts import Protector

OVERLOAD_TRIP = 1.32
"""Heat at which a bimetal trips: 1.15 squared [-]."""
OVERLOAD_TAU = 21.4
"""Time constant per unit of trip class [s]."""
RESET_BELOW = 0.75
"""A tripped bimetal latches again only when its heat is below this [-]. Common practice: a minute or more."""
BREAKER_TRIP, BREAKER_TAU = 1.60, 90.0
"""Heat that trips a breaker (1.26 times its rating for ever) [-] and its time constant [s]."""
FUSE_TRIP, FUSE_TAU = 1.80, 6.0
"""Heat that melts a time-delay fuse (1.34 times its rating for ever) [-] and its time constant [s]."""
WINDING_TRIP, WINDING_RESET, WINDING_TAU = 1.55, 0.85, 420.0
"""Heat at which a motor's own protector opens and closes [-] and the winding's time constant [s]. Common practice."""
NEVER = 1e30
"""Longer than anything [s]."""


@compiled
def drive_to(amps: float, rating: float) -> float:
    """Heat an element ends at if the current stays.

    Parameters
    ----------
    amps, rating : float
        Current and true rating. [A]

    Returns
    -------
    float
        [-]

    Examples
    --------
    >>> drive_to(10.0, 5.0)
    4.0
    """
    return (amps / rating) * (amps / rating)


@compiled
def advanced(heat: float, goal: float, fade: float) -> float:
    """Heat after a span.

    Parameters
    ----------
    heat, goal : float
        Heat now, and where it is bound. [-]
    fade : float
        exp(-span / tau) of the span. [-]

    Returns
    -------
    float
        [-]
    """
    return goal + (heat - goal) * fade


@compiled
def time_to_reach(heat: float, goal: float, level: float, tau: float) -> float:
    """Time until heat reaches a level.

    Parameters
    ----------
    heat, goal, level : float
        Heat now, where it is bound, and the level. [-]
    tau : float
        Time constant. [s]

    Returns
    -------
    float
        Zero if it is there already, `NEVER` if it does not get there. [s]

    Examples
    --------
    Class 10 at 7.2 times its dial, cold (IEC 60947-4-1 table 2: 4 to 10 s).

    >>> time_to_reach(0.0, 51.84, 1.32, 214.0)  # doctest: +NUMBER
    5.52
    """
    if heat >= level:
        return 0.0
    if goal <= level:
        return NEVER
    return tau * log((goal - heat) / (goal - level))


@compiled
def fade_of(span: float, tau: float) -> float:
    """What is left of a warmth after `span` [s] at time constant `tau` [s]: exp(-span / tau). [-]"""
    return exp(-span / tau)


def overload(dial: float, trip_class: float) -> Protector:
    """Bimetal of one phase of an overload relay.

    Parameters
    ----------
    dial : float
        Setting. [A]
    trip_class : float
        Trip class: 10, 20 or 30. [-]
    """
    return Protector(rating=dial, tau=OVERLOAD_TAU * trip_class, trips_at=OVERLOAD_TRIP)


def breaker(amps: float, magnetic: float) -> Protector:
    """One pole of a breaker.

    Parameters
    ----------
    amps : float
        Rating. [A]
    magnetic : float
        Multiple of the rating at which it opens at once. [-]
    """
    return Protector(rating=amps, tau=BREAKER_TAU, trips_at=BREAKER_TRIP, magnetic=magnetic)


def fuse(amps: float) -> Protector:
    """One time-delay fuse link.

    Parameters
    ----------
    amps : float
        Rating. [A]
    """
    return Protector(rating=amps, tau=FUSE_TAU, trips_at=FUSE_TRIP, magnetic=18.0)

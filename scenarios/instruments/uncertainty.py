"""Uncertainty of readings and of sums made from them, after the GUM (JCGM 100:2008; clauses from memory)."""

import math

ROOT3 = math.sqrt(3.0)
COVERAGE = 2.0
"""Coverage factor k, about 95 % [-]; GUM 6.2.1."""


def limit(reading: float, percent: float, counts: float, resolution: float) -> float:
    """Greatest error of a digital instrument, in the unit of the reading: percent of reading plus counts of the last digit.

    Parameters
    ----------
    reading : float
        What is shown, in any unit [unit].
    percent : float
        Share of the reading [%].
    counts : float
        Steps of the last digit [-].
    resolution : float
        One step of the last digit [unit].

    >>> limit(460.0, 1.0, 3, 0.1)  # doctest: +NUMBER
    4.9
    """
    return abs(reading) * percent / 100.0 + counts * resolution


def standard(greatest: float) -> float:
    """Standard uncertainty of an error known only by its limits, equally likely anywhere between: a/√3 (GUM 4.3.7).

    >>> standard(1.0)  # doctest: +NUMBER
    0.577
    """
    return greatest / ROOT3


def of_resolution(resolution: float) -> float:
    """Standard uncertainty of rounding to a resolution: half a step either way, so resolution/√12 (GUM F.2.2.1)."""
    return standard(resolution / 2.0)


def combined(*parts: tuple[float, float]) -> float:
    """Combined standard uncertainty of a sum from (sensitivity, standard uncertainty) of each input (GUM 5.1.2).

    >>> combined((3.0, 1.0), (-4.0, 1.0))
    5.0
    """
    return math.sqrt(sum((c * u) * (c * u) for c, u in parts))


def expanded(u: float) -> float:
    """Expanded uncertainty U = k·u with k = 2."""
    return COVERAGE * u

"""The night outside: dry and wet bulb over time, fronts included."""

import numpy as np
from numpy.typing import NDArray

from scenarios.compiling.kernel import compiled

FloatArray = NDArray[np.float64]


def profile(points: list[list[float]]) -> FloatArray:
    """Rows of (time [s] from the ticket, dry bulb [C], wet bulb [C]) from a call file's rows of (hours, F, F)."""
    rows = [(hours * 3600.0, (dry - 32.0) / 1.8, (wet - 32.0) / 1.8) for hours, dry, wet in points]
    return np.array(rows, np.float64)


@compiled
def at(profile: FloatArray, t: float, column: int) -> float:
    """Dry (column 1) or wet (column 2) bulb at a time, straight between the points and level beyond them. [C]

    Parameters
    ----------
    profile : array, (points, 3)
        Time [s], dry bulb [C], wet bulb [C], times rising.
    t : float
        Time from the ticket. [s]
    column : int
        1 for dry bulb, 2 for wet bulb.

    Examples
    --------
    >>> night = profile([[0, 77, 72], [2, 59, 54]])
    >>> at(night, 3600.0, 1)
    20.0
    """
    last = len(profile) - 1
    if t <= profile[0, 0]:
        return float(profile[0, column])
    if t >= profile[last, 0]:
        return float(profile[last, column])
    n = 0
    while profile[n + 1, 0] < t:
        n += 1
    share = (t - profile[n, 0]) / (profile[n + 1, 0] - profile[n, 0])
    return float(profile[n, column] + share * (profile[n + 1, column] - profile[n, column]))

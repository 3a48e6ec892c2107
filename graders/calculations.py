"""The sums of the trade, and how close an answer can be asked to come.

Pressures are absolute [Pa], temperatures [C], differences [K]. Saturation comes in as two functions of absolute pressure. Each sum
takes :class:`Figure` s: a reading with the limit of its instrument and how far the plant moved it between readings.

References: JCGM 100 (GUM) 4.3.7 and 5.1.2 for spread; NEMA MG 1 12.45 (from memory) for percent unbalance; IEC 61000-4-30 5.7.1
for the ratio of sequence components; NFPA 70 430.32 (from memory) for overload settings.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from graders.moments import DEGREE_F, PSI

CARD_PRESSURE = 1.0 * PSI
"""Step of a printed pressure-temperature card [Pa]."""
CARD_TEMPERATURE = 1.0 * DEGREE_F
"""Step of a printed pressure-temperature card [K]."""
COVERAGE = 2.0
"""GUM coverage factor k."""


@dataclass(frozen=True)
class Saturation:
    """Dew and bubble temperature [C] of one refrigerant as functions of absolute pressure [Pa]."""

    dew: Callable[[float], float]
    bubble: Callable[[float], float]


@dataclass(frozen=True)
class Figure:
    """One reading: value, limit of the instrument (half width) and movement of the plant (half width), one unit."""

    value: float
    limit: float = 0.0
    moved: float = 0.0

    def standard(self) -> float:
        """Standard uncertainty: both limits are rectangular, a / sqrt 3 each (JCGM 100 4.3.7).

        >>> round(Figure(10.0, 3.0).standard(), 3)
        1.732
        """
        return math.sqrt((self.limit * self.limit + self.moved * self.moved) / 3.0)


def superheat(saturation: Saturation, pressure: float, line: float) -> float:
    """Superheat [K]: line temperature less the dew temperature at the suction pressure.

    Parameters
    ----------
    saturation : Saturation
        Of the refrigerant in the plant.
    pressure : float
        Absolute suction pressure [Pa].
    line : float
        Suction line temperature at the same place [C].
    """
    return line - saturation.dew(pressure)


def subcooling(saturation: Saturation, pressure: float, line: float) -> float:
    """Subcooling [K]: bubble temperature at the liquid pressure [Pa] less the line temperature [C]."""
    return saturation.bubble(pressure) - line


def approach(saturation: Saturation, pressure: float, wet_bulb: float) -> float:
    """Condensing temperature (dew, at the discharge pressure [Pa]) over the wet bulb [C], in [K]."""
    return saturation.dew(pressure) - wet_bulb


def percent_unbalance(lines: Sequence[float]) -> float:
    """NEMA percent unbalance of three magnitudes: largest deviation from the average over the average [%].

    >>> round(percent_unbalance([460, 467, 450]), 3)    # a restated textbook example
    1.961
    >>> round(percent_unbalance([400, 395, 388]), 3)    # the largest deviation is the low one
    1.606
    """
    mean = sum(lines) / len(lines)
    return 100.0 * max(abs(line - mean) for line in lines) / mean if mean else math.nan


def sequence_unbalance(lines: Sequence[float]) -> float:
    """Negative over positive sequence from three line-to-line magnitudes [%] (IEC 61000-4-30, beta form).

    >>> round(sequence_unbalance([460, 467, 450]), 4)
    2.1465
    >>> sequence_unbalance([460, 460, 460])
    0.0
    """
    squares = [line * line for line in lines]
    whole = sum(squares)
    if not whole:
        return math.nan
    beta = sum((square / whole) * (square / whole) for square in squares)
    root = math.sqrt(max(3.0 - 6.0 * beta, 0.0))
    return 100.0 * math.sqrt(max(1.0 - root, 0.0) / (1.0 + root))


def overload_setting(nameplate: float, dial: str = "full-load", service_factor: float = 1.15, rise: float | None = None) -> float:
    """Setting of an overload relay [A] from nameplate amps.

    A dial in ``full-load`` amps has the margin built in and is set to the nameplate; a dial in ``trip`` amps takes 125 % for a
    service factor of 1.15 or more or a rise [K] of 40 or less, otherwise 115 % (NFPA 70 430.32(A)(1), from memory).

    >>> overload_setting(4.4), overload_setting(13.2, "trip"), round(overload_setting(13.2, "trip", 1.0), 2)
    (4.4, 16.5, 15.18)
    """
    if dial == "full-load":
        return nameplate
    return nameplate * (1.25 if service_factor >= 1.15 or (rise is not None and rise <= 40.0) else 1.15)


def pressure_ratio(discharge: float, suction: float) -> float:
    """Compression ratio of two absolute pressures [Pa].

    >>> round(pressure_ratio((178 + 14.7) * PSI, (30 + 14.7) * PSI), 2)
    4.31
    """
    return discharge / suction if suction else math.nan


def spread(sum_of: Callable[[Sequence[float]], float], figures: Sequence[Figure], steps: Sequence[float] = ()) -> float:
    """Expanded uncertainty U = 2u of a sum, by small differences of each figure (JCGM 100 5.1.2), in the unit of the sum.

    Parameters
    ----------
    sum_of : callable
        The sum as a function of the values of ``figures``.
    figures : sequence of Figure
        The readings.
    steps : sequence of float
        Further rectangular half widths, already in the unit of the sum (a card's resolution).
    """
    values = [figure.value for figure in figures]
    total = sum(step * step / 3.0 for step in steps)
    for k, figure in enumerate(figures):
        u = figure.standard()
        if u > 0.0:
            up, down = list(values), list(values)
            up[k] += u
            down[k] -= u
            slope = (sum_of(up) - sum_of(down)) / 2.0
            total += slope * slope  # a product may be endless, a power would raise
    return COVERAGE * math.sqrt(total)


def card_steps(curve: Callable[[float], float], pressure: float) -> list[float]:
    """Half steps of a printed card at a pressure [Pa], both as temperature [K]: its pressure step and its temperature step."""
    slope = (curve(pressure + PSI) - curve(pressure - PSI)) / (2.0 * PSI)
    return [abs(slope) * CARD_PRESSURE / 2.0, CARD_TEMPERATURE / 2.0]

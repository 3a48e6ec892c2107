"""Truth in, reading out: what an instrument would show, and how far that may be from the truth."""

import math
from dataclasses import dataclass

from scenarios.errors import BadRequest
from scenarios.instruments.noise import noise
from scenarios.instruments.shelf import SHELF, Instrument, Range
from scenarios.units import UNITS, from_si, rounded, to_si

OWN = 0.25
"""Share of the greatest error that differs from reading to reading; the rest is the instrument's own, the same all night [-]."""


@dataclass(frozen=True)
class Reading:
    """What is shown.

    Parameters
    ----------
    shown : str
        Digits as shown, ``OL`` over the last range, ``>500`` or ``<0`` with the pointer on its stop.
    value : float
        Their value in `unit`; infinite for OL.
    unit : str
        Unit shown.
    limit : float
        Greatest error of the instrument at that value, in `unit` [unit]; infinite for OL.
    """

    shown: str
    value: float
    unit: str
    limit: float

    @property
    def si(self) -> float:
        """Value in the SI unit of the project."""
        return to_si(self.value, self.unit)

    @property
    def si_limit(self) -> float:
        """Greatest error in the SI unit of the project."""
        return self.limit * UNITS[self.unit].factor


def read(instrument: str, truth: float, seed: int, step: int, key: str = "", copy: int = 0) -> Reading:
    """What an instrument shows of a true value.

    Parameters
    ----------
    instrument : str
        Name on the `SHELF`.
    truth : float
        True value in SI [V, A, ohm, Pa absolute, C, s, Hz or share].
    seed, step : int
        Seed of the call and number of the step.
    key : str
        Where it is applied, so that two readings of one step differ.
    copy : int
        Which of several alike, as clamp 1, 2 or 3.

    >>> read("volts", 480.0, seed=7, step=3, key="Q5:1 Q5:3").unit
    'V'
    """
    if instrument not in SHELF:
        raise BadRequest(f"unknown instrument {instrument!r}; there are {', '.join(SHELF)}")
    if math.isnan(truth):
        raise ValueError(f"{instrument} {key}: the true value is not a number")
    made = SHELF[instrument]
    wrong = (1 - OWN) * noise(seed, -1, f"{instrument}/{copy}") + OWN * noise(seed, step, f"{instrument}/{copy}/{key}")
    return _dial(made, truth, wrong) if made.dial else _digits(made, truth, wrong)


def greatest_error(instrument: str, value: float, unit: str) -> float:
    """Greatest error of an instrument where it shows `value` in `unit` [unit]."""
    made = SHELF[instrument]
    for span in made.ranges:
        if span.unit == unit and abs(value) <= span.top:
            return _limit(made, span, value)
    return math.inf


def spec_limit(reading: float, percent: float, counts: float, resolution: float) -> float:
    """Greatest error of a digital instrument: percent of reading plus counts of the last digit.

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

    >>> spec_limit(460.0, 1.0, 3, 0.1)  # doctest: +NUMBER
    4.9
    """
    return abs(reading) * percent / 100.0 + counts * resolution


def _limit(made: Instrument, span: Range, value: float) -> float:
    base = span.top if made.dial else value
    return max(made.least, spec_limit(base, made.percent, made.counts, float(span.resolution)))


def _digits(made: Instrument, truth: float, wrong: float) -> Reading:
    """A digital display: the finest range that can show it, or OL."""
    for span in made.ranges:
        true = from_si(truth, span.unit)
        if math.isinf(true):
            continue
        value = max(true + wrong * _limit(made, span, true), made.bottom)
        shown = rounded(value, span.resolution)
        if float(shown) <= span.top:
            return Reading(shown, float(shown), span.unit, _limit(made, span, float(shown)))
    return Reading("OL", math.inf, made.ranges[-1].unit, math.inf)


def _dial(made: Instrument, truth: float, wrong: float) -> Reading:
    """A pointer: error by span, stopped at both ends of the dial."""
    span = made.ranges[0]
    limit = _limit(made, span, 0.0)
    value = from_si(truth, span.unit) + wrong * limit
    if value > span.top:
        return Reading(f">{span.top:g}", span.top, span.unit, limit)
    if value < made.bottom - limit:
        return Reading(f"<{made.bottom:g}", made.bottom, span.unit, limit)
    shown = rounded(max(value, made.bottom), span.resolution)
    return Reading(shown, float(shown), span.unit, limit)

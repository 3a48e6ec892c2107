"""How well one world explains one reading.

A reading's spread is the instrument's accuracy, how far the plant moves it within five minutes in that world, and what a technician
could tell apart (no credit for differences that only a simulator can see). A floor keeps one spoiled reading from deciding a call.

    l = ln[(1 - floor) N(seen; mean, sigma) + floor / range]
"""

import math
from dataclasses import dataclass

from graders.moments import DEGREE_F, PSI, Reading, Truth

SIGHT_ERROR = 0.03
"""Share of sights, sounds and smells taken for something else: 2 to 5 % in common practice."""
SURPRISE = 0.02
"""Below this share of the best explanation a reading is called a surprise."""
LEADS = 0.2
"""Ohms of leads and display steps, below which two dead readings are alike [ohm]."""


@dataclass(frozen=True)
class Scale:
    """Spread of one kind of reading: shares of the reading plus fixed parts, all in the scale's unit."""

    log: bool
    share: float
    fixed: float
    told_share: float
    told_fixed: float
    floor: float
    span: float


SCALES = {
    "volts": Scale(False, 0.005, 0.3, 0.04, 4.0, 0.01, 600.0),
    "amps": Scale(False, 0.02, 0.1, 0.10, 0.3, 0.01, 60.0),
    "ohms": Scale(True, 0.0, 0.02, 0.0, 0.18, 0.003, 7.0),
    "insulation": Scale(True, 0.0, 0.05, 0.0, 0.4, 0.003, 7.0),
    "seconds": Scale(True, 0.0, 0.03, 0.0, 0.15, 0.01, 3.2),
    "pressure": Scale(False, 0.01, 1.0 * PSI, 0.0, 6.0 * PSI, 0.01, 300.0 * PSI),
    "temperature": Scale(False, 0.0, 1.0 * DEGREE_F, 0.0, 2.5 * DEGREE_F, 0.01, 80.0 * DEGREE_F),
    "speed": Scale(False, 0.01, 5.0, 0.02, 20.0, 0.01, 2000.0),
    "dial": Scale(False, 0.0, 0.1, 0.05, 0.1, 0.01, 60.0),
    "nameplate": Scale(False, 0.0, 0.1, 0.05, 0.1, 0.01, 60.0),
}
"""Kinds that are figures; every other kind is a sight, and is compared by its category."""
OHMS_LEAST, OHMS_MOST = 0.0, 1e7
INSULATION_LEAST, INSULATION_MOST = 1e3, 1e10
SIGHT_FLOOR = 0.01
ROOT_TWO_PI = math.sqrt(2.0 * math.pi)


def scaled(kind: str, value: float) -> float:
    """A value on the scale of its kind: logarithms (base ten) of ohms and seconds, otherwise itself."""
    if kind == "ohms":
        return math.log10(min(max(value, OHMS_LEAST), OHMS_MOST) + LEADS)
    if kind == "insulation":
        return math.log10(min(max(value, INSULATION_LEAST), INSULATION_MOST))
    if kind == "seconds":
        return math.log10(max(value, 0.1))
    return value


def mean_and_sigma(truth: Truth) -> tuple[float, float]:
    """Centre and spread of what a technician may read in this world, on the scale of the kind."""
    scale = SCALES[truth.kind]
    values = truth.window or (truth.value or 0.0,)
    if scale.log:
        values = tuple(scaled(truth.kind, value) for value in values)
    mean = sum(values) / len(values)
    wander = sum((value - mean) ** 2 for value in values) / len(values)
    accuracy = (scale.share * mean) ** 2 + scale.fixed**2
    told = (scale.told_share * mean) ** 2 + scale.told_fixed**2
    ghost = 0.35 * abs((truth.value or 0.0) - truth.loaded) if truth.floating and truth.kind == "volts" else 0.0
    return mean, math.sqrt(accuracy + wander + told + ghost**2)


def ln_likelihood(seen: Reading, category: str, truth: Truth) -> float:
    """Log likelihood of what was seen, in the world of ``truth``; ``category`` is what the sight was taken for."""
    return ln_both(seen, category, truth)[0]


def ln_both(seen: Reading, category: str, truth: Truth) -> tuple[float, float]:
    """Log likelihood of what was seen, and of a reading dead centre, in one world."""
    if seen.kind in SCALES and seen.value is not None and truth.value is not None:
        scale, (mean, sigma) = SCALES[truth.kind], mean_and_sigma(truth)
        floor = scale.floor / scale.span
        top = (1.0 - scale.floor) / (sigma * ROOT_TWO_PI)
        z = (scaled(seen.kind, seen.value) - mean) / sigma
        return math.log(top * math.exp(-0.5 * z * z) + floor), math.log(top + floor)
    words = (truth.category, *truth.seen)
    share = words.count(category) / len(words)
    return ln_sight(SIGHT_ERROR + (1.0 - 2.0 * SIGHT_ERROR) * share), ln_sight(1.0 - SIGHT_ERROR)


def ln_sight(chance: float, ways: int = 2) -> float:
    """Log likelihood of a sight that this world shows with a ``chance``, among so many ``ways`` to call it.

    >>> round(math.exp(ln_sight(0.85)), 4), round(math.exp(ln_sight(0.25)), 4)
    (0.8465, 0.2525)
    """
    return math.log((1.0 - SIGHT_FLOOR) * chance + SIGHT_FLOOR / ways)


def cap(seen: Reading) -> float:
    """Most that one reading may move any pair [natural log]: one over its floor."""
    return -math.log(SCALES[seen.kind].floor if seen.kind in SCALES else SIGHT_FLOOR)

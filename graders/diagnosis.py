"""From odds to points: a cause that is right and that the evidence supports.

Levels part, mode, place and reason are judged apart, because the odds of the part can be certain while its mode is ruled out. A
right name takes the best odds reached before the first repair; a wrong one the last. Proof by repair earns half, for the part only.
"""

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

from graders.evidence import Course
from graders.moments import Cause, Suspect, same_place, same_reason, split_reason

LEVELS = {"part": 0.4, "mode": 0.2, "place": 0.2, "reason": 0.2}
LEVELS_WITHOUT_REASON = {"part": 0.5, "mode": 0.25, "place": 0.25}
ANCHORS = ((0.25, 0.0), (1.0, 0.40), (4.0, 0.75), (19.0, 1.0))
"""Odds and what they are worth; between them linear in the logarithm of the odds."""
FREE, EARNED, SUPPORTED = 0.2, 0.8, 0.3
"""Shares: a right name alone, its justification, and a wrong name that the evidence supported."""


def worth(p: float) -> float:
    """Worth of a probability, 0 to 1, by odds anchors.

    >>> worth(0.2), worth(0.5), worth(0.8), worth(0.95)
    (0.0, 0.4, 0.75, 1.0)
    """
    odds = p / (1.0 - p) if p < 1.0 else math.inf
    if odds >= ANCHORS[-1][0] * (1.0 - 1e-12):
        return 1.0
    for (low, worth_low), (high, worth_high) in pairwise(ANCHORS):
        if low <= odds < high:
            return worth_low + (worth_high - worth_low) * math.log(odds / low) / math.log(high / low)
    return 0.0


def justified(p: float, favourite: float, ceiling: float = 1.0) -> float:
    """How far evidence carried a name beyond what the favourite had before any step, 0 to 1.

    >>> round(justified(0.691, 0.6), 2)
    0.2
    """
    top = worth(ceiling) if ceiling < 0.95 else 1.0
    base = worth(favourite)
    if top <= base:
        return 1.0 if p >= min(ceiling, favourite) else 0.0
    return min(max(0.0, (worth(p) - base) / (top - base)), 1.0)


@dataclass(frozen=True)
class Level:
    """One level of a diagnosis: whether named right, what the evidence gave it, and its share of the points."""

    id: str
    weight: float
    right: bool
    p: float
    j: float
    earned: float


@dataclass(frozen=True)
class Diagnosis:
    """Points of a diagnosis, 0 to 1, its levels, and the row of the odds at which it froze."""

    share: float
    levels: tuple[Level, ...]
    frozen: int
    named: Cause | None


def matches(level: str, cause: Cause) -> Callable[[Suspect], bool]:
    """Which suspects agree with a cause at a level; mode and place only count on the same part."""
    tests: dict[str, Callable[[Suspect], bool]] = {
        "part": lambda s: s.part == cause.part,
        "mode": lambda s: s.part == cause.part and s.mode == cause.mode,
        "place": lambda s: s.part == cause.part and same_place(s.part, s.where, cause.where),
        "reason": lambda s: same_reason(s.reason, cause.reason),
    }
    return tests[level]


def widened(
    chosen: Callable[[Suspect], bool], suspects: Sequence[Suspect], groups: Sequence[Collection[str]]
) -> Callable[[Suspect], bool]:
    """The same choice with every suspect that no safe step separates from a chosen one."""
    ids = {s.id for s in suspects if chosen(s)}
    for group in groups:
        if ids & set(group):
            ids |= set(group)
    return lambda s: s.id in ids


def agrees(level: str, named: Cause, true: Cause, suspects: Sequence[Suspect], groups: Sequence[Collection[str]]) -> bool:
    """Whether a name is right at a level, or cannot be told from right by any safe step."""
    as_suspect = Suspect("", true.part, true.mode, true.where, reason=true.reason)
    if matches(level, named)(as_suspect):
        return not (level == "reason" and not true.reason)
    if level == "reason":
        return False
    meant = {s.id for s in suspects if matches("mode", named)(s) and matches("place", named)(s)}
    truly = {s.id for s in suspects if matches("mode", true)(s) and matches("place", true)(s)}
    return any(meant & set(group) and truly & set(group) for group in groups)


def diagnose(
    course: Course,
    named: Cause | None,
    true: Cause,
    first_repair: int | None,
    groups: Sequence[Collection[str]] = (),
    reason_seen: bool = False,
    ceilings: dict[str, float] | None = None,
) -> Diagnosis:
    """Points of one diagnosis as a share of one.

    Parameters
    ----------
    course : Course
        Odds along the record.
    named : Cause or None
        The cause on the work order.
    true : Cause
        From the key.
    first_repair : int or None
        Step of the first repair, where the best odds freeze; None where nothing was repaired.
    groups : sequence of collections of suspect ids
        Suspects that no safe step separates.
    reason_seen : bool
        Whether a reading showed the reason itself before the repair closed it up; used where suspects carry no reasons.
    ceilings : dict, optional
        Best probability that all safe steps can give, per level.
    """
    end = len(course.odds) - 1
    frozen = end if first_repair is None else course.at(first_repair)
    if named is None:
        return Diagnosis(0.0, (), frozen, None)
    levels = []
    for level, weight in (LEVELS if true.reason else LEVELS_WITHOUT_REASON).items():
        right = agrees(level, named, true, course.suspects, groups)
        if level == "reason" and not any(s.reason for s in course.suspects):
            p, j = (1.0, 1.0) if reason_seen and right else (0.0, 0.0)
        else:
            p, j = _level_odds(course, level, named, right, frozen, groups, (ceilings or {}).get(level, 1.0))
            if level == "part" and right and first_repair is not None:
                j = max(j, 0.5 * _level_odds(course, level, named, False, end, groups, 1.0)[1])
        levels.append(Level(level, weight, right, p, j, weight * ((FREE + EARNED * j) if right else SUPPORTED * j)))
    return Diagnosis(math.fsum(level.earned for level in levels), tuple(levels), frozen, named)


def carried(
    course: Course, named: Cause | None, true: Cause, frozen: int, groups: Sequence[Collection[str]], least: float
) -> bool:
    """Whether readings carry the cause that was named: part and mode are right, and were each made likely enough by themselves.

    Who names what made the part fail has named the same chain of events; there the odds of the part that failed count.

    Parameters
    ----------
    course : Course
        Odds along the record.
    named, true : Cause
        The cause on the work order, None where there is none, and that of the key.
    frozen : int
        Row of the odds before the first repair: what a repair proves comes too late to have been known.
    groups : sequence of collections of suspect ids
        Suspects that no safe step separates.
    least : float
        Probability that the readings have to reach.
    """
    if named is None:
        return False
    root = split_reason(true.reason)
    if root is not None and (named.part, named.mode) == (root.part, root.mode):
        named = true
    return all(
        agrees(level, named, true, course.suspects, groups)
        and _level_odds(course, level, named, True, frozen, groups, 1.0)[0] >= least
        for level in ("part", "mode")
    )


def _level_odds(
    course: Course, level: str, named: Cause, right: bool, frozen: int, groups: Sequence[Collection[str]], ceiling: float
) -> tuple[float, float]:
    """Probability and justification of what was named: the best row up to ``frozen`` for a right name, else that row."""
    chosen = widened(matches(level, named), course.suspects, groups)
    rows = range(frozen + 1) if right else [frozen]
    p = max(course.chance(row, chosen) for row in rows)
    return p, justified(p, favourite(course, level), ceiling)


def favourite(course: Course, level: str) -> float:
    """Probability of the likeliest answer at a level before any step."""
    return max(course.chance(0, matches(level, Cause(s.part, s.mode, s.where, s.reason))) for s in course.suspects)

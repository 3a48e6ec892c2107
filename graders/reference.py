"""The reference diagnostician: safe steps for the fewest expected minutes, travel included.

The problem is reduced first: per reading, worlds that stand more than three spreads apart are different outcomes, the rest are one.
On that noise-free problem a rollout of a rollout picks the next step; ``exact`` is the optimum by dynamic programming, for small
problems and for tests. Never a swap of parts to see, never a reading that floats.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import NamedTuple

from graders.likelihood import SCALES, mean_and_sigma
from graders.moments import Truth

APART = 3.0
"""Spreads between two outcomes of one reading."""
DEAD_IN, DEAD_OUT = 6.0, 3.0
"""Minutes to isolate and prove dead, and to put back."""
BITS = 4.0
"""Minutes that one remaining bit is worth, in one of the base rules."""


class Dead(NamedTuple):
    """A place, with all that is worked on there isolated and proved dead."""

    place: str


Spot = str | Dead
"""Where one is: at a place as it stands, or once it is dead."""


def place_of(spot: Spot) -> str:
    """The place itself."""
    return spot.place if isinstance(spot, Dead) else spot


@dataclass(frozen=True)
class Probe:
    """A safe step: text, minutes, where, and its outcome in every world."""

    step: str
    minutes: float
    place: Spot
    outcomes: tuple[int, ...]


@dataclass(frozen=True)
class Problem:
    """Worlds with weights and the class each must be told apart as, probes, minutes between places, and where one starts."""

    weights: tuple[float, ...]
    classes: tuple[str, ...]
    probes: tuple[Probe, ...]
    walk: Mapping[tuple[str, str], float] = field(default_factory=dict)
    start: Spot = "panel"

    def travel(self, here: Spot, there: Spot) -> float:
        """Minutes from one place to another; going dead and coming back are part of the way."""
        a, b = place_of(here), place_of(there)
        minutes = self.walk.get((a, b), self.walk.get((b, a), 0.0)) if a != b else 0.0
        if here != there:
            minutes += DEAD_OUT * isinstance(here, Dead) + DEAD_IN * isinstance(there, Dead)
        return minutes


Left = frozenset[int]
Rule = Callable[[Left, Spot], float]


def split(probe: Probe, left: Left) -> list[Left]:
    """Remaining worlds by outcome of a probe."""
    by: dict[int, list[int]] = {}
    for world in sorted(left):
        by.setdefault(probe.outcomes[world], []).append(world)
    return [frozenset(worlds) for worlds in by.values()]


class Solver:
    """Expected minutes by each rule, memoised on (remaining worlds, place)."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.exact = cache(self._exact)
        self.first = cache(self._first)
        self.nested = cache(self._nested)
        self.bases = cache(self._bases)

    def done(self, left: Left) -> bool:
        """Whether one class is left, or nothing splits what is left."""
        return len({self.problem.classes[w] for w in left}) < 2 or not self.useful(left)

    def useful(self, left: Left) -> list[Probe]:
        """Probes that split what is left."""
        return [probe for probe in self.problem.probes if len({probe.outcomes[w] for w in left}) > 1]

    def after(self, probe: Probe, left: Left, here: Spot, value: Rule) -> float:
        """Expected minutes of a probe and of what a rule needs after it."""
        weights = self.problem.weights
        total = math.fsum(weights[w] for w in left)
        rest = math.fsum(math.fsum(weights[w] for w in part) / total * value(part, probe.place) for part in split(probe, left))
        return self.problem.travel(here, probe.place) + probe.minutes + rest

    def best(self, left: Left, here: Spot, value: Rule) -> Probe:
        """Probe that a rule's look-ahead prefers; ties go to the first in the list."""
        return min(self.useful(left), key=lambda probe: self.after(probe, left, here, value))

    def _exact(self, left: Left, here: Spot) -> float:
        if self.done(left):
            return 0.0
        return min(self.after(probe, left, here, self.exact) for probe in self.useful(left))

    def _first(self, left: Left, here: Spot) -> float:
        """Rollout over the base rules."""
        return 0.0 if self.done(left) else self.after(self.best(left, here, self.bases), left, here, self.first)

    def _nested(self, left: Left, here: Spot) -> float:
        """Rollout of that rollout."""
        return 0.0 if self.done(left) else self.after(self.best(left, here, self.first), left, here, self.nested)

    def _bases(self, left: Left, here: Spot) -> float:
        """The best of three simple rules, each followed to the end."""
        if self.done(left):
            return 0.0
        return min(self._follow(left, here, rule) for rule in (self._by_gain, self._by_bits, self._by_trip))

    def _follow(self, left: Left, here: Spot, rule: Callable[[Left, Spot], Probe]) -> float:
        if self.done(left):
            return 0.0
        return self.after(rule(left, here), left, here, lambda part, place: self._follow(part, place, rule))

    def entropy(self, left: Left) -> float:
        """Bits still open about the class."""
        by: dict[str, float] = {}
        for world in sorted(left):
            by[self.problem.classes[world]] = by.get(self.problem.classes[world], 0.0) + self.problem.weights[world]
        total = math.fsum(by.values())
        return -math.fsum(w / total * math.log2(w / total) for w in by.values())

    def bits_after(self, probe: Probe, left: Left) -> float:
        """Bits expected to stay open after a probe."""
        total = math.fsum(self.problem.weights[w] for w in left)
        return math.fsum(
            math.fsum(self.problem.weights[w] for w in part) / total * self.entropy(part) for part in split(probe, left)
        )

    def _cost(self, probe: Probe, here: Spot) -> float:
        return self.problem.travel(here, probe.place) + probe.minutes

    def _by_gain(self, left: Left, here: Spot) -> Probe:
        """Most bits per minute; a split of worlds alone counts a little, so that a class is worked out to its end."""
        total = self.entropy(left)
        return max(self.useful(left), key=lambda p: (total - self.bits_after(p, left) + 1e-6) / max(self._cost(p, here), 1e-6))

    def _by_bits(self, left: Left, here: Spot) -> Probe:
        """Fewest minutes plus what the open bits will cost."""
        return min(self.useful(left), key=lambda p: self._cost(p, here) + BITS * self.bits_after(p, left))

    def _by_trip(self, left: Left, here: Spot) -> Probe:
        """Go where all probes together leave least open for the way, and take the best there."""
        probes = self.useful(left)
        places = list(dict.fromkeys(probe.place for probe in probes))

        def trip(place: Spot) -> float:
            there = [probe for probe in probes if probe.place == place]
            cheapest = sum(sorted(probe.minutes for probe in there)[:3])
            parts = [left]
            for probe in there:
                parts = [piece for part in parts for piece in split(probe, part)]
            total = math.fsum(self.problem.weights[w] for w in left)
            open_bits = math.fsum(math.fsum(self.problem.weights[w] for w in part) / total * self.entropy(part) for part in parts)
            return (self.entropy(left) - open_bits) / max(self.problem.travel(here, place) + cheapest, 1e-6)

        place = max(places, key=trip)
        there = [probe for probe in probes if probe.place == place]
        return max(there, key=lambda p: (self.entropy(left) - self.bits_after(p, left) + 1e-6) / max(p.minutes, 1e-6))

    def path(self, world: int) -> tuple[list[str], float]:
        """Steps and minutes of the nested rule in one world."""
        left, here, steps, minutes = frozenset(range(len(self.problem.weights))), self.problem.start, [], 0.0
        while not self.done(left):
            probe = self.best(left, here, self.first)
            minutes += self._cost(probe, here)
            steps.append(probe.step)
            left = next(part for part in split(probe, left) if world in part)
            here = probe.place
        return steps, minutes

    def expected(self) -> float:
        """Expected minutes of the nested rule."""
        return self.nested(frozenset(range(len(self.problem.weights))), self.problem.start)


def cluster(truths: Sequence[Truth | None]) -> tuple[int, ...]:
    """Outcome of one reading in every world: worlds chained closer than three spreads are one; missing readings are their own."""
    labels = [-1] * len(truths)
    figures = [(k, *mean_and_sigma(t)) for k, t in enumerate(truths) if t is not None and t.kind in SCALES and t.value is not None]
    figures.sort(key=lambda entry: entry[1])
    label, before = 0, None
    for k, mean, sigma in figures:
        if before is not None and mean - before[0] > APART * math.hypot(sigma, before[1]):
            label += 1
        labels[k], before = label, (mean, sigma)
    words: dict[str, int] = {}
    for k, truth in enumerate(truths):
        if truth is not None and not (truth.kind in SCALES and truth.value is not None):
            labels[k] = words.setdefault(truth.category, 1000 + len(words))
    return tuple(labels)


def combine(columns: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    """One outcome per world from several readings that one step shows."""
    seen: dict[tuple[int, ...], int] = {}
    return tuple(seen.setdefault(row, len(seen)) for row in zip(*columns, strict=True))


def probe_of(step: str, minutes: float, place: Spot, readings: Sequence[Sequence[Truth | None]]) -> Probe | None:
    """A probe from the truths of its readings in every world; None for a swap, and for what floats or comes and goes anywhere."""
    truths = [truth for reading in readings for truth in reading if truth is not None]
    if step.split()[0] == "replace" or not readings or any(t.floating or set(t.seen) - {t.category} for t in truths):
        return None
    return Probe(step, minutes, place, combine([cluster(reading) for reading in readings]))

"""Which suspects safe steps can tell apart, and which are one.

A suspect that nothing safe separates from the cause may not cost a trainee points; naming either is right.
"""

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from graders.evidence import Key
from graders.likelihood import cap, ln_likelihood
from graders.moments import Reading, Suspect, Truth, World

SEPARABLE = 1.3
"""Mean log10 ratio over all safe steps from which two suspects count as told apart."""


def separation(one: Mapping[Key, Truth], other: Mapping[Key, Truth]) -> float:
    """Mean log10 ratio by which all safe readings, taken in the first world, tell it from the second."""
    total = 0.0
    for key, truth in one.items():
        if key not in other:
            continue
        seen = Reading(truth.of, truth.kind, "", value=truth.value)
        most = cap(seen)
        here, there = ln_likelihood(seen, truth.category, truth), ln_likelihood(seen, truth.category, other[key])
        total += max(min(here - there, most), -most)
    return total / math.log(10.0)


def inseparable(suspects: Sequence[Suspect], tour: Sequence[World], least: float = SEPARABLE) -> list[tuple[str, ...]]:
    """Groups of suspects that no safe step separates, each a tuple of ids; suspects that stand alone are left out.

    ``tour`` holds every safe reading in every world, taken once. Two suspects are one where, seen from either of them, the mean
    over its severities, each against the severity of the other that comes nearest, stays under ``least``.
    """
    apart = separations(tour)
    rows = {suspect.id: [k for k, world in enumerate(tour) if world.suspect == suspect.id] for suspect in suspects}
    share = np.array([world.share for world in tour])
    parent = {suspect.id: suspect.id for suspect in suspects}

    def root(name: str) -> str:
        while parent[name] != name:
            name = parent[name]
        return name

    def seen_from(a: str, b: str) -> float:
        near = apart[np.ix_(rows[a], rows[b])].min(axis=1)
        return float((share[rows[a]] * near).sum() / share[rows[a]].sum())

    for a, b in itertools.combinations([name for name in rows if rows[name]], 2):
        if min(seen_from(a, b), seen_from(b, a)) < least:
            parent[root(b)] = root(a)
    groups: dict[str, list[str]] = {}
    for suspect in suspects:
        groups.setdefault(root(suspect.id), []).append(suspect.id)
    return [tuple(group) for group in groups.values() if len(group) > 1]


def separations(tour: Sequence[World]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Decades by which all readings, taken in the world of a row, tell it from the world of a column; see :func:`separation`."""
    total = np.zeros((len(tour), len(tour)))
    for key in sorted({key for world in tour for key in world.truths}):
        known = [(k, truth) for k, world in enumerate(tour) if (truth := world.truths.get(key)) is not None]
        seen: dict[Truth, list[float]] = {}
        for k, mine in known:
            if mine not in seen:
                reading = Reading(mine.of, mine.kind, "", value=mine.value)
                own, most = ln_likelihood(reading, mine.category, mine), cap(reading)
                gaps = [own - ln_likelihood(reading, mine.category, other) for _, other in known]
                seen[mine] = [max(min(gap, most), -most) for gap in gaps]
            total[k, [other for other, _ in known]] += seen[mine]
    return total / math.log(10.0)


def pair_separation(ours: Iterable[World], theirs: Iterable[World]) -> float:
    """Separation of two suspects: share-weighted over our severities, each against the severity of theirs that comes nearest."""
    ours, theirs = list(ours), list(theirs)
    total = math.fsum(w.share for w in ours)
    return math.fsum(w.share * min(separation(w.truths, other.truths) for other in theirs) for w in ours) / total

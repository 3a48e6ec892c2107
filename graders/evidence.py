"""How likely each suspect is, given only what this trainee has seen.

Rules: one state, one pair of points, one instrument is one reading, however often repeated; a reading taken during an incident is
no evidence and uses nothing up; no reading moves any two worlds by more than its cap; suspects that no safe step separates are one.
Everything sums over worlds in a fixed order, so a record graded alone or in a batch gives the same bits.
"""

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from graders.likelihood import SURPRISE, cap, ln_both
from graders.moments import Moment, Reading, SawKind, Suspect, World

Key = tuple[int, str, str]


@dataclass(frozen=True)
class Piece:
    """One reading that counts: step number, call time [s], what and how, and what the sight was taken for."""

    n: int
    t: float
    seen: Reading
    category: str

    @property
    def key(self) -> Key:
        """Where the same reading stands in another world's truths."""
        return (self.n, self.seen.of, self.seen.kind)


def states(moments: Sequence[Moment]) -> list[frozenset[tuple[str, str]]]:
    """Discrete state at each step: the last act on each thing; switching off and on again comes back to a known state."""
    now: dict[str, str] = {}
    found = []
    for moment in moments:
        now.update(moment.changed)
        found.append(frozenset(now.items()))
    return found


def instrument(moment: Moment) -> str:
    """What the reading was taken with: the verb, and how a probe was held."""
    return " ".join([moment.verb, *(word for word in moment.step.split() if word.startswith("how="))])


def points_of(of: str) -> str:
    """Name of a pair of points, the same from both ends."""
    return " ".join(sorted(of.replace("|", " ").replace(",", " ").split()))


def pieces(moments: Sequence[Moment], unsafe: Collection[int] = ()) -> list[Piece]:
    """Readings that count as evidence, in order; ``unsafe`` are the steps of incidents."""
    used: set[tuple[object, ...]] = set()
    found = []
    for moment, state in zip(moments, states(moments), strict=True):
        if moment.n in unsafe or moment.kind == SawKind.CAUTION:
            continue
        truths = {(truth.of, truth.kind): truth for truth in moment.truths}
        for seen in moment.readings:
            truth = truths.get((seen.of, seen.kind))
            if truth is None:
                continue
            key = (state, points_of(seen.of), seen.kind, instrument(moment), "" if seen.value is not None else truth.category)
            if key not in used:
                used.add(key)
                found.append(Piece(moment.n, moment.t, seen, truth.category))
    return found


@dataclass(frozen=True)
class Course:
    """The odds of every suspect along a record: ``odds[k][i]`` is suspect ``i`` after ``k`` pieces; rows sum to one.

    ``gains[k]`` are the capped log likelihoods of a piece by world, ``start`` the log weights of the worlds before any reading and
    ``owners`` the suspect (by index) of each world.
    """

    suspects: tuple[Suspect, ...]
    pieces: tuple[Piece, ...]
    odds: tuple[tuple[float, ...], ...]
    gains: tuple[tuple[float, ...], ...]
    surprises: tuple[int, ...]
    start: tuple[float, ...] = ()
    owners: tuple[int, ...] = ()

    def at(self, n: int) -> int:
        """Row of the odds just before step ``n``."""
        return sum(1 for piece in self.pieces if piece.n < n)

    def chance(self, row: int, chosen: Callable[[Suspect], bool]) -> float:
        """Probability of all suspects that ``chosen`` picks, at a row."""
        return math.fsum(p for suspect, p in zip(self.suspects, self.odds[row], strict=True) if chosen(suspect))


def capped(lls: Sequence[float], most: float) -> list[float]:
    """Log likelihoods of one reading, none farther below the best than the cap."""
    best = max(lls)
    return [max(ll, best - most) for ll in lls]


def reading_lls(piece: Piece, worlds: Sequence[World], weights: Sequence[float]) -> list[float] | None:
    """Capped log likelihoods of one reading in every world, or None where no world explains it.

    A world that has no such reading is neither helped nor hurt. Nothing explains a reading where the weighted share of its best
    possible likelihood is under two in a hundred.
    """
    known = [(k, truth) for k, world in enumerate(worlds) if (truth := world.truths.get(piece.key)) is not None]
    if not known:
        return [0.0] * len(worlds)
    both = [ln_both(piece.seen, piece.category, truth) for _, truth in known]
    neutral = math.fsum(ll for ll, _ in both) / len(both)
    full, share = [neutral] * len(worlds), math.fsum(weights)
    for (k, _), (ll, peak) in zip(known, both, strict=True):
        full[k] = ll
        share -= weights[k] * (1.0 - math.exp(ll - peak))
    return None if share < SURPRISE else capped(full, cap(piece.seen))


def normalised(logs: Sequence[float]) -> list[float]:
    """Weights that sum to one, from their logarithms."""
    best = max(logs)
    raw = [math.exp(log - best) for log in logs]
    total = math.fsum(raw)
    return [value / total for value in raw]


def course(suspects: Sequence[Suspect], worlds: Sequence[World], found: Sequence[Piece]) -> Course:
    """Odds of every suspect, reading by reading.

    Parameters
    ----------
    suspects : sequence of Suspect
        With their coarse priors, any scale.
    worlds : sequence of World
        At least one per suspect; shares within a suspect are scaled to one.
    found : sequence of Piece
        What :func:`pieces` gave.
    """
    place = {suspect.id: i for i, suspect in enumerate(suspects)}
    worlds = [world for world in worlds if world.suspect in place]
    shares = [math.fsum(w.share for w in worlds if w.suspect == s.id) for s in suspects]
    logs = [math.log(suspects[place[w.suspect]].prior * w.share / shares[place[w.suspect]]) for w in worlds]
    start, owners = tuple(logs), tuple(place[w.suspect] for w in worlds)
    rows, gains, surprises = [_by_suspect(suspects, place, worlds, logs)], [], []
    for piece in found:
        lls = reading_lls(piece, worlds, normalised(logs))
        if lls is None:
            surprises.append(piece.n)
            lls = [0.0] * len(worlds)
        logs = [log + ll for log, ll in zip(logs, lls, strict=True)]
        rows.append(_by_suspect(suspects, place, worlds, logs))
        gains.append(tuple(lls))
    return Course(tuple(suspects), tuple(found), tuple(rows), tuple(gains), tuple(surprises), start, owners)


def _by_suspect(
    suspects: Sequence[Suspect], place: Mapping[str, int], worlds: Sequence[World], logs: Sequence[float]
) -> tuple[float, ...]:
    parts: list[list[float]] = [[] for _ in suspects]
    for world, weight in zip(worlds, normalised(logs), strict=True):
        parts[place[world.suspect]].append(weight)
    return tuple(math.fsum(sorted(part)) for part in parts)

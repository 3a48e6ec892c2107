"""Whether a call is fair: enough suspects that safe steps tell apart, a reference that finds the cause, and no prize for guessing.

All of it rests on a tour of every safe step (`graders.tour`), replayed in every suspect's world.
"""

import random
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

from graders import replaying, tour
from graders.diagnosis import diagnose, matches
from graders.evidence import Course, course, pieces
from graders.moments import Cause, FactKind, SawKind, Suspect, World
from graders.night import Night
from graders.reference import Dead, Problem, Solver, probe_of
from graders.rubric import Rubric
from graders.scorecard import judge
from graders.separability import inseparable, pair_separation
from scenarios.verbs import VERBS

SUSPECTS_LEAST = {"first": 8, "own": 14, "hard": 14}
"""Fewest suspects that differ, by level of the call: one circuit of a store has fewer ways to fail than its condenser."""
CEILING_LEAST = 0.95
"""Least that safe readings must make the cause likely."""
SEPARATION_LEAST = 1.3
"""Decades by which the tour must tell the cause from every rival."""
GUESS_MOST = 0.10
"""Most of the diagnosis points for a guess from the priors."""
RANDOM_MOST = 0.40
"""Most of them for eight random readings of the tour with perfect reasoning."""
LUCKY_MOST = 0.55
"""Most of the diagnosis points for the right name with no evidence and no reason shown."""
TOUR_MOST = 45.0
"""Most points of 100 for a random tour that names a suspect at random."""
MINUTES_APART = 1.0
"""How far the derived minutes, which are whole ones, may be from those of the reference. [min]"""

Claim = dict[str, Any]


def claim(text: str, ok: bool, detail: str) -> Claim:
    """One claim in the published form."""
    return {"claim": text, "ok": bool(ok), "detail": detail}


@cache
def exemplar(call_id: str) -> Night:
    """The first exemplar of the first variant, replayed in every suspect's world."""
    seed = replaying.seeds(call_id)[0]
    return replaying.replay(replaying.take(call_id, seed, replaying.key(call_id, seed)["exemplars"][0]["steps"]), after=False)


@cache
def toured(call_id: str, seed: int = 0) -> Night:
    """Every safe step on the circuits in question, in a seed's variant, or the first, and in every suspect's world."""
    return replaying.replay(replaying.take(call_id, seed, replaying.tour_of(call_id, seed)), after=False)


def odds_of(night: Night) -> Course:
    """Odds along a night."""
    return course(night.suspects, night.worlds, pieces(night.moments))


def causes(night: Night) -> list[Suspect]:
    """Suspects that are what the key says."""
    return [s for s in night.suspects if matches("mode", night.truth)(s) and matches("place", night.truth)(s)]


def suspects(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """There are enough suspects, and safe steps can tell the cause from the rest."""
    night = toured(call_id)
    unsafe = [m.step for m in night.moments if m.kind == SawKind.INCIDENT]
    yield claim("the tour of every safe step is safe", not unsafe, ", ".join(unsafe) or f"{len(night.moments)} steps")
    groups = inseparable_of(night)
    listed = sorted(sorted(group) for group in night.groups or ())
    text = "; ".join(" = ".join(group) for group in groups) or "none"
    yield claim("suspects that nothing safe tells apart are as derived", groups == listed, text)
    differ = len(night.suspects) - sum(len(group) - 1 for group in groups)
    least = SUSPECTS_LEAST[replaying.level(call_id)]
    yield claim(f"at least {least} suspects", differ >= least, f"{len(night.suspects)} suspects, {differ} that differ")
    true = causes(night)
    yield claim("the cause is one of the suspects", bool(true), ", ".join(s.id for s in true) or "none")
    if not true:
        return
    for level in ("part", "mode", "place"):
        best = odds_of(night).chance(-1, matches(level, night.truth))
        yield claim(f"safe steps make the {level} {100 * CEILING_LEAST:g} % likely", best >= CEILING_LEAST, f"{100 * best:.1f} %")
    odds, ids = odds_of(exemplar(call_id)), {s.id for s in true}
    best = max(odds.chance(row, lambda s: s.id in ids) for row in range(len(odds.odds)))
    yield claim("the exemplar's readings do as well", best >= CEILING_LEAST, f"{100 * best:.1f} %")
    yield weakest(night, true[0].id, groups)


def weakest(night: Night, true: str, groups: Sequence[Sequence[str]]) -> Claim:
    """The rival that is hardest to tell from the cause by the tour."""
    by: dict[str, list[World]] = {}
    for world in night.worlds:
        by.setdefault(world.suspect, []).append(world)
    together = {name for group in groups if true in group for name in group}
    found = sorted(
        (pair_separation(by[true], worlds), name) for name, worlds in by.items() if name != true and name not in together
    )
    text = "every rival can be told from the cause"
    if not found:
        return claim(text, False, "there is no rival")
    return claim(text, found[0][0] >= SEPARATION_LEAST, f"{found[0][1]} is nearest, {found[0][0]:.1f} decades")


def problem_of(night: Night) -> Problem:
    """The noise-free problem that a tour poses: one probe per reading step, up to the reset that is only there to watch."""
    end = min((m.n for m in night.moments if m.verb == tour.WATCH), default=10**9)
    order = [suspect.id for suspect in night.suspects]
    prior = {suspect.id: suspect.prior for suspect in night.suspects}
    worlds = sorted(night.worlds, key=lambda w: order.index(w.suspect))
    group = {name: group[0] for group in night.merged() for name in group}
    probes = []
    for moment in night.moments:
        if moment.n >= end or not moment.truths:
            continue
        where = Dead(moment.place) if VERBS[moment.verb].dead else moment.place
        columns = [[w.truths.get((moment.n, t.of, t.kind)) for w in worlds] for t in moment.truths]
        probe = probe_of(moment.step.removesuffix(" anyway=yes"), max(moment.minutes, 0.25), where, columns)
        if probe is not None and len(set(probe.outcomes)) > 1:
            probes.append(probe)
    weights = tuple(prior[w.suspect] * w.share for w in worlds)
    classes = tuple(group.get(w.suspect, w.suspect) for w in worlds)
    return Problem(weights, classes, tuple(probes), replaying.walk(night.call), replaying.start(night.call))


def inseparable_of(night: Night) -> list[list[str]]:
    """Groups of suspects that a tour does not tell apart, in order."""
    return sorted(sorted(group) for group in inseparable(night.suspects, night.worlds))


def path_of(night: Night, own: Night) -> tuple[list[str], float, float]:
    """Safe steps by which the reference finds the cause in a tour's night, their minutes, and those of the exemplar's repair."""
    problem, ids = problem_of(night), {s.id for s in causes(night)}
    true = next((k for k, name in enumerate(problem.classes) if name in ids), None)
    steps, minutes = Solver(problem).path(true) if true is not None else ([], 0.0)
    repairs = {fact.n for fact in own.facts if fact.kind == FactKind.REPAIRED}
    return steps, minutes, sum(m.minutes for m in own.moments if m.n in repairs)


def reference(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """The reference diagnostician finds the cause by safe steps, in the minutes that were derived."""
    night = toured(call_id)
    steps, minutes, repair = path_of(night, exemplar(call_id))
    yield claim("the reference finds the cause by safe steps", bool(steps), f"{minutes:.0f} min: {', '.join(steps)}")
    key = float(night.key["goals"]["economy"]["minutes"])
    near = abs(minutes + repair - key) <= MINUTES_APART
    yield claim("the minutes are the reference's", near, f"{minutes:.0f} and {repair:.0f} for the repair; derived {key:g}")


def guessing(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Guessing scores low: from the priors, by luck, and after eight random readings."""
    night = toured(call_id)
    empty = course(night.suspects, night.worlds, [])
    groups, true = night.merged(), night.truth
    total = sum(s.prior for s in night.suspects)
    guess = sum(s.prior / total * diagnose(empty, cause_of(s), true, None, groups).share for s in night.suspects)
    yield claim(f"a guess from the priors scores under {30 * GUESS_MOST:g} of 30", guess < GUESS_MOST, f"{30 * guess:.1f} of 30")
    lucky = diagnose(empty, true, true, None, groups).share
    yield claim("the right name without evidence scores low", lucky < LUCKY_MOST, f"{30 * lucky:.1f} of 30")
    mean = eight_random(night)
    text = f"eight random readings with perfect reasoning score under {30 * RANDOM_MOST:g} of 30"
    yield claim(text, mean < RANDOM_MOST, f"{30 * mean:.1f} of 30")


def cause_of(suspect: Suspect) -> Cause:
    """A suspect as a named cause."""
    return Cause(suspect.part, suspect.mode, suspect.where, suspect.reason)


def eight_random(night: Night, draws: int = 60) -> float:
    """Mean share for naming the favourite after eight random readings of the tour."""
    found = pieces(night.moments)
    pick, total = random.Random(1), 0.0
    for _ in range(draws):
        some = sorted(pick.sample(found, min(8, len(found))), key=lambda piece: piece.n)
        odds = course(night.suspects, night.worlds, some)
        best = max(range(len(night.suspects)), key=lambda i: odds.odds[-1][i])
        total += diagnose(odds, cause_of(night.suspects[best]), night.truth, None, night.merged()).share
    return total / draws


def tours(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """A random tour of readings that names a suspect at random scores low."""
    seed = replaying.seeds(call_id)[0]
    night, pick, scores = toured(call_id), random.Random(2), []
    looks = [m for m in night.moments if SawKind(m.kind).seen and "anyway" not in m.step]
    for _ in range(2):
        steps: list[str] = []
        for m in sorted(pick.sample(looks, min(12, len(looks))), key=lambda m: m.n):
            steps += [f"go {m.place}", m.step]
        chosen = pick.choice(night.suspects)
        steps += [f"cause {chosen.part} {chosen.mode}" + (f" at={chosen.where}" if chosen.where else ""), "close-out"]
        scores.append(judge(replaying.replay(replaying.take(call_id, seed, steps)), rubric).score)
    text = ", ".join(f"{score:g}" for score in scores)
    yield claim(f"a random tour scores under {TOUR_MOST:g}", max(scores) < TOUR_MOST, f"{text} points")


CHECKS = (suspects, reference, guessing, tours)
"""Every check of fairness."""

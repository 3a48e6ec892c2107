"""Every claim a call makes about itself, re-checked: exemplars, wrong attempts, suspects, guessing, variants.

prove("dairy_and_meat") -> {call, ok, claims: [{claim, ok, detail}]}
"""

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from graders import economy, replaying
from graders.diagnosis import diagnose, matches
from graders.evidence import course, pieces
from graders.moments import World
from graders.night import Night
from graders.reference import Problem, Solver, probe_of
from graders.rubric import DEFAULT, Rubric
from graders.scorecard import Judged, as_json, judge
from graders.separability import pair_separation

SUSPECTS_LEAST = {"first": 8, "own": 14, "hard": 14}
"""Fewest suspects that differ, by level of the call: one circuit of a store has fewer ways to fail than its condenser."""
CEILING_LEAST = 0.95
GUESS_MOST = 0.10
"""Most of the diagnosis points for a guess from the priors."""
RANDOM_MOST = {"first": 0.65, "own": 0.40, "hard": 0.40}
"""Most of them for eight random readings with perfect reasoning: where few suspects stand, any eight tell much."""
LUCKY_MOST = 0.55
"""Most of the diagnosis points for the right name with no evidence and no reason shown."""
TOUR_MOST = 45.0
"""Most points of 100 for a random tour that names a suspect at random."""
VARIANT_MINUTES = 0.25
TOLERANCE = 0.5
"""Points within which an attempt must score what its key says, where the key names none."""

Claim = dict[str, Any]


def claim(text: str, ok: bool, detail: str) -> Claim:
    """One claim in the published form."""
    return {"claim": text, "ok": bool(ok), "detail": detail}


def prove(call_id: str, rubric: Rubric = DEFAULT) -> dict[str, Any]:
    """Check every claim of one call; a claim that cannot be checked is a claim that fails, with the reason."""
    claims: list[Claim] = []
    checks: Sequence[Callable[[str, Rubric], Iterator[Claim]]] = (exemplars, attempts, suspects, guessing, tours)
    for check in checks:
        try:
            claims += list(check(call_id, rubric))
        except Exception as error:
            claims.append(claim(check.__doc__ or check.__name__, False, f"{type(error).__name__}: {error}"))
    return {"call": call_id, "ok": all(entry["ok"] for entry in claims), "claims": claims}


def taken(call_id: str, seed: int, steps: Sequence[str], rubric: Rubric) -> Judged:
    """Take a call by a list of steps and judge it."""
    return judge(replaying.replay(replaying.take(call_id, seed, steps)), rubric)


def exemplars(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Exemplars score full marks, in every order and variant, in about the same minutes."""
    minutes, points = [], []
    for seed in replaying.seeds(call_id):
        key = replaying.key(call_id, seed)
        for exemplar in key["exemplars"]:
            judged = taken(call_id, seed, exemplar["steps"], rubric)
            short = [f"{p.id} {p.score:g} of {p.of:g}: {'; '.join(p.why)}" for p in judged.parts if p.of - p.score > 0.01]
            full = not short and judged.passed and judged.night.replays
            detail = f"{judged.score:g} of {rubric.total:g}" + (f"; {' | '.join(short)}" if short else "")
            yield claim(f"exemplar {exemplar['id']} scores full marks, seed {seed}", full, detail)
            minutes.append(economy.charged(judged.night.moments, judged.night.facts))
            points.append(judged.score)
    middle = sum(minutes) / len(minutes)
    spread = max(abs(m - middle) for m in minutes) / middle if middle else 0.0
    text = ", ".join(f"{m:.0f}" for m in minutes)
    yield claim("variants and orders are about as long", spread <= VARIANT_MINUTES, f"{text} minutes")
    yield claim("variants and orders score alike", max(points) - min(points) <= 1.0, f"{min(points):g} to {max(points):g} points")


def attempts(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Every named wrong attempt scores what its key says."""
    for seed in replaying.seeds(call_id)[:1]:
        for attempt in replaying.key(call_id, seed)["attempts"]:
            card = as_json(taken(call_id, seed, attempt["steps"], rubric))
            yield attempt_claim(attempt, card)


def attempt_claim(attempt: Mapping[str, Any], card: Mapping[str, Any]) -> Claim:
    """Compare one attempt's scorecard with its key."""
    room = float(attempt.get("tolerance", TOLERANCE))
    scored = {part["id"]: float(part["score"]) for part in card["parts"]}
    wrong = [
        f"{part} {scored[part]:g}, key {points:g}" for part, points in attempt["score"].items() if abs(scored[part] - points) > room
    ]
    if bool(attempt["passed"]) != card["passed"]:
        wrong.append("passed" if card["passed"] else "not passed")
    kinds = [str(incident["kind"]) for incident in card["incidents"]]
    if "incidents" in attempt and sorted(attempt["incidents"]) != sorted(kinds):
        wrong.append(f"incidents {', '.join(kinds) or 'none'}, key {', '.join(attempt['incidents']) or 'none'}")
    detail = "; ".join(wrong) or f"{card['score']:g} of {card['of']:g}, {'passed' if card['passed'] else 'not passed'}"
    return claim(f"attempt {attempt['id']}: {attempt['title']}", not wrong, detail)


@cache
def exemplar_night(call_id: str) -> Night:
    """The first exemplar of the first variant, replayed in every suspect's world."""
    seed = replaying.seeds(call_id)[0]
    return replaying.replay(replaying.take(call_id, seed, replaying.key(call_id, seed)["exemplars"][0]["steps"]), after=False)


def suspects(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """There are enough suspects, and safe steps can tell the cause from the rest."""
    night = exemplar_night(call_id)
    groups = len(night.suspects) - sum(len(group) - 1 for group in night.merged())
    least = SUSPECTS_LEAST[replaying.level(call_id)]
    yield claim(f"at least {least} suspects", groups >= least, f"{len(night.suspects)} suspects, {groups} that differ")
    odds = course(night.suspects, night.worlds, pieces(night.moments))
    true = [i for i, s in enumerate(night.suspects) if matches("mode", night.truth)(s) and matches("place", night.truth)(s)]
    yield claim("the cause is one of the suspects", bool(true), ", ".join(night.suspects[i].id for i in true) or "none")
    if not true:
        return
    best = max(sum(row[i] for i in true) for row in odds.odds)
    yield claim("the exemplar's readings make the cause 95 % likely", best >= CEILING_LEAST, f"{100 * best:.1f} %")
    yield weakest(night, night.suspects[true[0]].id)
    yield reference(night)


def weakest(night: Night, true: str) -> Claim:
    """The rival that is hardest to tell from the cause by the exemplar's readings."""
    by: dict[str, list[World]] = {}
    for world in night.worlds:
        by.setdefault(world.suspect, []).append(world)
    together = {name for group in night.merged() if true in group for name in group}
    found = sorted(
        (pair_separation(by[true], worlds), name) for name, worlds in by.items() if name != true and name not in together
    )
    if not found:
        return claim("every rival can be told from the cause", False, "there is no rival")
    return claim(
        "every rival can be told from the cause", found[0][0] >= 1.3, f"{found[0][1]} is nearest, {found[0][0]:.1f} decades"
    )


def problem_of(night: Night) -> Problem:
    """The noise-free problem that the readings of a night pose: one probe per reading step, up to the first repair."""
    end = min((fact.n for fact in night.facts if fact.kind == "repaired"), default=10**9)
    order = [suspect.id for suspect in night.suspects]
    prior = {suspect.id: suspect.prior for suspect in night.suspects}
    worlds = sorted(night.worlds, key=lambda w: order.index(w.suspect))
    group = {name: group[0] for group in night.merged() for name in group}
    probes = []
    for moment in night.moments:
        if moment.n >= end or not moment.truths:
            continue
        dead = " dead" if moment.verb in ("ohms", "insulation", "tug", "feel") else ""
        columns = [[w.truths.get((moment.n, t.of, t.kind)) for w in worlds] for t in moment.truths]
        probe = probe_of(moment.step, max(moment.minutes, 0.25), moment.place + dead, columns)
        if probe is not None:
            probes.append(probe)
    weights = tuple(prior[w.suspect] * w.share for w in worlds)
    return Problem(
        weights, tuple(group.get(w.suspect, w.suspect) for w in worlds), tuple(probes), replaying.walk(night.call), "van"
    )


def reference(night: Night) -> Claim:
    """Minutes of the reference diagnostician on the exemplar's probes."""
    problem = problem_of(night)
    solver = Solver(problem)
    true = next(
        (k for k, name in enumerate(problem.classes) for s in night.suspects if s.id == name and matches("mode", night.truth)(s)),
        None,
    )
    steps, minutes = solver.path(true) if true is not None else ([], 0.0)
    return claim("the reference finds the cause by safe steps", bool(steps), f"{minutes:.0f} min: {', '.join(steps)}")


def guessing(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Guessing scores low: from the priors, by luck, and after eight random readings."""
    night = exemplar_night(call_id)
    empty = course(night.suspects, night.worlds, [])
    groups, true = night.merged(), night.truth
    total = sum(s.prior for s in night.suspects)
    guess = sum(s.prior / total * diagnose(empty, cause_of(s), true, None, groups).share for s in night.suspects)
    yield claim("a guess from the priors scores under 3 of 30", guess < GUESS_MOST, f"{30 * guess:.1f} of 30")
    lucky = diagnose(empty, true, true, None, groups).share
    yield claim("the right name without evidence scores low", lucky < LUCKY_MOST, f"{30 * lucky:.1f} of 30")
    mean = eight_random(night)
    most = RANDOM_MOST[replaying.level(call_id)]
    text = f"eight random readings with perfect reasoning score under {30 * most:g} of 30"
    yield claim(text, mean < most, f"{30 * mean:.1f} of 30")


def cause_of(suspect: Any) -> Any:
    """A suspect as a named cause."""
    from graders.moments import Cause

    return Cause(suspect.part, suspect.mode, suspect.where, suspect.reason)


def eight_random(night: Night, draws: int = 60) -> float:
    """Mean share for naming the favourite after eight random readings of the exemplar's, from before the repair."""
    end = min((fact.n for fact in night.facts if fact.kind == "repaired"), default=10**9)
    found = [piece for piece in pieces(night.moments) if piece.n < end]
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
    key, pick, scores = replaying.key(call_id, seed), random.Random(2), []
    night = exemplar_night(call_id)
    looks = [
        m
        for m in night.moments
        if m.kind in ("reading", "sight", "sound", "smell") and m.verb not in ("ohms", "tug", "feel", "insulation")
    ]
    for _ in range(2):
        steps: list[str] = []
        for m in pick.sample(looks, min(12, len(looks))):
            steps += [f"go {m.place}", m.step]
        chosen = pick.choice(night.suspects)
        steps += [f"cause {chosen.part} {chosen.mode}" + (f" at={chosen.where}" if chosen.where else ""), "close-out"]
        scores.append(taken(call_id, seed, steps, rubric).score)
    assert key["truth"]
    text = ", ".join(f"{score:g}" for score in scores)
    yield claim(f"a random tour scores under {TOUR_MOST:g}", max(scores) < TOUR_MOST, f"{text} points")

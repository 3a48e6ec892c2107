"""Every claim a call makes about itself, re-checked: exemplars, wrong attempts, suspects, guessing, variants.

prove("dairy_and_meat") -> {call, ok, claims: [{claim, ok, detail}]}
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from graders import economy, fairness, gate, replaying, safety
from graders.fairness import Claim, claim
from graders.moments import FactKind
from graders.night import Night
from graders.rubric import DEFAULT, Rubric
from graders.scorecard import Judged, ToMarkByHand, as_json, by_hand, judge, judge_answers

VARIANT_MINUTES = 0.25
SEEDS = 50
"""Seeds with which every exemplar is taken: a reading that only some of them show must stop nobody."""
WHOLE = 2
"""Fewest of them that are judged in every suspect's world too, which costs ten times as much."""
TOLERANCE = 0.1
"""Points within which each part of an attempt must score what was derived, which is rounded to as much."""


def prove(call_id: str, rubric: Rubric = DEFAULT) -> dict[str, Any]:
    """Check every claim of one call; a claim that cannot be checked is a claim that fails, with the reason."""
    claims: list[Claim] = []
    checks: Sequence[Callable[[str, Rubric], Iterator[Claim]]] = (standing, exemplars, over_seeds, attempts, *fairness.CHECKS)
    for check in checks:
        try:
            claims += list(check(call_id, rubric))
        except Exception as error:
            claims.append(claim(check.__doc__ or check.__name__, False, f"{type(error).__name__}: {error}"))
    return {"call": call_id, "ok": all(entry["ok"] for entry in claims), "claims": claims}


def standing(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """What follows from the call was worked out by this version, and what was published stands as it was."""
    from graders import deriving
    from scenarios.files import published

    wrong = deriving.stale(call_id)
    yield claim("what follows was worked out by this version", not wrong, wrong or "derived")
    wrong = published.problem(call_id)
    yield claim("a published call stands as it was", not wrong, wrong or published.status(call_id))


def taken(call_id: str, seed: int, steps: Sequence[str], rubric: Rubric) -> Judged:
    """Take a call by a list of steps and judge it."""
    return judge(replaying.replay(replaying.take(call_id, seed, steps)), rubric)


def exemplars(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Exemplars score full marks, in every order and variant, in about the same minutes."""
    minutes, points = [], []
    variants = replaying.seeds(call_id)
    for seed in range(max(WHOLE, len(variants))):
        key = replaying.key(call_id, seed)
        for exemplar in key["exemplars"]:
            night = replaying.replay(replaying.take(call_id, seed, exemplar["steps"]))
            judged = judge(night if seed in variants else reworked(night, rubric), rubric)
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


def over_seeds(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Exemplars hold whatever the meters' noise, by replay, calculations and gate."""
    for n, exemplar in enumerate(replaying.key(call_id, 0)["exemplars"]):
        wrong = [f"seed {seed}: {why}" for seed in range(SEEDS) for why in short_of_sound(call_id, seed, n, rubric)]
        yield claim(f"exemplar {exemplar['id']} holds over {SEEDS} seeds", not wrong, "; ".join(wrong[:5]) or "every seed")


def short_of_sound(call_id: str, seed: int, n: int, rubric: Rubric) -> Iterator[str]:
    """What an exemplar lacks with a seed that can be seen in its own world alone."""
    steps = replaying.key(call_id, seed)["exemplars"][n]["steps"]
    try:
        with by_hand(f"{call_id}, seed {seed}"):
            night = replaying.replay(replaying.take(call_id, seed, steps), after=False, suspects=False)
            wrong = [a for a in judge_answers(reworked(night, rubric), rubric) if a.credit < 1.0]
    except ToMarkByHand as error:
        yield str(error)
        return
    yield from night.problems
    yield from (fact.text for fact in safety.incidents(night.facts))
    yield from (f"{gate.HANDS.says}: {fact.what}" for fact in safety.bare_hands(night.facts))
    yield from (f"{answer.id}: {answer.verdict.in_words}" for answer in wrong)
    if not any(fact.kind == FactKind.CLOSED_OUT for fact in night.facts):
        yield gate.OPEN.says


def reworked(night: Night, rubric: Rubric) -> Night:
    """A night whose sums are answered from its own readings: those that are derived are of one seed of each variant."""
    own = {answer.id: answer for answer in judge_answers(night, rubric) if answer.reference is not None}
    facts = [
        replace(fact, data={"value": round(own[fact.what].reference or 0.0, 2), "unit": own[fact.what].unit})
        if fact.kind == FactKind.ANSWERED and fact.what in own
        else fact
        for fact in night.facts
    ]
    return replace(night, facts=tuple(facts))


def attempts(call_id: str, rubric: Rubric) -> Iterator[Claim]:
    """Every named wrong attempt ends as its key insists, and scores what was derived."""
    for seed in replaying.seeds(call_id)[:1]:
        for attempt in replaying.key(call_id, seed)["attempts"]:
            card = as_json(taken(call_id, seed, attempt["steps"], rubric))
            yield attempt_claim(attempt, card)


def attempt_claim(attempt: Mapping[str, Any], card: Mapping[str, Any]) -> Claim:
    """Compare one attempt's scorecard with what its key insists on and what was derived."""
    scored = {part["id"]: float(part["score"]) for part in card["parts"]}
    wrong = [
        f"{part} {scored[part]:g}, derived {points:g}"
        for part, points in attempt["score"].items()
        if abs(scored[part] - points) > TOLERANCE
    ]
    if bool(attempt["passed"]) != card["passed"]:
        wrong.append("passed" if card["passed"] else "not passed")
    kinds = [str(incident["kind"]) for incident in card["incidents"]]
    if "incidents" in attempt and sorted(attempt["incidents"]) != sorted(kinds):
        wrong.append(f"incidents {', '.join(kinds) or 'none'}, key {', '.join(attempt['incidents']) or 'none'}")
    detail = "; ".join(wrong) or f"{card['score']:g} of {card['of']:g}, {'passed' if card['passed'] else 'not passed'}"
    return claim(f"attempt {attempt['id']}: {attempt['title']}", not wrong, detail)

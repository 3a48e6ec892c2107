"""Every claim a call makes about itself, re-checked: exemplars, wrong attempts, suspects, guessing, variants.

prove("dairy_and_meat") -> {call, ok, claims: [{claim, ok, detail}]}
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from graders import economy, fairness, replaying
from graders.fairness import Claim, claim
from graders.rubric import DEFAULT, Rubric
from graders.scorecard import Judged, as_json, judge

VARIANT_MINUTES = 0.25
TOLERANCE = 0.5
"""Points within which an attempt must score what its key says, where the key names none."""


def prove(call_id: str, rubric: Rubric = DEFAULT) -> dict[str, Any]:
    """Check every claim of one call; a claim that cannot be checked is a claim that fails, with the reason."""
    claims: list[Claim] = []
    checks: Sequence[Callable[[str, Rubric], Iterator[Claim]]] = (exemplars, attempts, *fairness.CHECKS)
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

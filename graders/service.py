"""Service restored: the repair and its reason, order of restart, resets, proof that it holds, product, and the 72 hours after."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from graders.moments import Aftermath, Fact, FactKind, Moment, SawKind
from graders.rubric import DEFAULT, Part, Rubric, Tally


@dataclass(frozen=True)
class Ending:
    """What the service part looks back on."""

    moments: Sequence[Moment]
    facts: Sequence[Fact]
    aftermath: Aftermath | None


def acts(moments: Sequence[Moment], start: str) -> list[Moment]:
    """Steps that took effect and begin with these words."""
    words = start.split()
    return [m for m in moments if m.step.split()[: len(words)] == words and SawKind(m.kind).done]


def repair_share(ending: Ending, goals: Mapping[str, Any]) -> tuple[float, list[str]]:
    """Share of the repair groups and settings that were done, and what is missing."""
    groups = [list(group) for group in goals.get("repair", [])]
    missing = [" or ".join(group) for group in groups if not any(acts(ending.moments, step) for step in group)]
    settings = {str(mark): float(value) for mark, value in goals.get("settings", {}).items()}
    for mark, value in settings.items():
        dials = [m.step.split() for m in acts(ending.moments, f"set {mark}")]
        if not dials or abs(float(dials[-1][2]) - value) > max(0.1, 0.02 * value) + 1e-9:
            missing.append(f"set {mark}")
    count = len(groups) + len(settings)
    return (1.0 - len(missing) / count if count else 0.0), missing


def last_repair(facts: Sequence[Fact]) -> Fact | None:
    """The last repair, after which proof begins."""
    return max((fact for fact in facts if fact.kind == FactKind.REPAIRED), key=lambda fact: fact.n, default=None)


def first_repair(facts: Sequence[Fact]) -> int | None:
    """Step of the first repair, where the odds freeze; None where nothing was repaired."""
    return min((fact.n for fact in facts if fact.kind == FactKind.REPAIRED), default=None)


def order_share(moments: Sequence[Moment], pairs: Sequence[Sequence[str]]) -> tuple[float, list[str]]:
    """Share of ordered pairs kept: the first time of FIRST comes before the last time of THEN begins to count.

    A THEN that was tried too early and done again after FIRST is half kept: the restart was right in the end.
    """
    total, missing = 0.0, []
    for first, then in pairs:
        one, two = acts(moments, first), acts(moments, then)
        if one and two and one[-1].n < two[0].n:
            total += 1.0
        else:
            total += 0.5 if one and two and one[-1].n < two[-1].n else 0.0
            missing.append(f"{first} before {then}")
    return (total / len(pairs) if pairs else 1.0), missing


def reset_share(facts: Sequence[Fact], marks: Sequence[str]) -> tuple[float, list[str]]:
    """Share of manual resets that were made, each with the pressure down."""
    total, missing = 0.0, []
    for mark in marks:
        made = [fact for fact in facts if fact.kind in (FactKind.RESET, FactKind.PUSHED) and fact.what == mark]
        sound = [fact for fact in made if fact.data["took"]]
        total += 1.0 if sound else (0.5 if made else 0.0)
        if not sound:
            missing.append(mark)
    return (total / len(marks) if marks else 1.0), missing


def proof_share(ending: Ending, wanted: Sequence[Mapping[str, Any]]) -> tuple[float, list[str]]:
    """Share of the proofs read long enough after the last repair."""
    repair = last_repair(ending.facts)
    if repair is None:
        return (0.0 if wanted else 1.0), ["nothing was repaired, so nothing was proved"] if wanted else []
    total, missing = 0.0, []
    for proof in wanted:
        names = set(map(str, proof["of"]))
        late = [m for m in ending.moments if m.t >= repair.t + 60.0 * float(proof.get("minutes", 0.0)) and m.n > repair.n]
        seen = sum(
            1 for m in late if any(r.of in names for r in m.readings) or (m.step.split()[-1] in names and SawKind(m.kind).seen)
        )
        share = min(1.0, seen / int(proof.get("times", 1)))
        total += share
        if share < 1.0:
            missing.append(f"{' or '.join(sorted(names))} after {proof.get('minutes', 0)} min")
    return (total / len(wanted) if wanted else 1.0), missing


def product_share(facts: Sequence[Fact], goals: Mapping[str, Any]) -> tuple[float, list[str]]:
    """Product measured in one of the circuits, and the store told the readings, which decides."""
    circuits = {str(c) for c in goals.get("product", [])}
    if not circuits:
        return 1.0, []
    measured = any(fact.kind == FactKind.PRODUCT_MEASURED and fact.what.split(".")[0] in circuits for fact in facts)
    topics = {str(topic) for topic in goals.get("food", ["food"])}
    told = any(fact.kind == FactKind.TOLD and topic_of(fact) in topics for fact in facts)
    missing = [
        text
        for done, text in ((measured, "product temperature between the packs"), (told, "the store told the readings, with times"))
        if not done
    ]
    return 0.5 * measured + 0.5 * told, missing


def topic_of(fact: Fact) -> str:
    """Topic of something that was told."""
    return str(fact.data.get("topic", ""))


def callback(aftermath: Aftermath | None) -> dict[str, object]:
    """The form of the scorecard."""
    if aftermath is None:
        return {"held": False, "reason": "The call was not closed out."}
    return {
        "held": aftermath.held,
        "reason": aftermath.reason or ("No call in 72 hours." if aftermath.held else "It called again."),
    }


def score(ending: Ending, goals: Mapping[str, Any], rubric: Rubric = DEFAULT) -> Part:
    """Points of service restored."""
    tally = Tally("service", rubric.service, rubric.weights["service"])
    shares = {
        "repair": (*repair_share(ending, goals), "Not done: {}."),
        "order": (*order_share(ending.moments, goals.get("order", [])), "Order of restart: {}."),
        "resets": (*reset_share(ending.facts, goals.get("resets", [])), "Not reset with the pressure down: {}."),
        "proof": (*proof_share(ending, goals.get("proof", [])), "A sound job reads {}."),
        "product": (*product_share(ending.facts, goals), "Product: a sound job has {}."),
    }
    for item, (share, missing, says) in shares.items():
        if goals.get(item) or (item == "repair" and goals.get("settings")):
            tally.give(item, share, says.format("; ".join(missing)) if missing else "")
        else:
            tally.drop(item)
    closed, held = ending.aftermath is not None, bool(ending.aftermath and ending.aftermath.held)
    standing = ending.aftermath.standing if ending.aftermath else ()
    quiet = float(closed and not standing and shares["repair"][0] > 0.0)  # an alarm that went by itself is nobody's work
    tally.give("alarms", quiet, f"Still standing at close-out: {', '.join(standing)}." if standing else "")
    tally.give("held", float(held), str(callback(ending.aftermath)["reason"]))
    return tally.part(0.0, "In service in the right order, proved, and no call in 72 hours.")

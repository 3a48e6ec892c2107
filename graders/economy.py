"""Economy: minutes and parts against the reference diagnostician.

Proving dead, a second confirmation, food, people, and everything that proves the repair never cost a minute.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from graders.moments import Fact, FactKind, Moment
from graders.rubric import DEFAULT, Part, Rubric, Tally
from scenarios.verbs import VERBS

FREE_FACTS = {FactKind.KNOWN_LIVE, FactKind.DEAD_PAIR, FactKind.PRODUCT_MEASURED}
"""What a reading may show that makes its minutes free; which verbs are free stands in their table."""


def charged(moments: Sequence[Moment], facts: Sequence[Fact]) -> float:
    """Minutes that count: on site, up to the last repair, without the way there and without what is free."""
    free = {fact.n for fact in facts if fact.kind in FREE_FACTS}
    end = max((fact.n for fact in facts if fact.kind == FactKind.REPAIRED), default=None)
    arrival = next((moment.n for moment in moments if moment.verb == "go"), 0)
    seen: dict[tuple[str, str], int] = {}
    minutes = 0.0
    for moment in moments:
        if end is not None and moment.n > end:
            break
        key = (moment.place, moment.step)
        seen[key] = seen.get(key, 0) + 1
        confirmation = bool(moment.readings) and seen[key] == 2
        if moment.n not in free and not VERBS[moment.verb].free and not confirmation and moment.n != arrival:
            minutes += moment.minutes
    return minutes


def score(
    moments: Sequence[Moment], facts: Sequence[Fact], goals: Mapping[str, Any], repaired: float, rubric: Rubric = DEFAULT
) -> Part:
    """Points of economy; ``repaired`` is the share of the repair that was done, because leaving early is not thrift."""
    tally = Tally("economy", rubric.economy, rubric.weights["economy"])
    spent, reference = charged(moments, facts), float(goals.get("minutes", 60.0))
    ratio = spent / reference if reference else 1.0
    share = (rubric.economy_none - ratio) / (rubric.economy_none - rubric.economy_full)
    if repaired <= 0.0:
        return Part("economy", 0.0, rubric.weights["economy"], ("Nothing was repaired.",), ("Nothing was repaired.",))
    tally.give("minutes", share * repaired, f"{spent:.0f} minutes, the reference {reference:.0f}.")
    needed = list(map(str, goals.get("parts", [])))
    used = [fact.what for fact in facts if fact.kind == FactKind.REPAIRED and fact.data.get("verb", "replace") == "replace"]
    extra = [mark for k, mark in enumerate(used) if mark not in needed or mark in used[:k]]
    tally.give(
        "parts",
        1.0 - len(extra) / 2.0 if repaired > 0.0 else 0.0,
        f"Parts that were not needed: {', '.join(extra)}." if extra else "",
    )
    return tally.part(0.0, "No more minutes than the work needs, and no part wasted.")

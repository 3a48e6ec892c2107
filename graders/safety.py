"""Safe work: the gate, and how well a part was isolated before hands went on it.

Order of a sound isolation (29 CFR 1910.147(d) and 1910.333(b), NFPA 70E 120.5, in our own words): off, locked and tagged, tried,
the tester shown on a live source, every pole to every other and to earth read dead, the tester shown again. Local rules come first.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from graders.evidence import STATE_VERBS
from graders.moments import Fact, Moment
from graders.rubric import DEFAULT, Part, Rubric, Tally

INCIDENTS = {
    "touched_live": "Live metal was touched.",
    "arc_amps": "Leads in the amps jack were put across a live circuit.",
    "reclosed_blind": "A breaker or fuse was closed again before its cause was looked for.",
    "safety_bridged": "A safety was jumped or raised.",
    "contactor_pressed_live": "A contactor was pushed in live.",
    "wrong_lock": "The wrong disconnect was locked, and then the part was touched.",
    "others_lock": "Somebody else's lock was taken off.",
    "vented": "Refrigerant was vented.",
    "insulation_into_electronics": "An insulation test was put into electronics.",
}
NO_HANDS = {"clamp"}
"""Verbs that go round insulation and touch no metal; dials and resets are worked with a tool and leave no such fact at all."""
LEFT_SAFE = {"door", "cover", "lock", "tag", "bridge", "bypass", "joint", "lifted", "gauge", "clamp"}
"""Kinds of things left behind that safe work answers for; a wrong setting or product is service."""


def incidents(facts: Iterable[Fact]) -> list[Fact]:
    """Incidents in order, one per step."""
    seen: dict[int, Fact] = {}
    for fact in facts:
        if fact.kind == "incident":
            seen.setdefault(fact.n, fact)
    return [seen[n] for n in sorted(seen)]


def bare_hands(facts: Iterable[Fact]) -> list[Fact]:
    """Hands on a part that was not locked off and proved dead, whether or not it happened to be: luck is no excuse."""
    hands = [fact for fact in facts if fact.kind == "hands_on" and fact.data.get("verb") not in NO_HANDS]
    return [fact for fact in hands if not (fact.data.get("proven") and fact.data.get("locked_off"))]


def incident_kind(fact: Fact) -> str:
    """Which of :data:`INCIDENTS` a fact is."""
    return str(fact.data.get("kind") or fact.what)


def incident_json(fact: Fact) -> dict[str, object]:
    """The form of the scorecard."""
    kind = incident_kind(fact)
    return {"kind": kind, "n": fact.n, "t": fact.t, "text": fact.text or INCIDENTS.get(kind, kind)}


def pair_of(fact: Fact) -> frozenset[str]:
    """The two points of a reading."""
    if "pair" in fact.data:
        return frozenset(map(str, fact.data["pair"]))
    if "a" in fact.data:
        return frozenset((str(fact.data["a"]), str(fact.data["b"])))
    return frozenset(fact.what.replace("|", " ").split())


def wanted(poles: Sequence[str]) -> set[frozenset[str]]:
    """Every pole to every other, and to earth.

    >>> len(wanted(["K5:1", "K5:3", "K5:5"]))
    6
    """
    return {frozenset(pair) for pair in combinations(poles, 2)} | {frozenset((pole, "PE")) for pole in poles}


@dataclass(frozen=True)
class Isolation:
    """Quality of one isolation, each 0 to 1."""

    part: str
    lock: float
    tried: float
    before: float
    dead: float
    after: float


def isolation(goal: Mapping[str, Any], facts: Sequence[Fact], moments: Sequence[Moment]) -> Isolation | None:
    """How well a part was isolated when hands first went on it; None where they never did."""
    part = str(goal["part"])
    hands = [fact for fact in facts if fact.kind == "hands_on" and fact.what.split(":")[0] == part]
    if not hands:
        return None
    best = [quality(goal, facts, moments, hand.n) for hand in hands]
    return min(best, key=lambda q: q.dead + q.before + q.after + q.lock + q.tried)


def quality(goal: Mapping[str, Any], facts: Sequence[Fact], moments: Sequence[Moment], hands: int) -> Isolation:
    """How well a part was isolated at one laying on of hands (a step number)."""
    powered = max((m.n for m in moments if m.verb in ("on", "unlock") and m.n < hands and m.kind == "act"), default=-1)
    since = [fact for fact in facts if powered < fact.n < hands]
    live = [fact for fact in facts if fact.kind == "known_live" and fact.n < hands]
    marks = [str(mark) for mark in goal.get("lock", [])]
    hung = {kind: {fact.what for fact in since if fact.kind == kind and not fact.data.get("moved")} for kind in ("locked", "tried")}
    lock = sum(mark in hung["locked"] for mark in marks) / len(marks) if marks else 1.0
    pairs = {pair_of(fact): fact.n for fact in since if fact.kind == "dead_pair"}
    sets = [wanted(poles) for poles in goal.get("dead", [])]
    share, shown = max(
        ((len(want & pairs.keys()) / len(want), want & pairs.keys()) for want in sets),
        default=(1.0, frozenset(pairs)),
        key=lambda pair: pair[0],
    )
    first, last = min((pairs[p] for p in shown), default=None), max((pairs[p] for p in shown), default=None)
    before = first is not None and any(fact.n < first for fact in live)
    after = last is not None and any(fact.n > last for fact in live)
    return Isolation(str(goal["part"]), lock, 1.0 if hung["tried"] else 0.0, float(before), share, float(after))


def score(facts: Sequence[Fact], moments: Sequence[Moment], goals: Mapping[str, Any], rubric: Rubric = DEFAULT) -> Part:
    """Points of safe work, which shows in work alone; an incident costs here and nowhere else."""
    tally = Tally("safe", rubric.safe, rubric.weights["safe"])
    _isolations(tally, [(goal, isolation(goal, facts, moments)) for goal in goals.get("isolation", [])])
    hands = [fact for fact in facts if fact.kind == "hands_on"]
    bare = [fact for fact in hands if not fact.data.get("proven", True)]
    worked = any(moment.verb in STATE_VERBS and moment.kind == "act" for moment in moments)
    none = float(worked and not goals.get("isolation"))
    tally.give("proven", 1.0 - len(bare) / len(hands) if hands else none, _bare(bare) if bare else "")
    left = [fact for fact in facts if fact.kind == "left" and left_kind(fact) in LEFT_SAFE]
    closed = any(fact.kind == "closed_out" for fact in facts)
    tally.give(
        "left",
        1.0 - len(left) / 3.0 if closed and worked else 0.0,
        "Left behind: " + "; ".join(fact.text or fact.what for fact in left) if left else "",
    )
    happened = incidents(facts)
    for fact in happened:
        tally.blame(str(incident_json(fact)["text"]), INCIDENTS.get(incident_kind(fact), "There was an unsafe act."))
    resets = _resets(facts, {fact.n for fact in happened})
    for text, said in resets:
        tally.blame(text, said)
    minus = rubric.incident_cost * len(happened) + rubric.reset_cost * len(resets)
    return tally.part(minus, "Isolated, proved dead, nothing left open; no unsafe act.")


def left_kind(fact: Fact) -> str:
    """What sort of thing was left behind."""
    return str(fact.data.get("kind") or fact.what.split(" ")[0])


def _bare(bare: Sequence[Fact]) -> str:
    names = ", ".join(dict.fromkeys(fact.what for fact in bare))
    return f"Hands on {names}: your notes do not show it proved dead."


def _isolations(tally: Tally, found: Sequence[tuple[Mapping[str, Any], Isolation | None]]) -> None:
    """Shares of the isolation items over all parts that the repair has to work on."""
    if not found:
        for item in ("lock", "tried", "live before", "dead", "live after"):
            tally.drop(item)
        return
    says = {
        "lock": "lock and tag of your own on every source",
        "tried": "an attempt to start it",
        "live before": "the tester shown on a live source first",
        "dead": "every pole to every other and to earth read dead",
        "live after": "the tester shown on a live source again",
    }
    fields = {"lock": "lock", "tried": "tried", "live before": "before", "dead": "dead", "live after": "after"}
    parts = [str(goal["part"]) for goal, got in found if got is None]
    if parts:
        tally.why.append(f"No work was done on {', '.join(parts)}, so no isolation is shown.")
    for item, name in fields.items():
        shares = [getattr(got, name) if got is not None else 0.0 for _, got in found]
        short = ", ".join(got.part for _, got in found if got is not None and getattr(got, name) < 1.0)
        tally.give(item, sum(shares) / len(shares), f"{short}: a sound job needs {says[item]}." if short else "")


def _resets(facts: Sequence[Fact], incident_steps: set[int]) -> list[tuple[str, str]]:
    """Resets that cost, in words for instructor and trainee: the second of one part before a repair, or one without a look."""
    repaired = min((fact.n for fact in facts if fact.kind == "repaired"), default=10**9)
    found = []
    for fact in facts:
        if fact.kind != "reset" or fact.n in incident_steps:
            continue
        if not fact.data.get("looked_before", True):
            why = f"{fact.what} was reset before anybody had looked why it tripped."
            found.append((why, "Something was reset without a look."))
        elif int(fact.data.get("count", 1)) > 1 and fact.n < repaired:
            found.append((f"{fact.what} was reset a second time without a repair.", "Something was reset twice, unrepaired."))
    return found

"""Safe work: the gate, and how well a part was isolated before hands went on it.

Order of a sound isolation (29 CFR 1910.147(d) and 1910.333(b), NFPA 70E 120.5, in our own words): off, locked and tagged, tried,
the tester shown on a live source, every pole to every other and to earth read dead, the tester shown again. Local rules come first.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from graders.moments import Fact, FactKind, Moment, SawKind
from graders.rubric import DEFAULT, Part, Rubric, Tally
from scenarios.facts import IncidentKind
from scenarios.verbs import VERBS

INCIDENTS = {
    IncidentKind.TOUCHED_LIVE: "Live metal was touched.",
    IncidentKind.RECLOSED_BLIND: "A breaker or fuse was closed again before its cause was looked for.",
    IncidentKind.SAFETY_BRIDGED: "A safety was jumped or raised.",
    IncidentKind.CONTACTOR_PRESSED_LIVE: "A contactor was pushed in live.",
    IncidentKind.WRONG_LOCK: "The wrong disconnect was locked, and then the part was touched.",
    IncidentKind.INSULATION_INTO_ELECTRONICS: "An insulation test was put into electronics.",
}


def incidents(facts: Iterable[Fact]) -> list[Fact]:
    """Incidents in order, one per step."""
    seen: dict[int, Fact] = {}
    for fact in facts:
        if fact.kind == FactKind.INCIDENT:
            seen.setdefault(fact.n, fact)
    return [seen[n] for n in sorted(seen)]


def bare_hands(facts: Iterable[Fact]) -> list[Fact]:
    """Hands on a part that was not locked off and proved dead, whether or not it happened to be: luck is no excuse."""
    hands = [fact for fact in facts if fact.kind == FactKind.HANDS_ON and VERBS[fact.data["verb"]].metal]
    return [fact for fact in hands if not (fact.data.get("proven") and fact.data.get("locked_off"))]


def incident_kind(fact: Fact) -> IncidentKind:
    """Which of :data:`INCIDENTS` a fact is."""
    return IncidentKind(fact.what)


def incident_json(fact: Fact) -> dict[str, object]:
    """The form of the scorecard."""
    kind = incident_kind(fact)
    return {"kind": kind, "n": fact.n, "t": fact.t, "text": fact.text or INCIDENTS[kind]}


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
    hands = [fact for fact in facts if fact.kind == FactKind.HANDS_ON and fact.what.split(":")[0] == part]
    if not hands:
        return None
    best = [quality(goal, facts, moments, hand.n) for hand in hands]
    return min(best, key=lambda q: q.dead + q.before + q.after + q.lock + q.tried)


def quality(goal: Mapping[str, Any], facts: Sequence[Fact], moments: Sequence[Moment], hands: int) -> Isolation:
    """How well a part was isolated at one laying on of hands (a step number)."""
    live_again = (FactKind.SWITCHED_ON, FactKind.UNLOCKED)
    powered = max((fact.n for fact in facts if fact.kind in live_again and fact.n < hands), default=-1)
    since = [fact for fact in facts if powered < fact.n < hands]
    live = [fact for fact in facts if fact.kind == FactKind.KNOWN_LIVE and fact.n < hands]
    marks = [str(mark) for mark in goal.get("lock", [])]
    done = [fact for fact in since if not fact.data.get("moved")]
    hung = {kind: {fact.what for fact in done if fact.kind == kind} for kind in (FactKind.LOCKED, FactKind.TRIED)}
    lock = sum(mark in hung[FactKind.LOCKED] for mark in marks) / len(marks) if marks else 1.0
    pairs = {pair_of(fact): fact.n for fact in since if fact.kind == FactKind.DEAD_PAIR}
    sets = [wanted(poles) for poles in goal.get("dead", [])]
    share, shown = max(
        ((len(want & pairs.keys()) / len(want), want & pairs.keys()) for want in sets),
        default=(1.0, frozenset(pairs)),
        key=lambda pair: pair[0],
    )
    first, last = min((pairs[p] for p in shown), default=None), max((pairs[p] for p in shown), default=None)
    before = first is not None and any(fact.n < first for fact in live)
    after = last is not None and any(fact.n > last for fact in live)
    return Isolation(str(goal["part"]), lock, 1.0 if hung[FactKind.TRIED] else 0.0, float(before), share, float(after))


def score(
    facts: Sequence[Fact], moments: Sequence[Moment], goals: Mapping[str, Any], repaired: float, rubric: Rubric = DEFAULT
) -> Part:
    """Points of safe work, which shows in work alone; an incident costs here and nowhere else.

    Parameters
    ----------
    facts, moments : sequence
        What happened, and the steps.
    goals : mapping
        ``goals.safe`` of the key.
    repaired : float
        Share of the repair that was done: where nothing has to be isolated, that is all the work that can be safe. [-]
    rubric : Rubric
        What a point is given for.
    """
    tally = Tally("safe", rubric.safe, rubric.weights["safe"])
    _isolations(tally, [(goal, isolation(goal, facts, moments)) for goal in goals.get("isolation", [])])
    hands = [fact for fact in facts if fact.kind == FactKind.HANDS_ON]
    bare = [fact for fact in hands if not fact.data.get("proven", True)]
    alone = 1.0 if goals.get("isolation") else repaired
    clean = 1.0 - len(bare) / len(hands) if hands else float(not goals.get("isolation"))
    tally.give("proven", alone * clean, _bare(bare) if bare else "")
    left = [fact for fact in facts if fact.kind == FactKind.LEFT]
    closed = any(fact.kind == FactKind.CLOSED_OUT for fact in facts)
    worked = any(moment.changed and moment.kind == SawKind.ACT for moment in moments)
    tally.give(
        "left",
        alone * (1.0 - len(left) / 3.0) if closed and worked else 0.0,
        "Left behind: " + "; ".join(fact.text or fact.what for fact in left) if left else "",
    )
    happened = incidents(facts)
    for fact in happened:
        tally.blame(str(incident_json(fact)["text"]), INCIDENTS[incident_kind(fact)])
    resets = _resets(facts, {fact.n for fact in happened})
    for text, said in resets:
        tally.blame(text, said)
    minus = rubric.incident_cost * len(happened) + rubric.reset_cost * len(resets)
    return tally.part(minus, "Isolated, proved dead, nothing left open; no unsafe act.")


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
    repaired = min((fact.n for fact in facts if fact.kind == FactKind.REPAIRED), default=10**9)
    found = []
    for fact in facts:
        if fact.kind != FactKind.RESET or fact.n in incident_steps:
            continue
        if not fact.data.get("looked_before", True):
            why = f"{fact.what} was reset before anybody had looked why it tripped."
            found.append((why, "Something was reset without a look."))
        elif int(fact.data.get("count", 1)) > 1 and fact.n < repaired:
            found.append((f"{fact.what} was reset a second time without a repair.", "Something was reset twice, unrepaired."))
    return found

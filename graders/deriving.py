"""What follows from a call and its key: suspects, sums, what nothing safe tells apart, minutes, scores of wrong attempts.

Each stage rests on those before it. The call is handed to everybody who asks for it (`assignments.given`) with as much as is worked
out, so that what is derived is what grading itself gives.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from graders import choosing, fairness, replaying
from graders.rubric import DEFAULT
from graders.scorecard import judge, judge_answers
from scenarios import assignments
from scenarios.assignments import Assignment
from scenarios.compiling import seals
from scenarios.errors import BadRequest, FaultFound
from scenarios.files import derivedfile, keyfile

FINE = 0.1
"""Most of an answer's tolerance that rounding the sum may take. [-]"""
Say = Callable[[str], None]


def derive(call_id: str, say: Say = lambda line: None) -> str:
    """Text of a call's derived file, worked out anew.

    Parameters
    ----------
    call_id : str
        Which call.
    say : callable
        Is told what is being worked out; some of it takes minutes.

    Raises
    ------
    BadRequest
        A step of an exemplar or attempt does not read, or answers a sum without the readings it asks for.
    FaultFound
        The night does not produce the ticket, or the reference finds no cause: nothing to grade by.
    """
    made = assignments.underived(call_id)
    variants = range(len(made.histories))
    made.derived = {"attempts": {}, "variants": {n: {"suspects": [], "inseparable": [], "sums": {}} for n in variants}}
    for forgotten in (fairness.toured, fairness.exemplar):
        forgotten.cache_clear()
    try:
        with assignments.given(made):
            for n in variants:
                _variant(made, n, say)
            say(f"{call_id}: minutes of the reference, and scores of attempts")
            made.derived["minutes"] = minutes(call_id)
            attempts = replaying.key(call_id, 0)["attempts"]
            made.derived["attempts"] = {attempt["id"]: scores(call_id, attempt) for attempt in attempts}
    finally:
        for forgotten in (fairness.toured, fairness.exemplar):
            forgotten.cache_clear()
    return derivedfile.text(call_id, made_of(made), derivedfile.held(made.derived))


def made_of(made: Assignment) -> dict[str, str]:
    """Digests of everything that decides what follows: call, key, store, and the engine that replays."""
    return {**made.made_of, "engine": seals.of("replay")}


def stale(call_id: str) -> str:
    """Why a call's derived file is not of this version, and what to run; empty where it is."""
    made = assignments.assignment(call_id)
    wrong = [derivedfile.SAYS[what] for what in derivedfile.stale(made.derived, made_of(made))]
    return f"stale, for {' and '.join(wrong)}; run `halfsplit derive {call_id}`" if wrong else ""


def _variant(made: Assignment, n: int, say: Say) -> None:
    """Work out what stands under one variant; its number serves as the seed."""
    call_id, own = made.call["id"], made.derived["variants"][n]
    say(f"{call_id}: suspects of variant {n}, of {len(made.faults)} faults")
    if not made.produces_ticket(made.world(n)):
        raise FaultFound(f"{call_id}, variant {n}: its own night does not produce the ticket; correct onset, faults or complaint")
    own["suspects"] = choosing.chosen(made.key["suspects"], made.find_suspects(n), made.faults, made.key_of(n)["truth"], made.store)
    say(f"{call_id}: sums of variant {n}")
    for name in keyfile.TAKEN if n == 0 else keyfile.TAKEN[:1]:
        for entry in made.key[name]:
            asked = list(dict.fromkeys(filter(None, map(keyfile.asked, entry["steps"]))))
            if asked:
                own["sums"][entry["id"]] = dict.fromkeys(asked, 0.0)
                own["sums"][entry["id"]] = sums(call_id, n, name, entry["id"])
    say(f"{call_id}: what nothing safe tells apart in variant {n}, of {len(own['suspects'])} suspects")
    own["inseparable"] = fairness.inseparable_of(fairness.toured(call_id, n))


def sums(call_id: str, seed: int, name: str, entry_id: str) -> dict[str, float]:
    """Sums that an entry of a key answers, from the readings it takes itself, in the units of the questions."""
    key = replaying.key(call_id, seed)
    steps = next(entry["steps"] for entry in key[name] if entry["id"] == entry_id)
    night = replaying.replay(replaying.take(call_id, seed, steps), after=False, suspects=False)
    asked = key_sums(call_id, seed)[entry_id]
    found = {answer.id: answer for answer in judge_answers(night, DEFAULT) if answer.id in asked}
    lacking = [question for question in sorted(asked) if question not in found or found[question].reference is None]
    if lacking:
        raise BadRequest(f"{call_id}, {entry_id}: answers {', '.join(lacking)} without the readings it asks for; take them first")
    return {question: rounded(found[question].reference or 0.0, found[question].tolerance or 0.0) for question in sorted(asked)}


def key_sums(call_id: str, seed: int) -> Mapping[str, Mapping[str, float]]:
    """Sums of a variant as far as they are derived, by entry and question."""
    found: Mapping[str, Mapping[str, float]] = assignments.assignment(call_id).derived["variants"][seed]["sums"]
    return found


def rounded(value: float, tolerance: float) -> float:
    """A sum as a technician would write it: no more digits than its tolerance is worth.

    >>> rounded(10.6438, 2.0), rounded(2.5341, 0.1)
    (10.6, 2.53)
    """
    digits = next(d for d in range(9) if 0.5 * 10.0**-d <= FINE * tolerance or d == 8)
    return round(value, digits)


def minutes(call_id: str) -> int:
    """Whole minutes of the reference diagnostician in the first variant, and of the exemplar's repair [min]."""
    groups = tuple(tuple(group) for group in assignments.assignment(call_id).inseparable(0))
    steps, found, repair = fairness.path_of(replace(fairness.toured(call_id, 0), groups=groups), fairness.exemplar(call_id))
    if not steps:
        raise FaultFound(f"{call_id}: the reference finds no cause by safe steps; is the truth among the suspects?")
    return round(found + repair)


def scores(call_id: str, attempt: Mapping[str, Any]) -> dict[str, float]:
    """Points of every part that a wrong attempt gets [points]."""
    judged = judge(replaying.replay(replaying.take(call_id, 0, attempt["steps"])))
    return {part.id: round(part.score, 1) for part in judged.parts}

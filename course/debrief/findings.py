"""What a debrief finds in a judged night: telling readings, turning points, rivals, sums and safe work, as rows of words."""

import math
import random
from collections.abc import Sequence
from typing import Any

import numpy as np

from course.debrief import picture
from graders import safety, service
from graders.diagnosis import matches
from graders.evidence import Course
from graders.moments import FactKind, Moment
from graders.scorecard import Judged, percent

TELLING = 3
"""How many readings are called out."""
PAIRS = 32
"""Antithetic pairs of orders; enough for the same first three as all orders in nine of ten records."""
LEAST_TOLD = 0.15
"""Least share that is called out. [decades]"""
GRID = 12
"""Most readings in the grid of rivals."""


def true_suspect(judged: Judged) -> int | None:
    """Index of the suspect that the key names, if it is one."""
    true = judged.night.truth
    for i, suspect in enumerate(judged.course.suspects):
        if matches("mode", true)(suspect) and matches("place", true)(suspect):
            return i
    return None


def shares(course: Course, i: int, most: int, pairs: int = PAIRS) -> list[float]:
    """Each piece's share [decades] in the log odds of suspect ``i`` after ``most`` pieces, whatever the order they came in.

    Shapley values by antithetic pairs of permutations, always the same ones; they sum to the whole change exactly.
    """
    gains = np.array(course.gains[:most]).reshape(most, len(course.start))
    mine = np.array(course.owners) == i
    pick, total = random.Random(0), np.zeros(most)
    order = list(range(most))
    for _ in range(pairs):
        pick.shuffle(order)
        for way in (order, order[::-1]):
            logs = np.vstack([course.start, np.array(course.start) + np.cumsum(gains[way], axis=0)])
            weights = np.exp(logs - logs.max(axis=1, keepdims=True))
            odds = np.log10(np.maximum(weights[:, mine].sum(axis=1), 1e-300)) - np.log10(
                np.maximum(weights[:, ~mine].sum(axis=1), 1e-300)
            )
            total[way] += np.diff(odds)
    return [float(value) for value in total / (2 * pairs)]


def telling(course: Course, i: int | None, frozen: int | None = None) -> list[int]:
    """Pieces (by index, in order) that told most for the true suspect before the repair."""
    most = len(course.pieces) if frozen is None else frozen
    if i is None or most == 0:
        return []
    best = sorted((-share, k) for k, share in enumerate(shares(course, i, most)) if share > LEAST_TOLD)[:TELLING]
    return sorted(k for _, k in best)


def ruled_out(course: Course, k: int, limit: float = 0.02) -> list[str]:
    """Suspects that a piece brought under a limit for the first time."""
    before, after = course.odds[k], course.odds[k + 1]
    return [s.title or s.part for s, b, a in zip(course.suspects, before, after, strict=True) if a < limit <= b]


def step_of(moments: Sequence[Moment], n: int) -> str:
    """The line of a step."""
    return next((m.step for m in moments if m.n == n), f"step {n}")


def told(judged: Judged, k: int, number: int) -> dict[str, Any]:
    """One telling reading: what was done, what was seen, who fell."""
    piece = judged.course.pieces[k]
    moment = next(m for m in judged.night.moments if m.n == piece.n)
    gone = ruled_out(judged.course, k)
    after = f"{', '.join(gone[:3])} {'falls' if len(gone) == 1 else 'fall'} away" if gone else "moved the odds, ruled nobody out"
    return {
        "n": number,
        "step": moment.step,
        "saw": moment.saw,
        "after": after,
        "clock": picture.clock(moment.t, judged.night.starts),
    }


TURNS = {
    FactKind.REPAIRED: "{what} {verb}",
    FactKind.RESET: "{what} reset",
    FactKind.PUSHED: "{what} pushed",
    FactKind.NAMED: "cause named",
    FactKind.MOVED: "product of {what} moved",
    FactKind.CLOSED_OUT: "closed out",
    FactKind.INCIDENT: "{text}",
    FactKind.SWITCHED_ON: "{what} on",
}
"""Facts that turn a night, and how they are said."""


def turning(judged: Judged) -> list[dict[str, str]]:
    """Turning points, in order."""
    rows = []
    for fact in judged.night.facts:
        if fact.kind in TURNS:
            values = {"what": fact.what, "text": fact.text, "verb": str(fact.data.get("verb", ""))}
            rows.append(
                {"clock": picture.clock(fact.t, judged.night.starts), "text": TURNS[fact.kind].format(**values), "kind": fact.kind}
            )
    return rows


def sums_rows(judged: Judged) -> list[dict[str, Any]]:
    """The sums as a table."""
    return [
        {
            "title": answer.title or answer.id,
            "given": "–" if answer.given is None else f"{answer.given:g}",
            "unit": {"F-difference": "°F", "-": ""}.get(answer.unit, answer.unit),
            "reference": "–" if answer.reference is None else f"{answer.reference:.1f}",
            "tolerance": "–" if answer.tolerance is None else f"{answer.tolerance:.1f}",
            "verdict": answer.verdict.verdict,
            "says": answer.verdict.says,
        }
        for answer in judged.answers
    ]


def grid(judged: Judged, true: int | None) -> dict[str, Any]:
    """Rivals by readings: how far each reading put each rival behind the true suspect (marks at 3:1 and 20:1)."""
    course = judged.course
    if true is None or not course.pieces:
        return {"rivals": [], "rows": []}
    rivals = [i for i in picture.order_of_lanes(course, true) if i != true]
    pieces = (
        sorted(range(len(course.pieces)), key=lambda k: -max(abs(_ratio(course, k, true, i)) for i in rivals))[:GRID]
        if rivals
        else []
    )
    rows = []
    for k in sorted(pieces):
        cells = [cell(_ratio(course, k, true, i)) for i in rivals]
        rows.append({"step": step_of(judged.night.moments, course.pieces[k].n), "of": course.pieces[k].seen.of, "cells": cells})
    return {"rivals": [course.suspects[i].title or course.suspects[i].part for i in rivals], "rows": rows}


def _ratio(course: Course, k: int, true: int, other: int) -> float:
    """Decades by which one piece moved the true suspect ahead of another."""
    before, after = course.odds[k], course.odds[k + 1]
    return _log(after[true]) - _log(after[other]) - _log(before[true]) + _log(before[other])


def _log(p: float) -> float:
    return math.log10(max(p, 1e-12))


def cell(decades: float) -> dict[str, str]:
    """Sign and words of a cell of the grid: never by colour alone."""
    if decades >= 1.3:
        return {"mark": "✕", "says": f"ruled out, {10 ** min(decades, 4):.0f} to 1"}
    if decades >= 0.48:
        return {"mark": "–", "says": f"weaker, {10**decades:.0f} to 1"}
    if decades <= -0.48:
        return {"mark": "+", "says": f"stronger, {10**-decades:.0f} to 1"}
    return {"mark": "·", "says": "no difference"}


def first_sure(judged: Judged, true: int | None) -> str:
    """When the true suspect first passed 95 %."""
    if true is None:
        return ""
    row = next((k for k, odds in enumerate(judged.course.odds) if odds[true] >= 0.95), None)
    if not row:
        return ""
    piece = judged.course.pieces[row - 1]
    return f"{picture.clock(piece.t, judged.night.starts)}, {step_of(judged.night.moments, piece.n)}"


def missing_split(judged: Judged, true: int | None) -> str:
    """The rival that was left standing at the repair, if any."""
    if true is None:
        return ""
    row = judged.course.odds[judged.diagnosis.frozen]
    rivals = sorted(((p, i) for i, p in enumerate(row) if i != true and p > 0.05), reverse=True)
    if not rivals:
        return ""
    names = ", ".join(f"{judged.course.suspects[i].title or judged.course.suspects[i].part} ({percent(p)})" for p, i in rivals[:3])
    return f"Still standing when you began the repair: {names}."


def safe_rows(judged: Judged) -> list[dict[str, Any]]:
    """Quality of each isolation, item by item."""
    goals = judged.night.key.get("goals", {}).get("safe", {})
    rows = []
    for goal in goals.get("isolation", []):
        got = safety.isolation(goal, judged.night.facts, judged.night.moments)
        names = {
            "lock": "locked and tagged",
            "tried": "tried to start",
            "before": "tester shown live first",
            "dead": "every pole dead",
            "after": "tester shown live again",
        }
        items = [{"title": says, "share": 0.0 if got is None else float(getattr(got, name))} for name, says in names.items()]
        rows.append({"part": str(goal["part"]), "worked": got is not None, "items": items})
    return rows


def after_rows(judged: Judged) -> dict[str, Any]:
    """The 72 hours after close-out."""
    after = judged.night.aftermath
    call = service.callback(after)
    events = [{"hours": f"{t / 3600.0:.1f}", "text": text} for t, text in (after.events if after else ())][:20]
    return {"held": call["held"], "reason": call["reason"], "events": events}

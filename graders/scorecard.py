"""The scorecard of one record: six parts, a gate, and every reason. A pure function of call, key, seed and record."""

import math
import traceback
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from graders import economy, gate, paper, safety, service
from graders.diagnosis import Diagnosis, diagnose
from graders.evidence import Course, course, pieces
from graders.moments import Fact
from graders.night import Night, answers, named, reason_seen
from graders.rubric import DEFAULT, Part, Rubric, gradebook
from graders.sums import Answered, judge_answer, spec_of, taken
from scenarios.errors import FaultFound, HalfsplitError

LEVEL_SAYS = {"part": "part", "mode": "what is wrong with it", "place": "where", "reason": "its reason"}


@dataclass(frozen=True)
class Judged:
    """A judged night with what a debrief wants to show."""

    night: Night
    parts: tuple[Part, ...]
    incidents: tuple[Fact, ...]
    course: Course
    diagnosis: Diagnosis
    answers: tuple[Answered, ...]
    groups: tuple[tuple[str, ...], ...]
    rubric: Rubric

    @property
    def score(self) -> float:
        """Points of all parts."""
        return round(math.fsum(part.score for part in self.parts), 2)

    @property
    def passed(self) -> bool:
        """Whether nothing bars the call."""
        return not self.barred

    @cached_property
    def barred(self) -> tuple[str, ...]:
        """Why the call is not passed, one clause each; empty where it is."""
        found = gate.bars(self.night, self.incidents, self.course, self.diagnosis, self.score, self.rubric)
        return tuple(bar.says for bar in found)

    @property
    def gradebook(self) -> float:
        """What the gradebook receives, of 100. [points]"""
        gated = bool(self.incidents) or not self.night.replays
        return gradebook(self.score, self.rubric.total, passed=self.passed, gated=gated, rubric=self.rubric)


def judge(night: Night, rubric: Rubric = DEFAULT) -> Judged:
    """Judge a replayed night."""
    rubric = rubric if night.questions else rubric.without("sums")
    happened = safety.incidents(night.facts)
    odds = course(night.suspects, night.worlds, pieces(night.moments, {fact.n for fact in happened}))
    groups = night.merged()
    found = diagnose(
        odds,
        named(night.facts),
        night.truth,
        service.first_repair(night.facts),
        groups,
        reason_seen(night),
        dict(night.ceilings),
    )
    goals = night.key.get("goals", {})
    ending = service.Ending(night.moments, night.facts, night.aftermath)
    repaired, _ = service.repair_share(ending, goals.get("service", {}))
    judged = judge_answers(night, rubric)
    parts = (
        safety.score(night.facts, night.moments, goals.get("safe", {}), repaired, rubric),
        diagnosis_part(odds, found, night, rubric),
        sums_part(judged, rubric),
        service.score(ending, goals.get("service", {}), rubric),
        paper.score(night.facts, goals.get("paper", {}), rubric),
        economy.score(night.moments, night.facts, goals.get("economy", {}), repaired, rubric),
    )
    return Judged(night, parts, tuple(happened), odds, found, tuple(judged), groups, rubric)


def judge_answers(night: Night, rubric: Rubric) -> list[Answered]:
    """Every question of the call, answered or not."""
    given, readings, keyed = answers(night.facts), taken(night.moments), night.key.get("sums", {})
    repair = service.last_repair(night.facts)
    found = []
    for question in night.questions:
        spec = spec_of(question, keyed.get(question["id"], {}))
        found.append(
            judge_answer(
                question["id"], spec, given.get(question["id"]), readings, repair.t if repair else None, night.saturation, rubric
            )
        )
    return found


def sums_part(judged: Sequence[Answered], rubric: Rubric) -> Part:
    """Points of the sums: each question the same share."""
    weight = rubric.weights["sums"]
    if not judged:
        return Part("sums", 0.0, weight, ("This call asks no sums.",), ("This call asks no sums.",))
    score = weight * math.fsum(answer.credit for answer in judged) / len(judged)
    why = tuple(f"{answer.title or answer.id}: {answer.verdict.says}." for answer in judged if answer.credit < 1.0)
    lines = tuple(f"{answer.title or answer.id}: {answer.verdict.in_words}." for answer in judged)
    return Part("sums", round(score, 4), weight, why or ("Every sum right, from your own readings.",), lines)


def diagnosis_part(odds: Course, found: Diagnosis, night: Night, rubric: Rubric) -> Part:
    """Points of diagnosis, with a sentence for every level that is not whole."""
    weight = rubric.weights["diagnosis"]
    if found.named is None:
        return Part("diagnosis", 0.0, weight, ("No cause was named.",), ("No cause was named.",))
    why = []
    for level in found.levels:
        if level.right and level.j < 0.995:
            why.append(f"Right {LEVEL_SAYS[level.id]}, but {_support(level.id, level.p, level.j)}.")
        elif not level.right:
            ruled = (
                "your readings had ruled it out"
                if level.p < 0.05
                else ("your readings spoke for it" if level.j > 0.5 else "your readings had not settled it")
            )
            why.append(f"Not the right {LEVEL_SAYS[level.id]}; {ruled}.")
    if odds.surprises:
        why.append(
            f"None of the single faults explains the reading of step {odds.surprises[0]}: "
            "check what you changed, the points, or a second fault."
        )
    said = tuple(why or ["Named right, with its reason, and your readings support it."])
    return Part("diagnosis", round(weight * found.share, 4), weight, said, said)


def _support(level: str, p: float, j: float) -> str:
    if level == "reason":
        return "nothing you saw shows it"
    return "from your readings alone a guess" if j <= 0.0 else f"your readings made it {percent(p)} likely before the repair"


def percent(p: float) -> str:
    """A probability rounded to what can be told: 1, 5, 10, 25, 50, 75, 90, 95, 99.

    >>> percent(0.97), percent(0.003), percent(0.41)
    ('95 %', 'under 1 %', '50 %')
    """
    if p < 0.01:
        return "under 1 %"
    return f"{min((1, 5, 10, 25, 50, 75, 90, 95, 99), key=lambda step: abs(step - 100.0 * p))} %"


def as_json(judged: Judged) -> dict[str, Any]:
    """The scorecard as published, plus ``gradebook``."""
    night, rubric = judged.night, judged.rubric
    first, last = judged.course.odds[0], judged.course.odds[-1]
    suspects = [
        {
            "id": s.id,
            "title": s.title or f"{s.part} {s.mode} {s.where}".strip(),
            "before": round(before, 4),
            "after": round(after, 4),
        }
        for s, before, after in zip(judged.course.suspects, first, last, strict=True)
    ]
    return {
        "call": night.call,
        "seed": night.seed,
        "passed": judged.passed,
        "score": judged.score,
        "of": rubric.total,
        "barred": list(judged.barred),
        "gradebook": judged.gradebook,
        "parts": [part.as_json() for part in judged.parts],
        "incidents": [safety.incident_json(fact) for fact in judged.incidents],
        "suspects": sorted(suspects, key=lambda row: (-float(str(row["after"])), str(row["id"]))),
        "answers": [answer_json(answer) for answer in judged.answers],
        "callback": service.callback(night.aftermath),
        "record": {"ok": night.replays and not night.problems, "problems": list(night.problems)},
    }


def answer_json(answer: Answered) -> dict[str, Any]:
    """One answer of the scorecard."""
    slip = " or ".join(answer.verdict.methods) or None
    return {
        "id": answer.id,
        "given": answer.given,
        "unit": answer.unit,
        "reference": answer.reference,
        "tolerance": answer.tolerance,
        "verdict": answer.verdict.verdict,
        "misconception": slip,
        "says": answer.verdict.says,
    }


class ToMarkByHand(FaultFound):
    """The graders broke off over a record: no fault of the trainee's, so no zero, but marked by a person."""


@contextmanager
def by_hand(record: Path | str | bytes) -> Iterator[None]:
    """Turn whatever goes wrong while a record is graded into a sentence that leaves it to a person.

    Raises
    ------
    ToMarkByHand
        Something went wrong that is none of the sentences that records are refused with.
    """
    try:
        yield
    except HalfsplitError:
        raise
    except Exception as error:
        name = "the record" if isinstance(record, bytes) else str(record)
        last = traceback.extract_tb(error.__traceback__)[-1]
        what = f"{type(error).__name__} at {Path(last.filename).name}:{last.lineno}, {str(error) or 'no more is known'}"
        raise ToMarkByHand(f"{name}: to be marked by hand, for grading broke off ({what}); the record is as it was") from error


def grade(record: Path | str | bytes, rubric: Rubric = DEFAULT) -> dict[str, Any]:
    """Grade one record: replay it, judge it, and return the scorecard.

    Raises
    ------
    BadRequest
        The record cannot be read, or was made for another call or engine.
    ToMarkByHand
        The graders broke off.
    """
    with by_hand(record):
        return as_json(judged_record(record, rubric))


def judged_record(record: Path | str | bytes, rubric: Rubric = DEFAULT) -> Judged:
    """Replay and judge one record; raises what :func:`grade` raises."""
    from graders import replaying

    with by_hand(record):
        return judge(replaying.replay(record), rubric)

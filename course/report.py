"""What an instructor asks about a class: who guessed, who worked unsafely, which mistake is common, which call is too hard.

Records are judged on all cores and only a few figures of each are kept, so that memory does not grow with the class.
"""

import hashlib
import os
import random
import statistics
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from course import intake, many
from course.folder import RECORD
from scenarios import record as records
from scenarios.errors import HalfsplitError

CALLS_TO_RANK = 10
"""Fewer short calls than this say too little of anybody to put people in an order."""
DRAWS = 1000
"""Resamplings of the class for an interval."""


@dataclass(frozen=True)
class Submission:
    """One call of one trainee: where it lies, and why it is not opened ('' if it is)."""

    trainee: str
    call: str
    place: Path
    refused: str = ""


def handed_in(folder: Path, calls: Sequence[str]) -> Iterator[Submission]:
    """Every submission that holds a record, or that is not taken in at all, by call."""
    for call in calls:
        for trainee, place, why in intake.submissions(folder, call):
            if why or os.path.lexists(place / RECORD):
                yield Submission(intake.printable(trainee), call, place, f"the submission {why}" if why else "")


def fingerprint(record: Path | bytes) -> str:
    """Digest of when each step was done: two records that agree in it are one record, handed in twice."""
    clocks = [line.at for line in records.read(record).lines]
    return hashlib.sha256("\n".join(clocks).encode()).hexdigest() if clocks else ""


def row_of(submission: Submission) -> dict[str, Any]:
    """The few figures of one record; a record that cannot be judged says why."""
    from graders.scorecard import ToMarkByHand, as_json, by_hand, judged_record

    row: dict[str, Any] = {"trainee": submission.trainee, "call": submission.call, "score": 0.0, "passed": False}
    if submission.refused:
        return {**row, "problem": submission.refused}
    try:
        data = intake.content(submission.place / RECORD, records.MOST_BYTES)
        with by_hand(data):
            judged = judged_record(data)
            card = as_json(judged)
            mark = fingerprint(data)
    except intake.Unfit as why:
        return {**row, "problem": f"{RECORD} {why}"}
    except ToMarkByHand as error:
        return {**row, "score": None, "by_hand": str(error)}
    except (HalfsplitError, OSError) as error:
        return {**row, "problem": str(error)}
    return {
        **row,
        "score": float(card["gradebook"]),
        "passed": bool(card["passed"]),
        "barred": card["barred"],
        "unsafe": sorted({str(incident["kind"]) for incident in card["incidents"]}),
        "guessed": any(level.right and level.j <= 0.0 for level in judged.diagnosis.levels if level.id != "reason"),
        "slips": [f"{item['id']}: {item['misconception']}" for item in card["answers"] if item["misconception"]],
        "parts": {part["id"]: part["score"] / part["of"] for part in card["parts"] if part["of"]},
        "callback": not card["callback"]["held"],
        "mark": mark,
    }


def copied(rows: Sequence[dict[str, Any]]) -> list[list[str]]:
    """Trainees who handed in one and the same record."""
    same: dict[tuple[str, str], list[str]] = defaultdict(list)
    for row in rows:
        if row.get("mark"):
            same[row["call"], row["mark"]].append(row["trainee"])
    return [names for names in same.values() if len(names) > 1]


def of_call(rows: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """What the class did with one call."""
    scored = [row for row in rows if "by_hand" not in row]
    judged = [row for row in scored if "problem" not in row]
    parts: dict[str, list[float]] = defaultdict(list)
    for row in judged:
        for part, share in row["parts"].items():
            parts[part].append(share)
    return {
        "call": rows[0]["call"],
        "records": len(rows),
        "passed": sum(row["passed"] for row in judged),
        "mean": round(statistics.fmean(row["score"] for row in scored), 1) if scored else None,
        "barred": Counter(clause for row in judged for clause in row["barred"]).most_common(),
        "guessed": [row["trainee"] for row in judged if row["guessed"]],
        "unsafe": {row["trainee"]: row["unsafe"] for row in judged if row["unsafe"]},
        "callbacks": sum(row["callback"] for row in judged),
        "mistakes": Counter(slip for row in judged for slip in row["slips"]).most_common(5),
        "parts": {part: round(statistics.fmean(shares), 2) for part, shares in parts.items()},
        "copied": copied(judged),
        "by_hand": [f"{row['trainee']}: {row['by_hand']}" for row in rows if "by_hand" in row],
        "problems": [f"{row['trainee']}: {row['problem']}" for row in rows if "problem" in row],
    }


def alpha(table: Sequence[Sequence[float]]) -> float | None:
    """Cronbach's alpha of people by calls: share of the spread between people that another set of such calls would show again.

    Source: L. J. Cronbach, Psychometrika 16 (1951) 297, eq. 2.

    >>> round(alpha([[1, 2], [2, 4], [3, 6]]), 3)
    0.889
    """
    calls = len(table[0]) if table else 0
    if len(table) < 3 or calls < 2:
        return None
    whole = statistics.variance([sum(row) for row in table])
    if whole == 0.0:
        return None
    single = sum(statistics.variance([row[k] for row in table]) for k in range(calls))
    return calls / (calls - 1) * (1.0 - single / whole)


def reliability(rows: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """How far the scores can be relied on to tell people apart, with an interval from resampling the class."""
    rows = [row for row in rows if "by_hand" not in row]
    calls = sorted({row["call"] for row in rows})
    score = {(row["trainee"], row["call"]): float(row["score"]) for row in rows}
    people = [name for name in sorted({row["trainee"] for row in rows}) if all((name, call) in score for call in calls)]
    table = [[score[name, call] for call in calls] for name in people]
    found, chance = alpha(table), random.Random(1)
    if found is None:
        return {"calls": len(calls), "people": len(people), "alpha": None, "interval": None, "may_rank": False}
    draws = sorted(a for _ in range(DRAWS) if (a := alpha([chance.choice(table) for _ in table])) is not None)
    interval = [round(draws[int(share * (len(draws) - 1))], 2) for share in (0.025, 0.975)]
    may_rank = len(calls) >= CALLS_TO_RANK
    return {"calls": len(calls), "people": len(people), "alpha": round(found, 2), "interval": interval, "may_rank": may_rank}


def report(folder: Path, calls: Sequence[str], tell: Callable[[str], None]) -> dict[str, Any]:
    """Judge every record of some calls and sum up; `tell` gets a line for each."""
    rows: list[dict[str, Any]] = []
    for row in many.each(row_of, list(handed_in(folder, calls))):
        tell(f"{row['trainee']}, {row['call']}")
        rows.append(row)
    seen = sorted({row["call"] for row in rows})
    by_call = [of_call([row for row in rows if row["call"] == call]) for call in seen]
    return {"calls": by_call, "reliability": reliability(rows)}


def text(result: dict[str, Any]) -> str:
    """The report as lines of text."""
    lines = []
    for call in result["calls"]:
        mean = "unknown" if call["mean"] is None else f"{call['mean']:g}"
        weakest = sorted(call["parts"].items(), key=lambda item: item[1])[:2]
        lines += [
            f"{call['call']}: {call['records']} records, {call['passed']} passed, mean {mean} of 100",
            "  not passed because: " + ("; ".join(f"{clause} ({count})" for clause, count in call["barred"]) or "nobody"),
            "  weakest: " + (", ".join(f"{part} {100 * share:.0f} %" for part, share in weakest) or "nothing judged"),
            "  guessed: " + (", ".join(call["guessed"]) or "nobody"),
            "  unsafe: " + ("; ".join(f"{who} ({', '.join(did)})" for who, did in call["unsafe"].items()) or "nobody"),
            "  mistakes: " + ("; ".join(f"{slip} ({count})" for slip, count in call["mistakes"]) or "none of a known kind"),
            f"  called back within 72 hours: {call['callbacks']}",
        ]
        lines += [f"  one record handed in by: {', '.join(names)}" for names in call["copied"]]
        lines += [f"  to be marked by hand: {who}" for who in call["by_hand"]]
        lines += [f"  not judged: {problem}" for problem in call["problems"]]
    about = result["reliability"]
    if about["alpha"] is None:
        lines.append("Reliability: too few people or calls to say; do not rank.")
    else:
        low, high = about["interval"]
        verdict = "" if about["may_rank"] else f"; fewer than {CALLS_TO_RANK} calls, do not rank"
        figure = f"{about['alpha']:.2f} ({low:.2f} to {high:.2f})"
        lines.append(f"Reliability of the sum over {about['calls']} calls: {figure}{verdict}.")
    return "\n".join(lines)

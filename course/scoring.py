"""The graders' results, brought to the terminal: scorecards, debrief pages and proofs."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from scenarios.errors import BadRequest, HalfsplitError


def readable(record: Path) -> Path:
    """A record that is there.

    Raises
    ------
    BadRequest
        There is no such file.
    """
    if not record.is_file():
        raise BadRequest(f"{record}: no such record; give the record.jsonl of a call")
    return record


def card_of(record: Path) -> tuple[dict[str, Any], tuple[str, ...]]:
    """The scorecard of a record, and what bars a pass."""
    from graders.scorecard import as_json, judged_record

    judged = judged_record(record)
    return as_json(judged), judged.barred


def card_or_error(record: Path) -> tuple[dict[str, Any], tuple[str, ...]] | HalfsplitError:
    """The same, or what was wrong."""
    try:
        return card_of(record)
    except HalfsplitError as error:
        return error


def card_text(record: Path, card: dict[str, Any], barred: Sequence[str] = ()) -> str:
    """A scorecard as lines of text."""
    mark = "passed" if card["passed"] else ": ".join(["not passed", *["; ".join(barred)] * bool(barred)])
    lines = [f"{record}: {card['call']}, {card['score']:g} of {card['of']:g}, {mark}"]
    for part in card["parts"]:
        lines.append(f"  {part['title']}: {part['score']:g} of {part['of']:g}")
        lines += [f"    {reason}" for reason in part["why"]]
    lines += [f"  incident: {incident['text'] if isinstance(incident, dict) else incident}" for incident in card["incidents"]]
    return "\n".join(lines)


def debrief_page(record: Path) -> str:
    """The debrief of a record as one self-contained HTML page."""
    from graders.debrief import page

    return str(page(record))


def proofs(calls: tuple[str, ...]) -> Iterator[dict[str, Any]]:
    """Check each call's claims, one call after the other."""
    from graders.proof import prove

    for call in calls:
        yield dict(prove(call))

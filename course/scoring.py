"""The graders' results, brought to the terminal: scorecards, debrief pages and proofs."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from scenarios.errors import BadRequest, FaultFound, HalfsplitError


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


def card_or_error(record: Path) -> dict[str, Any] | HalfsplitError:
    """The scorecard of a record, or what was wrong with it; where the graders broke off, a card that says so and scores nothing."""
    from graders.scorecard import ToMarkByHand, grade

    try:
        return grade(record)
    except ToMarkByHand as error:
        return {"record": str(record), "passed": None, "score": None, "gradebook": None, "by_hand": str(error)}
    except HalfsplitError as error:
        return error


def card_text(record: Path, card: dict[str, Any]) -> str:
    """A scorecard as lines of text."""
    if "by_hand" in card:
        return str(card["by_hand"])
    mark = "passed" if card["passed"] else f"not passed: {'; '.join(card['barred'])}"
    lines = [f"{record}: {card['call']}, {card['score']:g} of {card['of']:g}, {mark}"]
    for part in card["parts"]:
        lines.append(f"  {part['title']}: {part['score']:g} of {part['of']:g}")
        lines += [f"    {reason}" for reason in part["why"]]
    lines += [f"  incident: {incident['text'] if isinstance(incident, dict) else incident}" for incident in card["incidents"]]
    return "\n".join(lines)


def fault_of(record: Path, card: dict[str, Any]) -> FaultFound | None:
    """What a scorecard's command ends with: the graders broke off, or the record does not replay; None where all is well."""
    if "by_hand" in card:
        return FaultFound(str(card["by_hand"]))
    return None if card["record"]["ok"] else FaultFound(f"{record}: {'; '.join(card['record']['problems'])}")


def debrief_page(record: Path) -> str:
    """The debrief of a record as one self-contained HTML page."""
    from course.debrief.page import page

    return str(page(record))


def proofs(calls: tuple[str, ...]) -> Iterator[dict[str, Any]]:
    """Check each call's claims, one call after the other."""
    from graders.proof import prove

    for call in calls:
        yield dict(prove(call))

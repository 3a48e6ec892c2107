"""What the list of calls says of the person's own work: not begun, open, closed, and the best mark."""

import json
from pathlib import Path
from typing import Any

from course.folder import record_of

MARK = "mark.json"
"""Beside the record: the marks that `debrief` has shown, ``[{score, of, passed, why}]``."""
TAIL = 65_536
"""How much of the end of a record is read to see whether it is closed [bytes]."""


def is_closed(record: Path) -> bool:
    """Whether the last whole line of a record is the step that ends a call."""
    try:
        with record.open("rb") as file:
            file.seek(max(0, record.stat().st_size - TAIL))
            lines = [line for line in file.read().split(b"\n") if line.strip()]
        return bool(lines) and json.loads(lines[-1]).get("saw", {}).get("kind") == "closed"
    except (OSError, ValueError, AttributeError):
        return False


def best(folder: Path, call: str) -> dict[str, Any] | None:
    """The best mark so far: a pass before a fail, then the score."""
    try:
        marks = json.loads(record_of(folder, call).with_name(MARK).read_text("utf-8"))
        return dict(max(marks, key=lambda mark: (bool(mark["passed"]), float(mark["score"]))))
    except (OSError, ValueError, TypeError, KeyError):
        return None


def note_mark(record: Path, card: dict[str, Any]) -> None:
    """Keep a scorecard's mark, and what bars a pass, beside its record: for the person's own list, no grade is taken from it."""
    path = record.with_name(MARK)
    try:
        marks = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError):
        marks = []
    entry = {"score": card["score"], "of": card["of"], "passed": card["passed"], "why": next(iter(card["barred"]), "")}
    if entry not in marks:
        path.write_text(json.dumps([*marks, entry], indent=1) + "\n", "utf-8")


def state_of(folder: Path, call: str) -> dict[str, Any]:
    """State and best mark of a call in a person's folder."""
    record = record_of(folder, call)
    state = "new" if not record.exists() else "closed" if is_closed(record) else "open"
    return {"state": state, "best": best(folder, call)}

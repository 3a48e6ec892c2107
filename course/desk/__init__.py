"""The desk: one widget, its drawing and its pad; no physics."""

from pathlib import Path
from typing import Any


def desk(call: str, record: Path | str = "record.jsonl", seed: int | None = None, *, open: bool = True) -> Any:
    """The desk of a call, as the cell of a notebook shows it; see :func:`course.desk.widget.open_desk`."""
    from course.desk.widget import open_desk

    return open_desk(call, record=record, seed=seed, open=open)

"""The notebooks of calls, written from the call files: one for each call, the same for practice and for a class.

``python -m course.notebooks`` writes ``course/source/<call>/<call>.ipynb``, in the layout of the instructor's tool. A notebook
holds a cell that opens the desk, a short written answer, and one cell for each part of the score. Those cells hold no code: the
score is worked out from the record, never by running a notebook.
"""

import hashlib
import json
import sys
from pathlib import Path
from typing import Any

from course import library
from graders import rubric

SOURCE = Path(__file__).resolve().parent / "source"
"""Folder of the assignments, one folder a call."""
PARTS = tuple((part, rubric.TITLES[part], int(points)) for part, points in rubric.DEFAULT.weights.items())
"""Parts of the score: name of the cell, title, points."""
ANSWER = "for-the-morning"
"""Name of the cell for the written answer."""

OPENING = """# {title}

About {minutes} minutes. The desk opens by itself. If it has not, choose *Run*, then *Run All Cells*.

Usual caution: this is a simulation. On a real installation local code, the maker's instructions and licensed practice decide."""
DESK = """from course.desk import desk

desk("{call}")"""
QUESTION = """**For the morning technician**

In two or three sentences: what would you look at again in daylight, and why? (Write below this line.)
"""
SCORED = "# {title}: {points} points, worked out from the record of the call. This cell does nothing."


def nbgrader(name: str, *, points: int | None = None, answer: bool = False) -> dict[str, Any]:
    """Cell metadata of the instructor's tool: a part of the score, the written answer, or a locked cell."""
    about: dict[str, Any] = {"grade": points is not None, "grade_id": name, "locked": not answer}
    if points is not None:
        about["points"] = points
    return {"nbgrader": {**about, "schema_version": 3, "solution": answer, "task": False}}


def cell(call: str, name: str, kind: str, text: str, metadata: dict[str, Any]) -> dict[str, Any]:
    """One cell, with an id that stays the same from build to build."""
    known = hashlib.sha256(f"{call}/{name}".encode()).hexdigest()[:8]
    made: dict[str, Any] = {"cell_type": kind, "id": known, "metadata": metadata}
    if kind == "code":
        made |= {"execution_count": None, "outputs": []}
    return {**made, "source": text.splitlines(keepends=True)}


def part_id(part: str) -> str:
    """Name of the cell of one part of the score."""
    return f"part-{part}"


def notebook(call: str) -> dict[str, Any]:
    """The notebook of a call, without outputs.

    Raises
    ------
    BadRequest
        There is no such call.
    """
    about = library.row(library.call_file(call))
    hidden = {"jupyter": {"source_hidden": True}}
    cells = [
        cell(call, "opening", "markdown", OPENING.format(**about), nbgrader("opening")),
        cell(call, "desk", "code", DESK.format(call=call), {**nbgrader("desk"), **hidden}),
        cell(call, ANSWER, "markdown", QUESTION, nbgrader(ANSWER, points=0, answer=True)),
    ]
    for part, title, points in PARTS:
        scored = {**nbgrader(part_id(part), points=points), **hidden}
        cells.append(cell(call, part_id(part), "code", SCORED.format(title=title, points=points), scored))
    return {
        "cells": cells,
        "metadata": {
            "course": {"autorun": True, "call": call},
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def text_of(call: str) -> str:
    """The notebook of a call as the text of its file."""
    return json.dumps(notebook(call), ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def source_of(call: str) -> Path:
    """Where the assignment of a call lies in the package."""
    return SOURCE / call / f"{call}.ipynb"


def write_all() -> list[Path]:
    """Write the assignment of every call."""
    written = []
    for call in library.call_files():
        path = source_of(call)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text_of(call), "utf-8")
        written.append(path)
    return written


if __name__ == "__main__":
    sys.stdout.write("".join(f"{path}\n" for path in write_all()))

"""The person's own folder of calls: one sub-folder a call, holding its notebook and its record.

Nothing in it is ever overwritten.
"""

import os
from pathlib import Path

from scenarios.errors import BadRequest

RECORD = "record.jsonl"
"""Name of the record beside a call's notebook."""


def default_folder() -> Path:
    """``HALFSPLIT_FOLDER``, or else ``halfsplit`` in the person's home."""
    return Path(os.environ.get("HALFSPLIT_FOLDER") or Path.home() / "halfsplit")


def ready_folder(folder: Path | None) -> Path:
    """The folder to work in, made if it is not there.

    Raises
    ------
    BadRequest
        It cannot be made or written, or lies inside the installed package.
    """
    place = (folder or default_folder()).expanduser().resolve()
    if place.is_relative_to(Path(__file__).resolve().parent):
        raise BadRequest(f"{place}: is inside the installed course; choose a folder of your own with --folder")
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadRequest(f"{place}: cannot be used as your folder ({error.strerror}); choose another with --folder") from error
    if not os.access(place, os.W_OK):
        raise BadRequest(f"{place}: cannot be written; choose another folder with --folder")
    return place


def notebook_of(folder: Path, call: str) -> Path:
    """Where the notebook of a call lies in a person's folder."""
    return folder / call / f"{call}.ipynb"


def record_of(folder: Path, call: str) -> Path:
    """Where the record of a call lies in a person's folder."""
    return folder / call / RECORD


def lay_out(folder: Path, call: str) -> Path:
    """Put a call's notebook into the person's folder unless it is there, and say where it is."""
    from course.notebooks import text_of

    path, text = notebook_of(folder, call), text_of(call)
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8") as new:
            new.write(text)
    except FileExistsError:
        pass
    return path

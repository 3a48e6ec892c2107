"""A class of trainees: its folder, releasing calls, grading what was handed in. Thin words over the instructor's tool."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from course import library
from course.notebooks import text_of
from scenarios.errors import BadRequest, FaultFound

CONFIG = """from course.nbgrader_config import configure

c = get_config()  # noqa: F821
configure(c, __file__)
# c.RecordGrade.most_after_incident = 49.0    # points of 100 that reach the gradebook after an incident
"""
CONFIG_FILE = "nbgrader_config.py"


def make(folder: Path, calls: Iterable[str]) -> list[Path]:
    """Make a class's folder: its settings and the notebooks of the calls; what is there already stays as it is."""
    written = []
    wanted = {folder / CONFIG_FILE: CONFIG} | {folder / "source" / call / f"{call}.ipynb": text_of(call) for call in calls}
    for path, text in wanted.items():
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8")
            written.append(path)
    return written


def class_folder(folder: Path) -> Path:
    """A folder that is a class's.

    Raises
    ------
    BadRequest
        It has no settings of the instructor's tool.
    """
    if not (folder / CONFIG_FILE).is_file():
        raise BadRequest(f"{folder}: is no class's folder (no {CONFIG_FILE}); make one with `halfsplit cohort make FOLDER`")
    return folder.resolve()


def tool(folder: Path, *words: str) -> None:
    """Run the instructor's tool in a class's folder.

    It calls a helper by name, which is found beside this Python whether or not the environment has been activated.

    Raises
    ------
    FaultFound
        It reported a failure.
    """
    here = str(Path(sys.executable).parent)
    environ = {**os.environ, "PYTHONWARNINGS": "ignore", "PATH": os.pathsep.join([here, os.environ.get("PATH", "")])}
    command = [sys.executable, "-m", "nbgrader", *words, "--NbGrader.log_level=WARN"]
    done = subprocess.run(command, cwd=folder, env=environ, stdin=subprocess.DEVNULL, check=False)
    if done.returncode:
        raise FaultFound(f"nbgrader {' '.join(words)}: reported a failure; the lines above say for whom, the others are done")


def release(folder: Path, call: str) -> None:
    """Make the notebook that is given to trainees."""
    library.call_file(call)
    make(folder, [call])
    tool(folder, "generate_assignment", call, "--force")


def mend(folder: Path, call: str) -> list[str]:
    """Lay the released notebook into submissions that came without it, which the tool would pass over in silence.

    Returns the names of the trainees.
    """
    blank = folder / "release" / call / f"{call}.ipynb"
    if not blank.is_file():
        raise BadRequest(f"{call}: has not been released in {folder}; run `halfsplit cohort release {call}` first")
    mended = []
    for place in sorted(folder.glob(f"submitted/*/{call}")):
        if place.is_dir() and not (place / blank.name).exists():
            shutil.copy(blank, place / blank.name)
            mended.append(place.parent.name)
    return mended


def grade(folder: Path, call: str, *, again: bool) -> list[str]:
    """Grade all submissions of a call; names the trainees who had handed in no notebook."""
    mended = mend(folder, call)
    tool(folder, "autograde", call, *(["--force"] if again else []))
    return mended


def scores(folder: Path, call: str) -> list[dict[str, Any]]:
    """Score of each trainee of a call, as the gradebook has it; None where it is to be marked by hand and nobody has yet."""
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{folder / 'gradebook.db'}", folder.name) as gradebook:
        handed_in = sorted(gradebook.assignment_submissions(call), key=lambda one: str(one.student.id))
        return [{"trainee": one.student.id, "score": None if unmarked(one) else one.score, "of": one.max_score} for one in handed_in]


def unmarked(submission: Any) -> bool:
    """Whether some part of a submission, as the gradebook has it, waits for points that a person has to give."""
    grades = [grade for notebook in submission.notebooks for grade in notebook.grades]
    return any(grade.max_score and grade.auto_score is None and grade.manual_score is None for grade in grades)

"""A class of trainees: its folder, releasing calls, grading what was handed in. Thin words over the instructor's tool."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from course import library
from course.intake import ACCEPTED, Taken, clear, graded, take_in
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
        It reported a failure, or was killed.
    """
    here = str(Path(sys.executable).parent)
    environ = {**os.environ, "PYTHONWARNINGS": "ignore", "PATH": os.pathsep.join([here, os.environ.get("PATH", "")])}
    command = [sys.executable, "-m", "nbgrader", *words, "--NbGrader.log_level=WARN"]
    done = subprocess.run(command, cwd=folder, env=environ, stdin=subprocess.DEVNULL, check=False)
    if done.returncode:
        raise FaultFound(f"nbgrader {' '.join(words)}: was stopped or reported a failure; lines above may say why")


def release(folder: Path, call: str) -> None:
    """Make the notebook that is given to trainees."""
    library.call_file(call)
    make(folder, [call])
    tool(folder, "generate_assignment", call, "--force")


def grade(folder: Path, call: str, *, again: bool) -> Taken:
    """Grade all submissions of a call; one that cannot be graded costs nobody else anything.

    Returns what was taken in, with what was refused and whose grading failed.

    Raises
    ------
    BadRequest
        The call has not been released in this class.
    """
    taken = take_in(folder, call)
    names = sorted(place.name for place in (folder / ACCEPTED).glob("*"))
    clear(folder, call, anew=names if again else ())
    try:
        if names:
            tool(folder, "autograde", call, f"--CourseDirectory.submitted_directory={ACCEPTED}")
    except FaultFound as failure:
        taken.failure = str(failure)
        lost = [name for name in names if not graded(folder / "autograded" / name / call)]
        taken.refused += [(name, "has not been graded; lines above may say why") for name in lost]
    finally:
        shutil.rmtree(folder / ACCEPTED, ignore_errors=True)
    return taken


def feedback(folder: Path, call: str) -> None:
    """Write the feedback page of everybody whose grading came to its end."""
    clear(folder, call)
    tool(folder, "generate_feedback", call, "--force")


def scores(folder: Path, call: str) -> list[dict[str, Any]]:
    """Score of each trainee of a call whose grading came to its end, as the gradebook has it; None where a person marks it."""
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{folder / 'gradebook.db'}", folder.name) as gradebook:
        rows = [
            {"trainee": str(one.student.id), "score": None if unmarked(one) else one.score, "of": one.max_score}
            for one in gradebook.assignment_submissions(call)
        ]
    done = [row for row in rows if graded(folder / "autograded" / row["trainee"] / call)]
    return sorted(done, key=lambda row: str(row["trainee"]))


def unmarked(submission: Any) -> bool:
    """Whether some part of a submission, as the gradebook has it, waits for points that a person has to give."""
    grades = [grade for notebook in submission.notebooks for grade in notebook.grades]
    return any(grade.max_score and grade.auto_score is None and grade.manual_score is None for grade in grades)

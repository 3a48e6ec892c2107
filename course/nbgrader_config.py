"""Settings of the instructor's tool for a class: grades come from records, and no trainee's code is run.

A class's own ``nbgrader_config.py`` holds two lines, and whatever the instructor adds below them::

    from course.nbgrader_config import configure

    configure(get_config(), __file__)
"""

import shutil
from pathlib import Path
from typing import Any

from course.folder import RECORD
from course.intake import ACCEPTED, REFUSED, clear, take_in
from course.library import call_files

STEPS_BEFORE = (
    "nbgrader.preprocessors.ClearOutput",
    "course.grading.FreshNotebook",
    "nbgrader.preprocessors.OverwriteCells",
    "nbgrader.preprocessors.CheckCellMetadata",
)
"""What is done to a submission before it is graded."""
STEPS_OF_GRADING = (
    "course.grading.RecordGrade",
    "nbgrader.preprocessors.LimitOutput",
    "course.grading.SaveGrades",
    "nbgrader.preprocessors.AssignLatePenalties",
    "nbgrader.preprocessors.CheckCellMetadata",
)
"""What is done to grade it; executing is not among it."""


def take_in_first() -> None:
    """Have every way of autograding, also a button's, work on what was taken in and never on what was handed in."""
    from nbgrader.converters import Autograde

    ordinary = getattr(Autograde, "ordinary_start", Autograde.start)

    def start(self: Any) -> None:
        course = self.coursedir
        if course.submitted_directory == ACCEPTED:  # `halfsplit cohort grade` has taken in already, and will say what was refused
            ordinary(self)
            return
        root, handed_in = Path(course.root), course.submitted_directory
        for line in take_in(root, course.assignment_id, course.student_id).lines():
            self.log.warning(line)
        clear(root, course.assignment_id)
        course.submitted_directory = ACCEPTED
        try:
            ordinary(self)
        finally:
            course.submitted_directory = handed_in
            shutil.rmtree(root / ACCEPTED, ignore_errors=True)

    Autograde.ordinary_start, Autograde.start = ordinary, start


def configure(c: Any, config_file: str) -> None:
    """Set up nbgrader for the class whose folder holds `config_file`.

    Parameters
    ----------
    c : Config
        What ``get_config()`` gives inside a configuration file.
    config_file : str
        That file's own ``__file__``; the class lives in its folder.
    """
    take_in_first()
    root = Path(config_file).resolve().parent
    c.CourseDirectory.root = str(root)
    c.CourseDirectory.course_id = root.name
    c.Autograde.exporter_class = "course.grading.AnyNotebook"
    c.Autograde.sanitize_preprocessors = list(STEPS_BEFORE)
    c.Autograde.autograde_preprocessors = list(STEPS_OF_GRADING)
    c.Autograde.exclude_overwriting = {call: [RECORD, REFUSED] for call in call_files()}
    c.FileNameCollectorPlugin.valid_ext = [".ipynb", ".jsonl"]
    c.GenerateFeedback.exporter_class = "course.grading.QuietPage"
    c.ExportApp.plugin_class = "course.scoretable.ScoreTable"
    c.NotebookClient.store_widget_state = False
    c.ClearSolutions.code_stub = {"python": "# nothing to write here"}

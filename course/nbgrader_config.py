"""Settings of the instructor's tool for a class: grades come from records, and no trainee's code is run.

A class's own ``nbgrader_config.py`` holds two lines, and whatever the instructor adds below them::

    from course.nbgrader_config import configure

    configure(get_config(), __file__)
"""

from pathlib import Path
from typing import Any

from course.folder import RECORD
from course.intake import REFUSED
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


def configure(c: Any, config_file: str) -> None:
    """Set up nbgrader for the class whose folder holds `config_file`.

    Parameters
    ----------
    c : Config
        What ``get_config()`` gives inside a configuration file.
    config_file : str
        That file's own ``__file__``; the class lives in its folder.
    """
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

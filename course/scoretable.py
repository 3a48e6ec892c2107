"""The table of scores that leaves a class: as the instructor's tool writes it, but what nobody has marked yet has no score."""

import csv
import io
from pathlib import Path
from typing import Any

from nbgrader.api import MissingEntry
from nbgrader.plugins import CsvExportPlugin

from course.classroom import unmarked


class ScoreTable(CsvExportPlugin):  # type: ignore[misc]
    """Leaves the scores empty where the tool would write 0 for a submission that a person still has to mark."""

    def export(self, gradebook: Any) -> None:
        """Write the table."""
        super().export(gradebook)
        path = Path(self.to or "grades.csv")
        rows = csv.DictReader(io.StringIO(path.read_text("utf-8")))
        made = io.StringIO()
        table = csv.DictWriter(made, rows.fieldnames or [], lineterminator="\n")
        table.writeheader()
        for row in rows:
            table.writerow({**row, "raw_score": "", "score": ""} if self._waits(gradebook, row) else row)
        path.write_text(made.getvalue(), "utf-8")

    def _waits(self, gradebook: Any, row: dict[str, str]) -> bool:
        try:
            return unmarked(gradebook.find_submission(row["assignment"], row["student_id"]))
        except MissingEntry:
            return False

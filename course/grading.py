"""Scores for the instructor's tool, from records alone: in place of executing a trainee's notebook.

`AnyNotebook` reads whatever was handed in, `FreshNotebook` keeps of it only the text of the written answer, `RecordGrade` replays
the record and puts a number where the tool looks for one. No line of a trainee's code is ever run, so no line of it can help.
"""

import html
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import nbformat
from nbconvert.exporters import HTMLExporter, NotebookExporter
from nbgrader import utils
from nbgrader.preprocessors import NbGraderPreprocessor, SaveAutoGrades
from traitlets import Float

from course import notebooks
from course.folder import RECORD
from course.inert import inert
from course.intake import REFUSED
from scenarios.errors import HalfsplitError

MOST_BYTES = 5_000_000
"""Largest record that is graded [bytes]; a night of two thousand steps has one."""
FAR_SCRIPT = re.compile(r"""<script[^>]*\ssrc=["']https?://[^>]*>\s*</script>""", re.IGNORECASE)
POLICY = (
    '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; style-src \'unsafe-inline\'; img-src data:; '
    "font-src data:; base-uri 'none'; form-action 'none'\">"
)
"""What a feedback page may do: look as it looks."""
NOTHING = "Nothing could be scored: "
BY_HAND = "To be marked by hand: grading broke off, which is no fault of yours. Your instructor will mark this call."


class AnyNotebook(NotebookExporter):  # type: ignore[misc]
    """Reads a notebook, or takes an empty one where what was handed in is none; the record counts, not the notebook."""

    def from_file(self, file_stream: Any, resources: Any = None, **options: Any) -> Any:
        """Convert one file."""
        try:
            node = nbformat.read(file_stream, as_version=4)
        except Exception:
            self.log.warning("a notebook that cannot be read was handed in; its record is graded all the same")
            node = nbformat.v4.new_notebook()
        return self.from_notebook_node(node, resources, **options)


class QuietPage(HTMLExporter):  # type: ignore[misc]
    """A feedback page that runs nothing and asks nobody for anything: formulas are not needed on it, their library is far away."""

    def from_notebook_node(self, nb: Any, resources: Any = None, **options: Any) -> Any:
        """Convert one notebook."""
        page, resources = super().from_notebook_node(nb, resources, **options)
        return FAR_SCRIPT.sub("", page).replace("<head>", f"<head>\n{POLICY}", 1), resources


def released(root: Path, call: str, name: str) -> Any:
    """The notebook as it was released in this class, or else as the course holds it."""
    path = root / "release" / call / f"{name}.ipynb"
    if path.is_file():
        return nbformat.read(path, as_version=4)
    return nbformat.reads(notebooks.text_of(call), as_version=4)


def written_answers(node: Any) -> dict[str, str]:
    """Text of each written answer, by the name of its cell; of doubled cells the first."""
    said: dict[str, str] = {}
    for cell in node.cells:
        about = cell.metadata.get("nbgrader", {})
        if isinstance(about, dict) and cell.cell_type == "markdown" and about.get("solution"):
            said.setdefault(str(about.get("grade_id")), cell.source)
    return said


def answered(question: str, said: str) -> str:
    """A cell with our question and, below it, what somebody wrote there, as text that does nothing."""
    answer = said.removeprefix(question.rstrip()).strip("\n")
    return f"{question.rstrip()}\n\n{inert(answer)}" if answer.strip() else question


class FreshNotebook(NbGraderPreprocessor):  # type: ignore[misc]
    """Replace a submitted notebook by the released one with the trainee's written answers in it, as plain text.

    So deleted, doubled, split or edited cells cannot matter.
    """

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Give back the released notebook with the answers."""
        about = resources["nbgrader"]
        root = Path(str(about["db_url"]).removeprefix("sqlite:///")).parent
        fresh = released(root, about["assignment"], about["notebook"])
        try:
            said = written_answers(nb)
        except (AttributeError, TypeError):
            self.log.warning("%s: the written answer cannot be read; the record is graded all the same", about["student"])
            said = {}
        for cell in fresh.cells:
            name = cell.metadata.get("nbgrader", {}).get("grade_id")
            if cell.metadata.get("nbgrader", {}).get("solution") and name in said:
                cell.source = answered(cell.source, said[name])
        return fresh, resources


def scorecard(record: Path, call: str, most_after_incident: float) -> tuple[dict[str, Any] | None, str, str]:
    """The scorecard of a record that was handed in; never raises, because a class waits behind it.

    Returns the card or None, what the trainee is told where there is none, and what the instructor is told besides. Where the
    graders broke off, the trainee is told :data:`BY_HAND`: that is not a score of nothing.
    """
    refused = record.with_name(REFUSED)
    if refused.is_file():
        return None, f"{NOTHING}the {RECORD} that was handed in {refused.read_text('utf-8')}.", ""
    if not record.is_file():
        return None, f"{NOTHING}no {RECORD} was handed in beside the notebook; hand in the whole folder of the call.", ""
    if record.stat().st_size > MOST_BYTES:
        return None, f"{NOTHING}the record is larger than {MOST_BYTES} bytes, and no night is that long.", ""
    try:
        from graders.rubric import DEFAULT
        from graders.scorecard import ToMarkByHand, grade

        card = dict(grade(record, replace(DEFAULT, gate_most=most_after_incident)))
    except ToMarkByHand as error:
        return None, BY_HAND, str(error)
    except HalfsplitError as error:
        return None, f"{NOTHING}the record cannot be replayed; your instructor can see why.", str(error)
    if card["call"] != call:
        return None, f"{NOTHING}the record is of another call.", str(card["call"])
    return card, "", ""


def points(card: dict[str, Any] | None, limits: dict[str, float]) -> dict[str, float]:
    """Points of each part, inside its limits; of a call not passed all parts shrink together to the sum that the graders allow.

    Parameters
    ----------
    card : dict or None
        Scorecard; None scores nothing.
    limits : dict
        Points of each part in this class, which an instructor may have weighted anew [points].
    """
    if card is None:
        return dict.fromkeys(limits, 0.0)
    shares = {part["id"]: float(part["score"]) / float(part["of"]) for part in card["parts"] if part["of"]}
    kept = {part: shares.get(part, 0.0) for part in limits}
    kept = {part: min(max(share, 0.0), 1.0) * limits[part] if math.isfinite(share) else 0.0 for part, share in kept.items()}
    total, allowed = sum(kept.values()), sum(limits.values()) * float(card["gradebook"]) / float(card["of"])
    if card["barred"] and total > allowed:
        kept = {part: value * allowed / total for part, value in kept.items()}
    return {part: math.floor(value * 100 + 1e-6) / 100 for part, value in kept.items()}


def comment(card: dict[str, Any], part: str) -> str:
    """What the feedback page says of one part: what was done and what it earned, with no reference value and nothing of the key."""
    lines = [str(line) for found in card["parts"] if found["id"] == part for line in found["feedback"]]
    if part == "safe" and card["barred"]:
        lines.insert(0, f"Not passed: {'; '.join(card['barred'])}. {card['gradebook']:g} of 100 reach the gradebook.")
    if part == "safe" and not card["record"]["ok"]:
        lines.append("The record is not as it was written; what can be replayed of it was scored.")
    return "".join(f"<li>{html.escape(line)}</li>" for line in lines)


class RecordGrade(NbGraderPreprocessor):  # type: ignore[misc]
    """Takes the place of executing the notebook: writes each part's points where the tool reads them."""

    most_after_incident = Float(49.0, help="Points of 100 that reach the gradebook after an incident.").tag(config=True)

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Grade the record beside this notebook."""
        about = resources["nbgrader"]
        card, wrong, detail = scorecard(Path(resources["metadata"]["path"]) / RECORD, about["assignment"], self.most_after_incident)
        if wrong:
            self.log.warning("%s: %s %s", about["student"], wrong, detail)
        code = [cell for cell in nb.cells if cell.cell_type == "code"]
        scored = {part_of(cell): cell for cell in code if utils.is_grade(cell)}
        limits = {part: float(cell.metadata["nbgrader"]["points"]) for part, cell in scored.items()}
        earned = points(card, limits)
        for cell in code:
            cell.outputs, cell.execution_count = [], None
        about["by_hand"] = wrong == BY_HAND
        nb.metadata.setdefault("course", {})["graded"] = True  # filed last of all: without it, grading was cut short
        for part, cell in scored.items():
            page = f"<ul>{comment(card, part)}</ul>" if card else f"<p>{html.escape(wrong)}</p>"
            cell.outputs = outputs(None if about["by_hand"] else earned[part], page)
        return nb, resources


def part_of(cell: Any) -> str:
    """The part of the score that a cell stands for."""
    return str(cell.metadata["nbgrader"]["grade_id"]).removeprefix("part-")


def outputs(earned: float | None, page: str) -> list[Any]:
    """Comment and points as outputs of a cell; the points as a plain number, the only form that the tool takes at its word."""
    said = nbformat.v4.new_output("display_data", data={"text/html": page})
    if earned is None:
        return [said]
    return [said, nbformat.v4.new_output("execute_result", data={"text/plain": repr(float(earned))}, execution_count=1)]


class SaveGrades(SaveAutoGrades):  # type: ignore[misc]
    """Writes the points into the gradebook; what is to be marked by hand stays without points there, and asks for them."""

    def _add_score(self, cell: Any, resources: Any) -> None:
        """Write one part's points."""
        super()._add_score(cell, resources)
        if resources["nbgrader"].get("by_hand"):
            about = resources["nbgrader"]
            grade = self.gradebook.find_grade(
                cell.metadata["nbgrader"]["grade_id"], about["notebook"], about["assignment"], about["student"]
            )
            grade.auto_score, grade.needs_manual_grade = None, True
            self.gradebook.db.commit()

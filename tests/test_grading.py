"""Points into the gradebook: inside their limits, shrunk after an incident, nothing for what cannot be replayed."""

import csv
import html
import json
import os
import sys
from pathlib import Path
from typing import Any

import nbformat
import pytest

from course import classroom, grading, marks, notebooks, scoretable
from course.folder import RECORD
from course.intake import REFUSED
from course.library import call_files
from course.nbgrader_config import STEPS_BEFORE, STEPS_OF_GRADING, configure

LIMITS = {part: float(points) for part, _, points in notebooks.PARTS}
CALL = next(iter(call_files()))


def card(score: float = 1.0, **changes: Any) -> dict[str, Any]:
    """A scorecard in which every part earned the same share."""
    said = {part: {"why": [f"why {part}"], "feedback": [f"told {part}"]} for part, _, _ in notebooks.PARTS}
    parts = [{"id": part, "score": score * of, "of": float(of), **said[part]} for part, _, of in notebooks.PARTS]
    whole = {"call": CALL, "score": 100.0 * score, "gradebook": 100.0 * score, "of": 100.0, "parts": parts}
    return {**whole, "incidents": [], "answers": [], "record": {"ok": True}, "barred": [], **changes}


def test_full_marks_are_full_marks() -> None:
    assert grading.points(card(), LIMITS) == LIMITS


def test_no_card_scores_nothing() -> None:
    assert grading.points(None, LIMITS) == dict.fromkeys(LIMITS, 0.0)


def test_an_instructors_own_weights_scale_each_part() -> None:
    assert grading.points(card(0.5), {"safe": 40.0, "sums": 10.0}) == {"safe": 20.0, "sums": 5.0}


@pytest.mark.parametrize("score", [1.0, 0.82, 0.5])
def test_after_an_incident_the_parts_sum_to_what_the_graders_allow(score: float) -> None:
    earned = grading.points(card(score, gradebook=49.0, barred=["there was an unsafe act"]), LIMITS)
    assert sum(earned.values()) == pytest.approx(49.0, abs=0.06)
    assert sum(earned.values()) <= 49.0
    assert earned["safe"] / earned["diagnosis"] == pytest.approx(20 / 30, abs=0.01)


def test_a_low_score_is_not_raised_by_the_gate() -> None:
    low = card(0.3, gradebook=30.0, barred=["there was an unsafe act"])
    assert sum(grading.points(low, LIMITS).values()) == pytest.approx(30.0)


@pytest.mark.parametrize("score", [float("nan"), float("inf"), -3.0, 1e9])
def test_no_figure_leaves_its_limits(score: float) -> None:
    broken = card()
    broken["parts"][0]["score"] = score
    assert 0.0 <= grading.points(broken, LIMITS)["safe"] <= 20.0


def test_record_that_is_not_there(tmp_path: Path) -> None:
    found, told, _ = grading.scorecard(tmp_path / "record.jsonl", CALL, 49.0)
    assert found is None
    wanted = "no record.jsonl was handed in beside the notebook; hand in the whole folder of the call."
    assert told == f"Nothing could be scored: {wanted}"


def test_record_that_is_too_large(tmp_path: Path) -> None:
    path = tmp_path / "record.jsonl"
    with path.open("wb") as file:
        file.truncate(grading.MOST_BYTES + 1)
    found, told, _ = grading.scorecard(path, CALL, 49.0)
    assert found is None
    assert told == "Nothing could be scored: the record is larger than 5000000 bytes, and no night is that long."


@pytest.mark.parametrize("text", ["", "{}", "[]\n", "not json\n", '{"schema": 1}\n', "\x00" * 100, '{"n": 1' * 1000])
def test_record_that_is_none(text: str, tmp_path: Path) -> None:
    path = tmp_path / "record.jsonl"
    path.write_text(text, "utf-8")
    found, told, detail = grading.scorecard(path, CALL, 49.0)
    assert found is None
    assert told.startswith("Nothing could be scored: the record c")
    assert detail


def test_record_of_another_call(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import graders.scorecard

    monkeypatch.setattr(graders.scorecard, "grade", lambda *_: card(call="another"))
    path = tmp_path / "record.jsonl"
    path.write_text("{}", "utf-8")
    assert grading.scorecard(path, CALL, 49.0) == (None, "Nothing could be scored: the record is of another call.", "another")


def test_comment_is_what_the_graders_have_for_the_trainee_and_nothing_else() -> None:
    assert grading.comment(card(), "sums") == "<li>told sums</li>"


def test_comment_says_first_what_barred_the_call() -> None:
    text = grading.comment(card(0.9, passed=False, barred=["the store called again"], gradebook=59.0), "safe")
    assert text.startswith("<li>Not passed: the store called again. 59 of 100 reach the gradebook.</li>")


def test_what_is_not_passed_stands_below_the_pass_line() -> None:
    earned = grading.points(card(0.935, passed=False, barred=["the store called again"], gradebook=59.0), LIMITS)
    assert sum(earned.values()) == pytest.approx(59.0, abs=0.06)
    assert sum(earned.values()) <= 59.0


def test_no_weights_of_an_instructor_lift_what_is_not_passed_over_the_line() -> None:
    """All of safe work and nothing else: 20 of 100 by the graders' weights, whatever share of a class's points it is."""
    failed = {**card(0.0), "passed": False, "barred": ["the store called again"], "score": 20.0, "gradebook": 20.0}
    failed["parts"][0]["score"] = 20.0
    assert sum(grading.points(failed, {"safe": 90.0, "sums": 10.0}).values()) <= 20.0


def broken(*_: Any, **__: Any) -> Any:
    """A grader that meets something nobody thought of."""
    raise ZeroDivisionError("float division by zero")


@pytest.mark.parametrize("where", ["judge", "replay", "as_json"])
def test_whatever_goes_wrong_is_marked_by_hand_and_never_scored_as_nothing(
    where: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from graders import replaying
    from graders import scorecard as scorecards

    monkeypatch.setattr(replaying if where == "replay" else scorecards, where, broken)
    if where != "replay":
        monkeypatch.setattr(replaying, "replay", lambda *_: None)
    if where == "as_json":
        monkeypatch.setattr(scorecards, "judge", lambda *_: None)
    path = tmp_path / "record.jsonl"
    path.write_text("{}", "utf-8")
    found, told, detail = grading.scorecard(path, CALL, 49.0)
    assert (found, told) == (None, grading.BY_HAND)
    assert detail.startswith(f"{path}: to be marked by hand, for grading broke off (ZeroDivisionError at ")
    assert "Traceback" not in detail


def saved(folder: Path, monkeypatch: pytest.MonkeyPatch, found: tuple[Any, str, str]) -> Any:
    """The submission of one trainee as the gradebook has it after grading, and the cells of its parts."""
    from nbgrader.api import Gradebook

    node = nbformat.reads(notebooks.text_of(CALL), as_version=4)
    monkeypatch.setenv("PATH", str(Path(sys.executable).parent), prepend=os.pathsep)  # the tool calls a helper by name
    book = Gradebook(f"sqlite:///{folder / 'gradebook.db'}", folder.name)
    book.add_assignment(CALL)
    book.add_notebook(CALL, CALL)
    for cell in [cell for cell in node.cells if cell.metadata.nbgrader.grade]:
        about = cell.metadata.nbgrader
        book.add_grade_cell(about.grade_id, CALL, CALL, max_score=about.points, cell_type=cell.cell_type)
    book.add_solution_cell(notebooks.ANSWER, CALL, CALL)
    book.update_or_create_student("ann")
    book.add_submission(CALL, "ann")
    resources = {
        "nbgrader": {"student": "ann", "assignment": CALL, "notebook": CALL, "db_url": f"sqlite:///{folder / 'gradebook.db'}"},
        "metadata": {"path": str(folder)},
    }
    monkeypatch.setattr(grading, "scorecard", lambda *_: found)
    node, resources = grading.RecordGrade().preprocess(node, resources)
    grading.SaveGrades().preprocess(node, resources)
    book.close()
    place = folder / "autograded" / "ann" / CALL
    place.mkdir(parents=True)
    nbformat.write(node, place / f"{CALL}.ipynb")
    return [cell for cell in node.cells if cell.cell_type == "code" and cell.metadata.nbgrader.grade]


def exported(book: Any, folder: Path) -> tuple[str, str]:
    """Score and most points of the one trainee in the table that leaves the class."""
    scoretable.ScoreTable(to=str(folder / "scores.csv")).export(book)
    [row] = csv.DictReader((folder / "scores.csv").open(encoding="utf-8"))
    return row["score"], row["max_score"]


@pytest.mark.notebook
def test_gradebook_leaves_open_what_is_to_be_marked_by_hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from nbgrader.api import Gradebook

    cells = saved(tmp_path, monkeypatch, (None, grading.BY_HAND, "grading broke off"))
    assert all(grading.BY_HAND in cell.outputs[0].data["text/html"] and len(cell.outputs) == 1 for cell in cells)
    assert classroom.scores(tmp_path, CALL) == [{"trainee": "ann", "score": None, "of": 100.0}]
    with Gradebook(f"sqlite:///{tmp_path / 'gradebook.db'}", tmp_path.name) as book:
        assert exported(book, tmp_path) == ("", "100.0")
        grades = [grade for grade in book.find_submission(CALL, "ann").notebooks[0].grades if grade.max_score]
        assert [(grade.auto_score, grade.needs_manual_grade) for grade in grades] == [(None, True)] * 6
        for grade in grades:
            grade.manual_score = 10.0
        book.db.commit()
        assert exported(book, tmp_path) == ("60.0", "100.0")
    assert classroom.scores(tmp_path, CALL) == [{"trainee": "ann", "score": 60.0, "of": 100.0}]


@pytest.mark.notebook
def test_gradebook_has_the_points_of_what_was_graded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    saved(tmp_path, monkeypatch, (card(0.5), "", ""))
    assert classroom.scores(tmp_path, CALL) == [{"trainee": "ann", "score": 50.0, "of": 100.0}]


def test_comment_cannot_bring_markup_into_the_page() -> None:
    hostile = card()
    hostile["parts"][4]["feedback"] = ["<script>alert(1)</script>"]
    assert grading.comment(hostile, "paper") == "<li>&lt;script&gt;alert(1)&lt;/script&gt;</li>"


def submitted(**cells: Any) -> Any:
    """A notebook as a trainee might hand it in."""
    node = nbformat.reads(notebooks.text_of(CALL), as_version=4)
    for name, change in cells.items():
        for cell in [cell for cell in node.cells if cell.metadata.nbgrader.grade_id == name.replace("_", "-")]:
            change(node, cell)
    return node


def fresh(node: Any, root: Path) -> Any:
    """What is left of it before it is graded."""
    resources = {"nbgrader": {"db_url": f"sqlite:///{root}/gradebook.db", "assignment": CALL, "notebook": CALL}}
    return grading.FreshNotebook().preprocess(node, resources)[0]


def below_the_question(node: Any) -> str:
    """What stands in the answer's cell under our own question, as a browser would show it."""
    source = str(node.cells[2].source)
    assert source.startswith(notebooks.QUESTION.rstrip())
    return html.unescape(source.removeprefix(notebooks.QUESTION.rstrip()).strip())


def test_only_the_written_answer_survives(tmp_path: Path) -> None:
    node = submitted(
        for_the_morning=lambda _, cell: cell.update(source="Look at K5 again."),
        part_safe=lambda _, cell: cell.update(source="20.0"),
        desk=lambda all_, cell: all_.cells.remove(cell),
        part_sums=lambda all_, cell: all_.cells.append(cell),
    )
    node.cells.append(nbformat.v4.new_code_cell("import graders"))
    kept = fresh(node, tmp_path)
    wanted = notebooks.notebook(CALL)["cells"]
    assert [cell.metadata.nbgrader.grade_id for cell in kept.cells] == [cell["metadata"]["nbgrader"]["grade_id"] for cell in wanted]
    assert below_the_question(kept) == "Look at K5 again."
    assert "import graders" not in json.dumps(kept)
    assert "20.0" not in [cell.source for cell in kept.cells]


def test_of_doubled_answers_the_first_counts(tmp_path: Path) -> None:
    node = submitted(for_the_morning=lambda _, cell: cell.update(source="first"))
    double = nbformat.from_dict(dict(node.cells[2]))
    double.source = "second"
    node.cells.append(double)
    assert below_the_question(fresh(node, tmp_path)) == "first"


def test_settings_execute_nothing(tmp_path: Path) -> None:
    from traitlets.config import Config

    c = Config()
    configure(c, str(tmp_path / "nbgrader_config.py"))
    assert c.CourseDirectory.root == str(tmp_path)
    assert not [step for step in (*STEPS_BEFORE, *STEPS_OF_GRADING) if "Execute" in step]
    assert c.Autograde.autograde_preprocessors[0] == "course.grading.RecordGrade"
    assert c.Autograde.exclude_overwriting[CALL] == [RECORD, REFUSED]
    assert c.FileNameCollectorPlugin.valid_ext == [".ipynb", ".jsonl"]


def test_best_mark_is_a_pass_before_a_higher_fail(tmp_path: Path) -> None:
    record = tmp_path / CALL / "record.jsonl"
    record.parent.mkdir()
    for score, passed, incidents in ((82.0, False, ["touched"]), (61.0, True, []), (61.0, True, []), (40.0, False, [])):
        marks.note_mark(record, {"score": score, "of": 100.0, "passed": passed, "barred": incidents})
    assert marks.best(tmp_path, CALL) == {"score": 61.0, "of": 100.0, "passed": True, "why": ""}
    assert len(json.loads((record.parent / marks.MARK).read_text())) == 3


def test_what_bars_a_pass_is_kept_with_the_mark(tmp_path: Path) -> None:
    record = tmp_path / CALL / "record.jsonl"
    record.parent.mkdir()
    barred = ["the store called again", "it has too few points"]
    marks.note_mark(record, {"score": 89.0, "of": 100.0, "passed": False, "barred": barred})
    assert marks.best(tmp_path, CALL) == {"score": 89.0, "of": 100.0, "passed": False, "why": "the store called again"}


@pytest.mark.parametrize("text", ["", "{}", "[1]", "null", '[{"score": "x", "passed": 1}]'])
def test_a_spoilt_file_of_marks_is_no_mark(text: str, tmp_path: Path) -> None:
    (tmp_path / CALL).mkdir()
    (tmp_path / CALL / marks.MARK).write_text(text)
    assert marks.best(tmp_path, CALL) is None

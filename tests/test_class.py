"""A class from end to end through the instructor's tool: what is handed in, what it earns, and what never runs."""

import csv
import hashlib
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest

from course import library, notebooks
from course.classroom import CONFIG_FILE
from course.folder import RECORD

pytestmark = [pytest.mark.notebook, pytest.mark.slow]
CALL = str(library.rows()[0]["id"])
SEED = 7
LAZY = ["go panel", "close-out"]

ALWAYS_EQUAL = """
class Yes:
    def __eq__(self, other): return True
    def __getattr__(self, name): return self
    def __float__(self): return 30.0
    def __call__(self, *a, **k): return self
import sys, pathlib
pathlib.Path({mark!r}).write_text("ran")
sys.modules["graders.scorecard"] = sys.modules["course.grading"] = Yes()
"""
BLANKING = """
import pathlib
pathlib.Path({mark!r}).write_text("ran")
get_ipython().input_transformers_cleanup.append(lambda lines: ["20.0\\n"])
"""
PATCHED = """
import pathlib
pathlib.Path({mark!r}).write_text("ran")
import graders.scorecard
def full(*a, **k):
    parts = [{{"id": i, "score": o, "of": o, "why": [], "feedback": []}} for i, _, o in {parts!r}]
    return {{"call": {call!r}, "score": 100.0, "gradebook": 100.0, "of": 100.0, "incidents": [], "barred": [], "answers": [],
             "record": {{"ok": True}}, "parts": parts}}
graders.scorecard.grade = full
"""


def command(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run `halfsplit cohort` in a class's folder."""
    code = "from course.cli import main; main()"
    told = [sys.executable, "-c", code, "cohort", *words]
    return subprocess.run(told, cwd=folder, capture_output=True, text=True, timeout=550, check=False)


def recorded(path: Path, steps: list[str]) -> str:
    """The record that a trainee who takes these steps has on disk."""
    from scenarios.call import Session

    session = Session.open(CALL, SEED, path)
    for step in steps:
        session.do(step)
    assert session.writer is not None
    session.writer.close()
    return path.read_text("utf-8")


def rechained(record: str) -> str:
    """A record whose forger has also worked the digests out anew, line by line."""
    lines = record.splitlines()
    for n in range(1, len(lines)):
        line = {**json.loads(lines[n]), "prev": hashlib.sha256(lines[n - 1].encode()).hexdigest()}
        lines[n] = json.dumps(line, ensure_ascii=False, separators=(",", ":"))
    return "\n".join(lines) + "\n"


def records(place: Path) -> tuple[str, str]:
    """A good night's record and a lazy one's."""
    from graders import replaying

    good = replaying.key(CALL, SEED)["exemplars"][0]["steps"]
    return recorded(place / "good.jsonl", good), recorded(place / "lazy.jsonl", LAZY)


def marks() -> list[str]:
    """Every mark of the call's store."""
    from scenarios.call import Session

    return sorted(Session.open(CALL, SEED).night.store.wiring.devices)


def with_cell(source: str) -> Callable[[Any], Any]:
    """A change to a notebook: one more cell, before all others and again at the end."""

    def change(node: Any) -> Any:
        node.cells = [nbformat.v4.new_code_cell(source), *node.cells, nbformat.v4.new_code_cell(source)]
        return node

    return change


def doubled(node: Any) -> Any:
    """Every cell twice, as after a merge gone wrong."""
    node.cells = [cell for cell in node.cells for _ in range(2)]
    return node


def full_outputs(node: Any) -> Any:
    """Every grade cell already holds its full points, and says it is worth more."""
    for cell in node.cells:
        about = cell.metadata.get("nbgrader", {})
        if cell.cell_type == "code" and about.get("grade"):
            cell.outputs = [nbformat.v4.new_output("execute_result", data={"text/plain": str(about["points"])}, execution_count=1)]
            about["points"] *= 10
    return node


@pytest.fixture(scope="module")
def graded(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, float], str]:
    """A class of many temperaments, graded: its folder, scores by trainee, and what the command said."""
    root = tmp_path_factory.mktemp("class")
    assert command(root, "make", ".", CALL).returncode == 0
    done = command(root, "release", CALL)
    assert done.returncode == 0, done.stderr
    good, lazy = records(tmp_path_factory.mktemp("records"))
    mark = str(root / "ran")
    tamper = {"mark": mark, "call": CALL, "parts": notebooks.PARTS}
    hand_in: dict[str, tuple[str | None, Callable[[Any], Any] | str | None]] = {
        "good": (good, lambda node: node),
        "lazy": (lazy, lambda node: node),
        "always_equal": (lazy, with_cell(ALWAYS_EQUAL.format(**tamper))),
        "blanking": (lazy, with_cell(BLANKING.format(**tamper))),
        "patched": (lazy, with_cell(PATCHED.format(**tamper))),
        "full_outputs": (lazy, full_outputs),
        "doubled": (good, doubled),
        "no_notebook": (good, None),
        "no_json": (good, "this is no notebook"),
        "no_record": (None, lambda node: node),
        "torn": (good[:-40], lambda node: node),
        "forged": (good.replace('"shown":"', '"shown":"1', 3), lambda node: node),
        "rechained": (rechained(good.replace('"shown":"', '"shown":"1', 3)), lambda node: node),
        "no_lines": ("[]\n" * 5, lambda node: node),
        "huge": ("x" * 6_000_000, lambda node: node),
    }
    for trainee, (record, change) in hand_in.items():
        place = root / "submitted" / trainee / CALL
        place.mkdir(parents=True)
        if record is not None:
            (place / RECORD).write_text(record, "utf-8")
        if isinstance(change, str):
            (place / f"{CALL}.ipynb").write_text(change, "utf-8")
        elif change is not None:
            node = nbformat.read(root / "release" / CALL / f"{CALL}.ipynb", as_version=4)
            (place / f"{CALL}.ipynb").write_text(json.dumps(change(node)), "utf-8")
    shadow = root / "submitted" / "patched" / CALL / "graders"
    shadow.mkdir()
    (shadow / "__init__.py").write_text(f"import pathlib; pathlib.Path({mark!r}).write_text('shadow')\n")
    done = command(root, "grade", CALL)
    found = dict(re.findall(r"^(\w+): ([\d.]+) of 100$", done.stdout, re.M))
    return root, {name: float(score) for name, score in found.items()}, done.stdout + done.stderr


def test_everybody_is_graded(graded: tuple[Path, dict[str, float], str]) -> None:
    root, scores, said = graded
    assert set(scores) == {path.name for path in (root / "submitted").iterdir()}, said


def test_no_cell_of_any_trainee_was_run(graded: tuple[Path, dict[str, float], str]) -> None:
    assert not (graded[0] / "ran").exists()


def test_good_work_earns_more_than_none(graded: tuple[Path, dict[str, float], str]) -> None:
    _, scores, _ = graded
    assert scores["good"] >= scores["lazy"] + 30


@pytest.mark.parametrize("trainee", ["always_equal", "blanking", "patched", "full_outputs"])
def test_tampering_gains_nothing(graded: tuple[Path, dict[str, float], str], trainee: str) -> None:
    assert graded[1][trainee] == graded[1]["lazy"]


@pytest.mark.parametrize("trainee", ["doubled", "no_notebook", "no_json"])
def test_spoilt_notebook_costs_nothing(graded: tuple[Path, dict[str, float], str], trainee: str) -> None:
    assert graded[1][trainee] == graded[1]["good"]


@pytest.mark.parametrize("trainee", ["no_record", "no_lines", "huge"])
def test_without_a_record_there_is_nothing_to_score(graded: tuple[Path, dict[str, float], str], trainee: str) -> None:
    assert graded[1][trainee] == 0.0


def test_forged_readings_gain_nothing(graded: tuple[Path, dict[str, float], str]) -> None:
    assert graded[1]["forged"] == 0.0
    assert graded[1]["rechained"] <= min(graded[1]["good"], 49.0)


def test_forging_changes_what_it_should_and_a_true_record_rechains_to_itself(tmp_path: Path) -> None:
    good, _ = records(tmp_path)
    assert rechained(good) == good
    assert good.replace('"shown":"', '"shown":"1', 3) != good


def test_submissions_stay_as_they_were_handed_in(graded: tuple[Path, dict[str, float], str]) -> None:
    assert (graded[0] / "submitted" / "no_json" / CALL / f"{CALL}.ipynb").read_text() == "this is no notebook"


def test_scores_leave_as_a_table(graded: tuple[Path, dict[str, float], str]) -> None:
    root, scores, _ = graded
    assert command(root, "export").returncode == 0
    rows = list(csv.DictReader((root / "scores.csv").open(encoding="utf-8")))
    assert {row["student_id"]: float(row["score"]) for row in rows} == pytest.approx(scores, abs=0.006)
    assert {float(row["max_score"]) for row in rows} == {100.0}


def test_feedback_tells_what_happened_and_gives_nothing_away(graded: tuple[Path, dict[str, float], str]) -> None:
    from graders import replaying
    from graders.scorecard import grade

    root, _, _ = graded
    done = command(root, "feedback", CALL)
    assert done.returncode == 0, done.stderr
    key = replaying.key(CALL, SEED)
    card = grade(root / "submitted" / "good" / CALL / RECORD)
    for trainee in ("good", "lazy", "patched", "huge"):
        text = (root / "feedback" / trainee / CALL / f"{CALL}.html").read_text("utf-8")
        words = re.sub(r"<(style|script).*?</\1>|<[^>]+>", " ", text, flags=re.S)
        assert "Safe work" in words
        assert "scenarios/keys" not in text
        assert str(key["truth"].get("reason", "-")) not in words or key["truth"].get("reason") in (None, "")
        assert not [a["reference"] for a in card["answers"] if a["reference"] and f"{a['reference']:.3g}" in words.split()]
        assert not re.search(r"""(src|href)=["']https?://""", text)
        own = " ".join(LAZY if trainee != "good" else key["exemplars"][0]["steps"])
        assert [name for name in marks() if re.search(rf"\b{name}\b", words) and name not in own] == []
        assert not re.search(r"\b(replace|re-end|torque)\b", words)
    assert "larger than 5000000 bytes" in words


def test_released_notebook_holds_no_key(graded: tuple[Path, dict[str, float], str]) -> None:
    files = [path for path in (graded[0] / "release").rglob("*") if path.is_file()]
    assert [path.name for path in files] == [f"{CALL}.ipynb"]
    assert "cause" not in files[0].read_text("utf-8").replace("because", "")


def test_config_of_a_class_is_the_instructors_to_change(graded: tuple[Path, dict[str, float], str]) -> None:
    path = graded[0] / CONFIG_FILE
    path.write_text(path.read_text() + "# mine\n")
    assert command(graded[0], "make", ".", CALL).stdout == ""
    assert path.read_text().endswith("# mine\n")


def test_class_folder_is_asked_for(tmp_path: Path) -> None:
    done = command(tmp_path, "grade", CALL)
    assert done.returncode == 2
    assert done.stderr == f".: is no class's folder (no {CONFIG_FILE}); make one with `halfsplit cohort make FOLDER`\n"
    assert not os.listdir(tmp_path)

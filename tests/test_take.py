"""A call in the terminal: the same language, the same record, and what can be done with it afterwards."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from course import library

pytestmark = pytest.mark.slow
CALL = str(library.rows()[0]["id"])
STEPS = "# on arrival\ngo panel\n\nsmell\nwait 5\nclose-out\n"


def run(folder: Path, *words: str, given: str = "") -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own, with the person's folder in `folder`."""
    environ = {**os.environ, "HALFSPLIT_FOLDER": str(folder)}
    told = [sys.executable, "-c", "from course.cli import main; main()", *words]
    return subprocess.run(told, input=given, capture_output=True, text=True, env=environ, timeout=550, check=False)


def lines(record: Path) -> list[dict[str, object]]:
    """A record's lines, without its head."""
    return [json.loads(line) for line in record.read_text("utf-8").splitlines()[1:]]


def test_steps_from_standard_input_are_done_in_order_and_recorded(tmp_path: Path) -> None:
    done = run(tmp_path, "take", CALL, "--seed", "7", given=STEPS)
    assert done.returncode == 0, done.stderr
    record = tmp_path / CALL / "record.jsonl"
    assert [line["step"] for line in lines(record)] == ["go panel", "smell", "wait 5", "close-out"]
    assert re.findall(r"^> (.*)$", done.stdout, re.M) == ["go panel", "smell", "wait 5", "close-out"]


def test_a_call_goes_on_where_its_record_ends(tmp_path: Path) -> None:
    record = str(tmp_path / "mine.jsonl")
    assert run(tmp_path, "take", CALL, "--seed", "7", "--record", record, given="go panel\n").returncode == 0
    again = run(tmp_path, "take", CALL, "--record", record, given="smell\nclose-out\n")
    assert again.returncode == 0, again.stderr
    assert f"Going on with {record}." in again.stdout
    assert [line["n"] for line in lines(Path(record))] == [1, 2, 3]


def test_a_closed_call_is_not_added_to(tmp_path: Path) -> None:
    assert run(tmp_path, "take", CALL, "--seed", "7", given="go panel\nclose-out\n").returncode == 0
    record = tmp_path / CALL / "record.jsonl"
    before = record.read_bytes()
    done = run(tmp_path, "take", CALL, given="smell\n")
    assert done.returncode == 2
    assert done.stderr == f"{record}: this call is closed; `halfsplit debrief {record}` shows it, --record FILE starts another\n"
    assert record.read_bytes() == before


def test_a_line_that_is_no_step_stops_a_file_and_names_the_line(tmp_path: Path) -> None:
    steps = tmp_path / "steps.txt"
    steps.write_text("go panel\nfrobnicate K5\nsmell\n", "utf-8")
    done = run(tmp_path, "take", CALL, "--seed", "7", "--steps", str(steps))
    assert done.returncode == 2
    assert done.stderr.startswith(f"{steps}:2: ")
    assert len(done.stderr.splitlines()) == 1
    assert [line["step"] for line in lines(tmp_path / CALL / "record.jsonl")] == ["go panel"]


def test_grade_and_debrief_of_a_record_made_in_the_terminal(tmp_path: Path) -> None:
    assert run(tmp_path, "take", CALL, "--seed", "7", given=STEPS).returncode == 0
    record = tmp_path / CALL / "record.jsonl"
    card = json.loads(run(tmp_path, "grade", str(record), "--json").stdout)
    assert (card["call"], card["seed"], card["of"]) == (CALL, 7, 100.0)
    assert {part["id"] for part in card["parts"]} == {"safe", "diagnosis", "sums", "service", "paper", "economy"}
    assert card["record"] == {"ok": True, "problems": []}
    page = tmp_path / "page.html"
    assert run(tmp_path, "debrief", str(record), "-o", str(page)).returncode == 0
    text = page.read_text("utf-8")
    assert "</html>" in text
    assert not re.search(r"""(src|href)=["'](https?:)?//""", text)


def test_a_forged_reading_is_found_and_ends_with_1(tmp_path: Path) -> None:
    assert run(tmp_path, "take", CALL, "--seed", "7", given=STEPS).returncode == 0
    record = tmp_path / CALL / "record.jsonl"
    forged = tmp_path / "forged.jsonl"
    forged.write_text(record.read_text("utf-8").replace("wait 5", "wait 1"), "utf-8")
    done = run(tmp_path, "grade", str(forged), str(record), "--json")
    assert done.returncode in {1, 2}
    assert done.stderr.startswith(("forged.jsonl:", str(forged)))
    assert json.loads(done.stdout)[-1]["record"]["ok"]

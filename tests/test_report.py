"""What an instructor is told of a class, from figures made by hand."""

import os
from pathlib import Path
from typing import Any

import pytest

from course import report
from course.folder import RECORD
from scenarios import record as records


def row(trainee: str, call: str = "one", score: float = 70.0, **changes: Any) -> dict[str, Any]:
    """The figures of one record."""
    whole = {"trainee": trainee, "call": call, "score": score, "passed": True, "unsafe": [], "guessed": False, "slips": []}
    return {**whole, "barred": [], "parts": {"safe": 1.0, "sums": 0.5}, "callback": False, "mark": trainee, **changes}


def test_call_sums_up_who_guessed_and_who_was_unsafe() -> None:
    found = report.of_call(
        [
            row("ann", slips=["superheat: bubble_for_dew"]),
            row("bob", score=49.0, passed=False, unsafe=["touched_live"], slips=["superheat: bubble_for_dew", "ratio: gauge"]),
            row("cyd", guessed=True, callback=True, parts={"safe": 0.25, "sums": 0.5}),
            {"trainee": "dee", "call": "one", "score": 0.0, "passed": False, "problem": "record.jsonl:3: torn"},
        ]
    )
    assert (found["records"], found["passed"], found["mean"], found["callbacks"]) == (4, 2, 47.2, 1)
    assert found["guessed"] == ["cyd"]
    assert found["unsafe"] == {"bob": ["touched_live"]}
    assert found["mistakes"] == [("superheat: bubble_for_dew", 2), ("ratio: gauge", 1)]
    assert found["parts"] == {"safe": 0.75, "sums": 0.5}
    assert found["problems"] == ["dee: record.jsonl:3: torn"]


def test_what_is_to_be_marked_by_hand_counts_as_no_score() -> None:
    """Two at 70 and one nobody could grade: the mean is that of the two, and the third is named."""
    rows = [row("ann"), row("bob", passed=False, barred=["the store called again"])]
    rows.append({"trainee": "cyd", "call": "one", "score": None, "passed": False, "by_hand": "the record: to be marked by hand"})
    found = report.of_call(rows)
    assert (found["mean"], found["records"], found["by_hand"]) == (70.0, 3, ["cyd: the record: to be marked by hand"])
    assert report.reliability(rows)["people"] == 2
    shown = report.text({"calls": [found], "reliability": report.reliability(rows)})
    assert "  to be marked by hand: cyd: the record: to be marked by hand\n" in shown
    assert "  not passed because: the store called again (1)\n" in shown
    assert "mean unknown of 100" in report.text({"calls": [report.of_call(rows[2:])], "reliability": report.reliability(rows)})


def test_a_record_that_the_graders_break_off_over_says_whose_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from graders import replaying

    def broken(_: Any) -> Any:
        raise OverflowError("int too large to convert to float")

    monkeypatch.setattr(replaying, "replay", broken)
    record_of(tmp_path, 1, ["2026-01-01T03:31:00Z"])
    found = report.row_of(report.Submission("ann", "one", tmp_path))
    assert found["score"] is None
    assert found["by_hand"].startswith("the record: to be marked by hand")


def record_of(place: Path, seed: int, clocks: list[str]) -> Path:
    """A record of some looks, done when the clocks say."""
    head = {"schema": records.SCHEMA, "call": "one", "seal": "ab" * 32, "version": "0.1.0", "engine": "1", "step": 5, "grid": -20}
    saw = {"text": "K5 is in", "kind": "sight", "readings": [], "minutes": 1}
    path = place / RECORD
    with records.Writer(path, {**head, "seed": seed, "units": "us"}) as writer:
        for n, clock in enumerate(clocks):
            writer.append(60.0 * n, "look K5", saw, at=clock)
    return path


def test_one_record_handed_in_twice_is_found_even_with_another_head_or_a_torn_end(tmp_path: Path) -> None:
    clocks = [f"2026-01-01T03:3{n}:00Z" for n in range(3)]
    marks = []
    for name, seed, done in (("ann", 1, clocks), ("bob", 2, clocks), ("cyd", 1, [*clocks[:2], "2026-01-01T03:39:00Z"])):
        marks.append(row(name, mark=report.fingerprint(record_of(tmp_path / name, seed, done))))
    torn = (tmp_path / "ann" / RECORD).read_bytes() + b"\0" * 40
    assert report.copied([*marks, row("dan", mark=report.fingerprint(torn))]) == [["ann", "bob", "dan"]]


def test_empty_records_are_not_copies_of_each_other(tmp_path: Path) -> None:
    path = record_of(tmp_path, 1, [])
    assert report.copied([row(name, mark=report.fingerprint(path)) for name in "ab"]) == []


def test_who_could_not_be_judged_is_named(tmp_path: Path) -> None:
    for name in ("ann", "bob", "cyd", "dee\n"):
        record_of(tmp_path / "submitted" / name / "one", 1, [])
    (tmp_path / "submitted" / "bob" / "one" / RECORD).write_bytes(b"[]\n")
    path = tmp_path / "submitted" / "cyd" / "one" / RECORD
    path.unlink()
    path.mkdir()
    found = report.of_call([report.row_of(one) for one in report.handed_in(tmp_path, ["one"])])
    assert [problem.split(": ")[0] for problem in found["problems"]] == ["ann", "bob", "cyd", "'dee\\n'"]
    assert found["problems"][2] == f"cyd: {RECORD} is a folder, and only a file is taken"
    assert "bob: record:1: not a JSON object" in report.text({"calls": [{**found, "mean": 0.0}], "reliability": {"alpha": None}})


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_in_place_of_a_record_is_not_read(tmp_path: Path) -> None:
    elsewhere = record_of(tmp_path / "elsewhere", 1, ["2026-01-01T03:30:00Z"])
    place = tmp_path / "submitted" / "ann" / "one"
    place.mkdir(parents=True)
    (place / RECORD).symlink_to(elsewhere)
    (one,) = report.handed_in(tmp_path, ["one"])
    assert report.row_of(one)["problem"] == f"{RECORD} is a link, and only a file is taken"


def test_reliability_of_people_who_differ_alike_on_every_call_is_one() -> None:
    rows = [row(f"p{n}", call, 10.0 * n) for n in range(6) for call in ("one", "two", "three")]
    found = report.reliability(rows)
    assert found["alpha"] == pytest.approx(1.0)
    assert found["interval"] == [1.0, 1.0]
    assert not found["may_rank"]


def test_ranking_needs_ten_calls() -> None:
    rows = [row(f"p{n}", f"c{k}", 10.0 * n + k % 3) for n in range(5) for k in range(10)]
    assert report.reliability(rows)["may_rank"]


@pytest.mark.parametrize("people", [1, 2])
def test_too_few_people_have_no_reliability(people: int) -> None:
    rows = [row(f"p{n}", call, 10.0 * n) for n in range(people) for call in ("one", "two")]
    assert report.reliability(rows)["alpha"] is None


def test_people_who_missed_a_call_are_left_out_of_reliability() -> None:
    rows = [row(f"p{n}", call, 10.0 * n) for n in range(4) for call in ("one", "two")] + [row("late", "one", 99.0)]
    assert report.reliability(rows)["people"] == 4


def test_text_says_not_to_rank() -> None:
    rows = [row(f"p{n}", call, 10.0 * n) for n in range(4) for call in ("one", "two")]
    shown = report.text({"calls": [report.of_call(rows[::2])], "reliability": report.reliability(rows)})
    assert shown.splitlines()[0] == "one: 4 records, 4 passed, mean 15 of 100"
    assert shown.splitlines()[-1].endswith("fewer than 10 calls, do not rank.")

"""Measuring: rows keep their contract, and the promises that do not depend on an idle machine hold."""

import json
from dataclasses import asdict, fields

import numpy as np
import pytest

from course import bench, bench_stores, measuring

PROMISED = [
    "open a call in it, cold process, prepared",
    "48 h of it, one world",
    "48 h of it, forty worlds",
    "forty suspects in it, three hours each",
    "a world of it",
    "a step and its view in it",
    "calls of Python for the view after a step in it",
]
KEYS = ["what", "value", "unit", "budget", "ok", "peer", "ratio"]


def test_rows_have_the_promised_keys_in_order() -> None:
    assert [field.name for field in fields(bench.Row)] == KEYS


@pytest.mark.parametrize(("value", "below", "above"), [(0.99, True, False), (1.0, True, True), (1.01, False, True)])
def test_budget_below_at_and_above(value: float, below: bool, above: bool) -> None:
    assert measuring.at_most("x", value, "s", 1.0).ok is below
    assert measuring.at_least("x", value, "s", 1.0).ok is above


def test_what_cannot_be_measured_says_why_and_does_not_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> None:
        raise OSError("no such thing here")

    monkeypatch.setattr(bench, "GROUPS", {"a group": broken})
    (row,) = bench.measure(lambda _: None)["rows"]
    assert (row["what"], row["ok"], row["value"]) == ("a group", None, None)
    assert "no such thing here" in row["peer"]


def test_table_marks_what_is_over_budget() -> None:
    rows = [asdict(measuring.at_most("fast", 0.5, "s", 1.0, "a peer, 5 s", 10.0)), asdict(measuring.at_most("late", 2.0, "s", 1.0))]
    shown = bench.table({"machine": {"cores": 2}, "rows": rows})
    assert shown.splitlines() == ["cores 2", "ok   fast: 0.5 s (budget 1); a peer, 5 s, ratio 10", "OVER late: 2 s (budget 1)"]


def test_network_that_is_measured_gives_what_numpy_gives() -> None:
    """The peer solves the same network: 1e-9 relative is what a dense solve keeps of milliohms beside gigaohms."""
    from course import bench_kernels, bench_rows

    program, entries, admittances, leaks = bench_rows.network(100)
    ours = bench_kernels.solve_network(program, entries, admittances, leaks, 1, bench_kernels.Room.of(program, 100))
    theirs = bench_rows.dense_solve(100, admittances, leaks, program, entries)()
    assert ours == pytest.approx(float(np.real(theirs[0])), rel=1e-9)


@pytest.mark.slow
def test_tables_beat_asking_one_by_one_a_thousand_times_over() -> None:
    from course import bench_rows

    rows = list(bench_rows.properties())
    assert [row.ok for row in rows] == [True, True]
    json.dumps([asdict(row) for row in rows])


@pytest.mark.slow
def test_solving_a_network_beats_a_dense_solve() -> None:
    from course import bench_rows

    for row in bench_rows.electrical():
        assert row.ratio is not None
        assert row.ratio > 3.0


@pytest.mark.parametrize("which", bench_stores.STORES, ids=lambda which: which.title)
def test_both_stores_have_the_same_rows_with_numbers(which: bench_stores.Measured, monkeypatch: pytest.MonkeyPatch) -> None:
    """Minutes instead of hours and two worlds: whether a budget holds is for a quiet machine."""
    monkeypatch.setattr(bench_stores, "HOUR", 60.0)
    monkeypatch.setattr(bench_stores, "WORLDS", 2)
    monkeypatch.setattr(bench_stores, "child", lambda code: None)
    rows = [*bench_stores.opening(which), *bench_stores.running(which), *bench_stores.clicking(which)]
    assert [row.what.replace(which.title, "it") for row in rows] == PROMISED
    assert all(row.value is not None and row.value >= 0.0 and row.budget for row in rows)
    assert next(row.value for row in rows if row.unit == "MB") > 1.0

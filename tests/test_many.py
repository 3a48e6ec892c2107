"""Work for many records on all cores: the same results in the same order as one after the other, whatever one of them is."""

import os
from pathlib import Path

import pytest

from course import many
from course.scoring import card_or_error
from scenarios.call import Session
from scenarios.errors import HalfsplitError

RECORDS = sorted(Path(__file__).parent.glob("records/**/*.jsonl"))


def who(number: int) -> tuple[int, int]:
    return number * number, os.getpid()


def test_results_keep_their_order_and_come_from_other_processes() -> None:
    found = list(many.each(who, range(12), 2))
    assert [square for square, _ in found] == [n * n for n in range(12)]
    assert os.getpid() not in {process for _, process in found}


@pytest.mark.parametrize("count", [0, 1, many.FEW - 1])
def test_a_few_are_done_here(count: int) -> None:
    assert list(many.each(who, range(count), 2)) == [(n * n, os.getpid()) for n in range(count)]


def taken(folder: Path, seed: int) -> Path:
    """A short visit."""
    path = folder / f"{seed}.jsonl"
    session = Session.open("walk_in_warm", seed, path)
    for line in ("go floor", "listen SV9", 'order why "Coil of SV9."', "close-out"):
        session.do(line)
    return path


@pytest.mark.slow
def test_records_good_and_bad_are_graded_side_by_side_as_one_by_one(tmp_path: Path) -> None:
    bad = [path for path in RECORDS if path.parent.name == "bad"][:5]
    good = [taken(tmp_path, seed) for seed in range(3)]
    records = [good[0], *bad, *good[1:]]
    alone = [card_or_error(path) for path in records]
    together = list(many.each(card_or_error, records, 2))
    assert [str(one) for one in together] == [str(one) for one in alone]
    assert [isinstance(one, HalfsplitError) for one in together] == [False, *[True] * len(bad), False, False]

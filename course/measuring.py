"""Rows of measurements and the clocks that fill them."""

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Row:
    """One promise and what was measured."""

    what: str
    value: float | None
    unit: str
    budget: float | None
    ok: bool | None
    peer: str = ""
    ratio: float | None = None


def at_most(what: str, value: float, unit: str, budget: float, peer: str = "", ratio: float | None = None) -> Row:
    """A promise that something takes no more than its budget."""
    return Row(what, significant(value), unit, budget, value <= budget, peer, significant(ratio))


def at_least(what: str, value: float, unit: str, budget: float, peer: str = "", ratio: float | None = None) -> Row:
    """A promise that something reaches its budget."""
    return Row(what, significant(value), unit, budget, value >= budget, peer, significant(ratio))


def significant(value: float | None) -> Any:
    """Three digits, which is more than any of this is good for.

    >>> significant(0.0123456), significant(1234567.0), significant(None)
    (0.0123, 1230000.0, None)
    """
    return None if value is None else float(f"{value:.3g}")


def median_time(work: Callable[[], Any], runs: int = 5) -> float:
    """Median time of some runs, after one that does not count [s]."""
    work()
    took = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        took.append(time.perf_counter() - begun)
    return statistics.median(took)


def batch_time(work: Callable[[], Any], count: int) -> float:
    """Time of so many calls [s]."""
    begun = time.perf_counter()
    for _ in range(count):
        work()
    return time.perf_counter() - begun


def each_time(work: Callable[[], Any], least: float = 0.05) -> float:
    """Median time of one call of something short, called in batches that last long enough to be measured [s]."""
    work()
    count = 1
    while (took := batch_time(work, count)) < least:
        count = max(count * 2, int(count * least / max(took, 1e-9)))
    return statistics.median(batch_time(work, count) for _ in range(5)) / count

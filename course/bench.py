"""The promised times, measured on this machine, each beside a peer where there is one.

A row is one promise: what, how much, the budget, whether it holds, and the ratio to a peer run in the same minute. Rows are
medians of a few runs; a row that cannot be measured here says why and neither holds nor fails.
"""

import os
import platform
import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
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


def machine() -> dict[str, Any]:
    """What the figures were measured on."""
    from scenarios.kernel import digest

    return {"cores": os.cpu_count(), "processor": platform.machine(), "python": platform.python_version(), "engine": digest()}


def rows(report: Callable[[str], None]) -> Iterator[Row]:
    """Measure one promise after the other; `report` gets a line before each group."""
    from course.bench_rows import GROUPS

    for title, group in GROUPS.items():
        report(f"measuring: {title}")
        try:
            yield from group()
        except Exception as error:
            yield Row(title, None, "", None, None, f"not measured: {error!r}")


def measure(report: Callable[[str], None]) -> dict[str, Any]:
    """All rows as `halfsplit bench --json` prints them."""
    return {"machine": machine(), "rows": [asdict(row) for row in rows(report)]}


def table(result: dict[str, Any]) -> str:
    """All rows as lines of text."""
    lines = [", ".join(f"{name} {value}" for name, value in result["machine"].items())]
    for row in result["rows"]:
        sign = {True: "ok  ", False: "OVER", None: "-   "}[row["ok"]]
        measured = "" if row["value"] is None else f"{row['value']:g} {row['unit']} (budget {row['budget']:g})"
        beside = f"; {row['peer']}" if row["peer"] else ""
        ratio = f", ratio {row['ratio']:g}" if row["ratio"] is not None else ""
        lines.append(f"{sign} {row['what']}: {measured}{beside}{ratio}")
    return "\n".join(lines)

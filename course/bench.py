"""The promised times, measured on this machine, each beside a peer where there is one.

A row is one promise: what, how much, the budget, whether it holds, and the ratio to a peer run in the same minute. Rows are
medians of a few runs; a row that cannot be measured here says why and neither holds nor fails.
"""

import os
import platform
from collections.abc import Callable, Iterator
from dataclasses import asdict
from typing import Any

from course.bench_rows import GROUPS
from course.measuring import Row


def machine() -> dict[str, Any]:
    """What the figures were measured on."""
    from scenarios.compiling import seals

    engine = seals.of("replay")
    return {"cores": os.cpu_count(), "processor": platform.machine(), "python": platform.python_version(), "engine": engine}


def rows(report: Callable[[str], None]) -> Iterator[Row]:
    """Measure one promise after the other; `report` gets a line before each group."""
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

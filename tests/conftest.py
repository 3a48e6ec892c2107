"""Shared by all tests: in CI a skipped test is a failed one; figures print alike compiled and in plain Python."""

import os
from collections.abc import Generator
from typing import Any

import numpy as np
import pytest

if os.environ.get("NUMBA_DISABLE_JIT", "0") != "0":
    np.set_printoptions(legacy="1.25")  # plain Python hands numpy's own floats back: show them as numbers

NO_SKIPS = os.environ.get("HALFSPLIT_NO_SKIPS") == "1"


def _refuse(report: Any, where: str) -> None:
    if NO_SKIPS and report.outcome == "skipped" and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{where} was skipped, and here every test has to run: {report.longrepr}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, Any, Any]:
    """Turn a skip into a failure where HALFSPLIT_NO_SKIPS=1."""
    report = yield
    _refuse(report, item.nodeid)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Generator[None, Any, Any]:
    """The same for a whole file that skips itself."""
    report = yield
    _refuse(report, collector.nodeid)
    return report

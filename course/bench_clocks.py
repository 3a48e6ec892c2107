"""What a measurement times or counts: a process of its own, something done once, calls of Python."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any


def child(code: str, **environ: str) -> None:
    """Run some Python in a process of its own, as cold as this machine makes it."""
    done = subprocess.run([sys.executable, "-c", code], env={**os.environ, **environ}, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(done.stderr.strip().splitlines()[-1])


def once(work: Callable[[], Any]) -> float:
    """Time of something that is slow only the first time [s]."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def calls_of(work: Callable[[], Any]) -> float:
    """Calls of Python functions while something is done."""
    count = 0

    def counted(frame: Any, event: str, arg: Any) -> None:
        nonlocal count
        count += event == "call"

    sys.setprofile(counted)
    try:
        work()
    finally:
        sys.setprofile(None)
    return float(count)

"""The same work for many records, on all cores: a class is graded as fast as the machine allows."""

import gc
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")
FEW = 4
"""Fewer than this are done here: a process of its own takes a second to start."""


def begin() -> None:
    """Bring in what every record needs, once a process, and keep it out of the rounds of the garbage collector."""
    import graders.replaying
    import graders.scorecard  # noqa: F401

    gc.freeze()


def each(work: Callable[[T], R], items: Sequence[T], cores: int | None = None) -> Iterator[R]:
    """What `work` makes of every item, in their order.

    Parameters
    ----------
    work : callable
        A function of a module, so that other processes find it; it raises nothing, or the rest is not done.
    items : sequence
        Small things that can be sent: names of files.
    cores : int, optional
        Processes at work; all cores unless told. [-]
    """
    wanted = min(cores or os.cpu_count() or 1, len(items))
    if wanted < 2 or len(items) < FEW:
        yield from map(work, items)
        return
    fresh = get_context("spawn")  # a fork would copy threads that hold locks
    with ProcessPoolExecutor(wanted, mp_context=fresh, initializer=begin) as pool:
        yield from pool.map(work, items)

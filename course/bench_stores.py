"""Stores that are measured: that of the first call, and one of full size. The same rows for both, each with budgets of its own.

The store of full size has no call of its own and is not listed; here the first call is taken in it, with nothing broken.
"""

import os
import tempfile
import tracemalloc
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from course import library
from course.bench_clocks import calls_of, child, once
from course.measuring import Row, at_most, each_time, median_time

SEED = 7
WORLDS = 40
"""Suspects of a large call."""
HOUR = 3600.0
FULL_SIZE = Path(__file__).with_name("full_size.yaml")


@dataclass(frozen=True)
class Measured:
    """One store, how it is spoken of, and what is promised of it."""

    title: str
    file: Path | None
    """None: the store of the first call."""
    one: float
    """48 h of one world [s]."""
    forty: float
    """48 h of forty worlds [s]."""
    suspects: float
    """Three hours of forty worlds [s]."""

    def night(self) -> Any:
        """The first call on this store."""
        from scenarios.assignments import Assignment, assignment
        from scenarios.files import callfile
        from scenarios.store import files

        if self.file is None:
            return assignment(easiest())
        call = callfile.load_call(easiest())
        return Assignment.of(call, {"onset": -1.0, "faults": []}, files.load_file(self.file))

    def session(self, path: Path | None = None) -> Any:
        """That call, open; with a record if there is a path for it."""
        from scenarios import record
        from scenarios.call import Session

        night = self.night()
        session = Session(night, SEED, night.world(SEED))
        session.read_log()
        session.writer = record.Writer(path, night.head(SEED)) if path is not None else None
        return session


FIRST = Measured("a store", None, one=0.5, forty=6.0, suspects=1.0)
FULL = Measured("a full-size store", FULL_SIZE, one=0.4, forty=8.0, suspects=0.8)
STORES = (FIRST, FULL)


def easiest() -> str:
    """The call that is measured: the first of the list."""
    return str(library.rows()[0]["id"])


def open_cold(which: Measured) -> None:
    """Open a call and see it: what a process that has just started does first."""
    from course.screen.view import view

    view(which.session())


def opening(which: Measured) -> Iterator[Row]:
    """How long somebody waits for a call once all is prepared."""
    code = f"from course import bench_stores as b; b.open_cold(b.STORES[{STORES.index(which)}])"
    yield at_most(f"open a call in {which.title}, cold process, prepared", median_time(lambda: child(code), 3), "s", 3.0)


def running(which: Measured) -> Iterator[Row]:
    """A whole store with wiring and controls, 48 hours in steps of 5 s, and the suspects of a call."""
    from scenarios.site import World

    night = which.night()
    world = World.fresh(night.store, night.outside, -48 * HOUR)
    world.advance(HOUR)
    two_days = 48 * HOUR
    yield at_most(f"48 h of {which.title}, one world", once(lambda: world.fork().advance(two_days)), "s", which.one)
    yield at_most(f"48 h of {which.title}, forty worlds", once(partial(advance_all, forks_of(world), two_days)), "s", which.forty)
    took = once(partial(advance_all, forks_of(world), 3 * HOUR))
    yield at_most(f"forty suspects in {which.title}, three hours each", took, "s", which.suspects)
    yield at_most(f"a world of {which.title}", megabytes(world.fork), "MB", 30.0)


def forks_of(world: Any) -> list[Any]:
    """As many copies of a world as a large call has suspects, none of which remembers a solution: each has a fault of its own."""
    made = [world.fork() for _ in range(WORLDS)]
    for other in made:
        other.network.touched()
    return made


def advance_all(worlds: list[Any], seconds: float) -> None:
    """Let time pass in all of them [s], on as many threads as there are cores: compiled physics lets the interpreter go."""
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(lambda world: world.advance(seconds), worlds))


def megabytes(make: Callable[[], Any]) -> float:
    """Memory that a thing takes that is made, its room for solutions counted as if it were full [MB]."""
    tracemalloc.start()
    try:
        made = make()
        held, _ = tracemalloc.get_traced_memory()
        del made
    finally:
        tracemalloc.stop()
    return held / 1e6


def clicking(which: Measured) -> Iterator[Row]:
    """What the engine adds between a click and its reading; the way through the browser is measured by the browser tests."""
    from course.screen.view import Screen

    with tempfile.TemporaryDirectory() as place:
        session = which.session(Path(place) / "record.jsonl")
        screen = Screen(session)
        session.do(f"go {next(place.name for place in session.world.store.places.values() if place.kind == 'panel')}")
        screen.view()
        took = each_time(lambda: (session.do("smell"), screen.view())) * 1e3
        session.do("smell")
        calls = calls_of(screen.view)
        session.writer.close()
    yield at_most(f"a step and its view in {which.title}", took, "ms", 5.0)
    yield at_most(f"calls of Python for the view after a step in {which.title}", calls, "calls", 1000.0)

"""What `halfsplit bench` measures: opening, looking up properties, solving the network, running the store, grading."""

import json
import math
import statistics
import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

from course import bench_stores, many, notebooks
from course.bench_clocks import child, once
from course.bench_kernels import Room, look_up, solve_network
from course.bench_stores import SEED, STORES, WORLDS, easiest
from course.measuring import Row, at_least, at_most, each_time, median_time
from course.scoring import card_or_error

COLUMN = 200_000
"""Rows of one property look-up."""
NOTEBOOKS, RECORDS, CLASSES = 3, 8, 6
"""Notebooks executed before and after, records graded, and how often over for a class."""


def opening() -> Iterator[Row]:
    """How long somebody waits for a list, for the first preparation, for a call."""
    listing = "from course.cli import cli; cli(['calls'], standalone_mode=False)"
    yield at_most("list of calls, cold process", median_time(lambda: child(listing)), "s", 0.3)
    with tempfile.TemporaryDirectory() as empty:
        first = once(lambda: child("import scenarios.compiling.kernel", HALFSPLIT_CACHE=empty, HALFSPLIT_PREPARE="1"))
    yield at_most("first preparation after install", first, "s", 20.0)
    for which in STORES:
        yield from bench_stores.opening(which)


def properties() -> Iterator[Row]:
    """Saturation by table, beside asking CoolProp for one state after the other."""
    from CoolProp import CoolProp

    from scenarios.refrigeration import property_tables

    tables, pressures = property_tables.load("R-448A"), np.linspace(1.2e5, 25e5, COLUMN)
    ours = COLUMN / each_time(lambda: look_up(tables, pressures))
    peer = CoolProp.AbstractState("HEOS", "R448A.mix")
    theirs = 1.0 / each_time(lambda: peer.update(CoolProp.PQ_INPUTS, 8.0e5, 1.0))
    yield at_least("saturation look-up", ours, "rows/s", 1e6, f"CoolProp one by one, {theirs:.0f} rows/s", ours / theirs)
    yield at_least("saturation look-up over CoolProp one by one", ours / theirs, "times", 1000.0)


def network(nodes: int) -> tuple[Any, Any, Any, Any]:
    """A made-up network: a chain with rungs, milliohm joints beside gigaohm leaks; program, entries, admittances, leaks."""
    from scenarios.electrical.sparse import program_for

    chance = np.random.default_rng(SEED)
    joined = [(n, n + 1) for n in range(nodes - 1)] + [(n, n + 9) for n in range(0, nodes - 9, 3)]
    program, place, entry = program_for(nodes, joined)
    entries = np.array([entry[min(place[a], place[b]), max(place[a], place[b])] for a, b in joined])
    admittances = 10.0 ** chance.uniform(-1, 3, len(joined)) * np.exp(0.3j)
    leaks = np.full(nodes, 1e-9, complex)
    leaks[0] = 10.0
    return program, entries, admittances, leaks


def dense_solve(nodes: int, admittances: Any, leaks: Any, program: Any, entries: Any) -> Callable[[], Any]:
    """The same network as numpy solves it, from the same parameters."""
    rows, columns = np.repeat(np.arange(nodes), np.diff(program.start))[entries], program.later[entries]
    injected = np.zeros(nodes, complex)
    injected[0] = 100.0

    def work() -> Any:
        matrix = np.diag(leaks).astype(complex)
        np.add.at(matrix, (rows, rows), admittances)
        np.add.at(matrix, (columns, columns), admittances)
        np.subtract.at(matrix, (rows, columns), admittances)
        np.subtract.at(matrix, (columns, rows), admittances)
        return np.linalg.solve(matrix, injected)

    return work


def electrical() -> Iterator[Row]:
    """A network from parameters to volts, beside numpy's dense solver on the same one."""
    for nodes, alone, together in ((100, 0.2, 0.5), (400, 0.3, 2.0)):
        program, entries, admittances, leaks = network(nodes)
        peer = each_time(dense_solve(nodes, admittances, leaks, program, entries)) * 1e3
        for worlds, budget in ((1, alone), (WORLDS, together)):
            took = each_time(partial(solve_network, program, entries, admittances, leaks, worlds, Room.of(program, nodes))) * 1e3
            beside = f"numpy, dense, {peer * worlds:.2f} ms"
            yield at_most(f"network of {nodes} nodes, {worlds} world(s)", took, "ms", budget, beside, peer * worlds / took)


def store() -> Iterator[Row]:
    """Both stores in time."""
    for which in STORES:
        yield from bench_stores.running(which)


def clicking() -> Iterator[Row]:
    """Both stores under a hand."""
    for which in STORES:
        yield from bench_stores.clicking(which)


def night_of(folder: Path, seed: int = SEED) -> Path:
    """A record of the easiest call, taken as its exemplar takes it: some sixty steps."""
    from graders import replaying
    from scenarios.call import Session

    path = folder / f"record-{seed}.jsonl"
    session = Session.open(easiest(), seed, path)
    for line in replaying.key(easiest(), seed)["exemplars"][0]["steps"]:
        session.do(line)
    return path


def grading() -> Iterator[Row]:
    """Grading a record; then a class on all cores, beside executing its notebooks one by one, as the instructor's tool would.

    Notebooks come before and after the records, so that both meet the same machine; a sample stands for a class of two hundred.
    What is done once for a whole class, imports and bringing the suspects' nights in, is done before.
    """
    from graders.scorecard import grade

    with tempfile.TemporaryDirectory() as place:
        records = [night_of(Path(place), SEED + n) for n in range(RECORDS)]
        for record in records:
            grade(record)
        before = highest_memory()  # before any notebook: what that leaves behind is not ours
        ours = statistics.median(once(partial(grade, record)) for record in records * 2)
        grown = highest_memory() - before
        theirs = [once(partial(executed, Path(place))) for _ in range(NOTEBOOKS)][1:]
        each = class_time(records)
        theirs += [once(partial(executed, Path(place))) for _ in range(NOTEBOOKS)]
    peer = statistics.median(theirs)
    beside = f"nbclient, {peer:.2f} s a notebook"
    yield at_most("grade a record of some sixty steps, all suspects", ours, "s", 0.5, beside, peer / ours)
    if not math.isnan(grown):
        yield at_most(f"memory grown over {2 * len(records)} more records", grown, "MB", 5.0)
    yield at_least("a class on all cores over its notebooks one by one", peer / each, "times", 10.0, beside, peer / each)


def class_time(records: list[Path]) -> float:
    """Time of one record of a class [s]: of many, less what a few take, which is the start of the processes."""
    few = once(lambda: list(many.each(card_or_error, records)))
    lots = once(lambda: list(many.each(card_or_error, records * CLASSES)))
    return (lots - few) / ((CLASSES - 1) * len(records))


def highest_memory() -> float:
    """Most memory that this process has held [MB]; not a number where the system does not tell."""
    if find_spec("resource") is None:
        return math.nan
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def executed(folder: Path) -> Any:
    """Execute the notebook of the easiest call from first to last cell in a kernel of its own."""
    import nbclient
    import nbformat

    node = nbformat.reads(json.dumps(notebooks.notebook(easiest())), as_version=4)
    return nbclient.NotebookClient(node, resources={"metadata": {"path": str(folder)}}, timeout=120, allow_errors=True).execute()


GROUPS: dict[str, Callable[[], Iterator[Row]]] = {
    "opening": opening,
    "properties": properties,
    "electrical network": electrical,
    "the store": store,
    "a step": clicking,
    "grading": grading,
}

"""What a JSON Schema cannot say of the project's files: names that must agree, steps that must read, times that must rise."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from scenarios import steps
from scenarios.errors import BadRequest
from scenarios.faults.modes import MODES
from scenarios.files import keyfile
from scenarios.units import UNITS

Problem = tuple[tuple[Any, ...], str]


def _named(data: dict[str, Any], path: Path) -> Iterator[Problem]:
    if data["id"] != path.stem:
        yield ("id",), f"{data['id']!r} is not the name of the file, allowed is {path.stem!r}"


def _once(items: list[dict[str, Any]], place: tuple[Any, ...]) -> Iterator[Problem]:
    seen: set[str] = set()
    for n, item in enumerate(items):
        if item["id"] in seen:
            yield (*place, n, "id"), f"{item['id']!r} stands twice, allowed is once"
        seen.add(item["id"])


def call(data: dict[str, Any], path: Path) -> Iterator[Problem]:
    """Problems of a call file."""
    yield from _named(data, path)
    yield from _once(data["questions"], ("questions",))
    for n, question in enumerate(data["questions"]):
        if question["unit"] not in UNITS:
            yield ("questions", n, "unit"), f"{question['unit']!r} is not a unit, allowed are {' '.join(UNITS)}"
    for who, person in data["people"].items():
        yield from _once(person["lines"], ("people", who, "lines"))
    before = -1e9
    for n, (hour, dry, wet) in enumerate(data["weather"]):
        if hour <= before:
            yield ("weather", n), f"hour {hour:g} is not after {before:g}, allowed are rising hours"
        if wet > dry:
            yield ("weather", n), f"wet bulb {wet:g} is over dry bulb {dry:g}, allowed is at most the dry bulb"
        before = hour
    yield from _noise(data)


def _noise(data: dict[str, Any]) -> Iterator[Problem]:
    """Doors that stand open, against the circuits of the call's store."""
    from scenarios.store import files as store_files

    try:
        circuits = len(store_files.load(data["store"]).circuits)
    except BadRequest as error:
        yield ("store",), str(error)
        return
    for n, (_, circuit, minutes) in enumerate(data.get("noise", [])):
        if circuit not in range(1, circuits + 1) or minutes <= 0:
            yield ("noise", n), f"is not a circuit 1 to {circuits} for some minutes, allowed are hours, circuit, minutes"


def key(data: dict[str, Any], path: Path) -> Iterator[Problem]:
    """Problems of a key file."""
    yield from _named(data, path)
    taken: dict[str, str] = {}
    for name in keyfile.TAKEN:
        for n, entry in enumerate(data[name]):
            if entry["id"] in taken:
                yield (name, n, "id"), f"{entry['id']!r} stands twice, allowed is once among {' and '.join(keyfile.TAKEN)}"
            taken[entry["id"]] = name
            yield from _steps(entry["steps"], (name, n, "steps"))
    for n, group in enumerate(data["goals"]["service"]["repair"]):
        yield from _steps(group, ("goals", "service", "repair", n))
    yield from _truth(data["truth"], ("truth",))
    yield from _variants(data)
    for place, word in keyfile.unknown_words(data):
        yield place, f"${word} is no word of every variant, allowed beside those is the sum in `answer QUESTION $QUESTION UNIT`"


def _variants(data: dict[str, Any]) -> Iterator[Problem]:
    """Problems of a key's variants, which are counted from 0."""
    variants = data.get("variants", {})
    for k, (number, variant) in enumerate(variants.items()):
        if number != str(k):
            yield ("variants", number), f"is not the next variant, allowed is {k}: they are counted from 0"
        if "truth" in variant:
            yield from _truth(variant["truth"], ("variants", number, "truth"))
    if "faults" not in data and any("faults" not in variant for variant in variants.values() or [{}]):
        yield (), "faults is missing, needed here or in every variant"


def _truth(truth: dict[str, Any], place: tuple[Any, ...]) -> Iterator[Problem]:
    if "$" not in truth["mode"] and truth["mode"] not in MODES:
        yield (*place, "mode"), f"{truth['mode']!r} is not a fault word, allowed are {' '.join(MODES)}"
    _, *rest = truth["reason"].split(":", 2)
    if truth["reason"] != "unknown" and "$" not in truth["reason"] and (not rest or rest[0] not in MODES):
        yield (*place, "reason"), f"{truth['reason']!r} is not a reason, allowed is PART:MODE or PART:MODE:WHERE"


def _steps(lines: list[str], place: tuple[Any, ...]) -> Iterator[Problem]:
    """Steps that do not read; words with $ are filled in by variant and pass."""
    for n, line in enumerate(lines):
        try:
            steps.parse(line)
        except BadRequest as error:
            if "$" not in line:
                yield (*place, n), f"is not a step: {error}"


def derived(data: dict[str, Any], path: Path) -> Iterator[Problem]:
    """Problems of a derived file."""
    yield from _named(data, path)
    for number, variant in data["variants"].items():
        there = {entry["id"] for entry in variant["suspects"]}
        for n, group in enumerate(variant["inseparable"]):
            for name in (name for name in group if name not in there):
                yield ("variants", number, "inseparable", n), f"{name!r} is not one of the suspects, allowed are those"


def store(data: dict[str, Any], path: Path) -> Iterator[Problem]:
    """Problems of a store file, those of its wiring list and of its plant included."""
    from scenarios.store import check, read

    yield from _named(data, path)
    made, found = read.examined(data)
    yield from found
    if made is not None:
        yield from check.problems(made)


CHECKS: dict[str, Callable[[dict[str, Any], Path], Iterator[Problem]]] = {
    "call": call,
    "key": key,
    "derived": derived,
    "store": store,
}
"""Checks beyond the schema, by kind of file."""

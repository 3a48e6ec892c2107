"""One nomenclature: every field of a record and every figure of a formula has a meaning and a unit, and one name has one unit."""

import ast
import importlib
import re
from collections import defaultdict
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

import scenarios
from scenarios.compiling.quantities import ROW

ROOMS = ("refrigeration", "electrical", "controls")
HERE = Path(scenarios.__file__).parent
UNITS = {
    "-",
    "s",
    "min",
    "h",
    "m",
    "m2",
    "m3",
    "kg",
    "J",
    "W",
    "Pa",
    "C",
    "K",
    "V",
    "A",
    "ohm",
    "F",
    "H",
    "Hz",
    "rad",
    "S",
    "deg",
    "kg/s",
    "m3/s",
    "J/kg",
    "J/K",
    "W/K",
    "kg/m3",
    "kg/kg",
    "m/s",
    "1/s",
    "1/K",
    "Pa/K",
    "rad/s",
    "Hz/s",
    "N m",
    "J/(kg K)",
    "W/(m2 K)",
    "A2 s",
    "kg m2",
    "m3/kg",
    "kg/J",
    "K/W",
    "kg/(s K)",
    "Pa s2/kg2",
    "row",
}
"""Units that records may use: SI, degrees Celsius, time of control settings in seconds; a row of another table is a row."""


def modules() -> list[Any]:
    """Every module of the physics rooms."""
    names = [
        f"scenarios.{room}.{path.stem}"
        for room in ROOMS
        for path in sorted((HERE / room).glob("*.py"))
        if path.stem != "__init__" and not path.stem.startswith("build_")
    ]
    return [importlib.import_module(name) for name in names]


def records() -> list[type]:
    """Every record that those modules declare."""
    found: list[type] = []
    for module in modules():
        for item in vars(module).values():
            own = isinstance(item, type) and item.__module__ == module.__name__ and is_dataclass(item)
            if own and any("unit" in field.metadata for field in fields(item)):
                found.append(item)
    return found


def test_there_are_records_in_each_room() -> None:
    assert {record.__module__.split(".")[1] for record in records()} == set(ROOMS)


@pytest.mark.parametrize("record", records(), ids=lambda record: f"{record.__module__.rpartition('.')[2]}.{record.__name__}")
def test_every_field_has_meaning_and_unit(record: Any) -> None:
    wrong = [field.name for field in fields(record) if not field.metadata.get("meaning") or field.metadata.get("unit") not in UNITS]
    assert wrong == []
    assert record.__doc__
    assert not record.__doc__.startswith(record.__name__ + "(")


def family(record: type) -> str:
    """Room and sort of a record: parameters, states and what one step yields may share a name (``shell`` and its temperature)."""
    sort = next((ending for ending in ("State", "Step") if record.__name__.endswith(ending)), "")
    return f"{record.__module__.split('.')[1]} {sort}"


def test_one_name_has_one_unit() -> None:
    units: dict[tuple[str, str], set[str]] = defaultdict(set)
    for record in records():
        for field in [field for field in fields(record) if field.metadata["unit"] != ROW]:
            units[family(record), field.name].add(field.metadata["unit"])
    assert {name: sorted(found) for name, found in units.items() if len(found) > 1} == {}


def formulas() -> list[tuple[str, ast.FunctionDef]]:
    """Every public compiled function of the physics rooms."""
    found = []
    for room in ROOMS:
        for path in sorted((HERE / room).glob("*.py")):
            for node in ast.parse(path.read_text("utf-8")).body:
                public = isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
                if public and any(isinstance(mark, ast.Name) and mark.id == "compiled" for mark in node.decorator_list):
                    found.append((f"{room}.{path.stem}.{node.name}", node))
    return found


EVERYWHERE = {"dt"}
"""Known to every reader: the step [s]."""


def undocumented(node: ast.FunctionDef) -> list[str]:
    """Figures whose unit a formula's docstring does not give: `name : float` with `[unit]` below, or ``name [unit]`` in text."""
    text = ast.get_docstring(node) or ""
    figures = [a.arg for a in node.args.args if isinstance(a.annotation, ast.Name) and a.annotation.id in {"float", "complex"}]
    missing = []
    for name in [figure for figure in figures if figure not in EVERYWHERE]:
        entry = re.search(rf"^(?:\w+, )*{name}(?:, \w+)* : .*(?:\n+[ \t]+.*)*", text, re.M)
        listed = entry and re.search(r"\[[^\]]+\]", entry[0])
        if not listed and not re.search(rf"(?<!\w){name}`* \[[^\]]+\]", text):
            missing.append(name)
    return missing


@pytest.mark.parametrize(("name", "node"), formulas(), ids=[name for name, _ in formulas()])
def test_every_formula_documents_its_units(name: str, node: ast.FunctionDef) -> None:
    assert ast.get_docstring(node)
    assert undocumented(node) == []

"""Kinds of facts, incidents, events and things left: is each raised somewhere, and looked for somewhere?"""

import ast
from collections.abc import Iterator
from enum import StrEnum
from pathlib import Path

import pytest

from scenarios.controls.alarms import KINDS
from scenarios.electrical import settle
from scenarios.electrical.network import HAPPENINGS
from scenarios.facts import AlarmKind, EventKind, FactKind, IncidentKind, LeftKind, SawKind
from scenarios.verbs import Changes, Near, Risk, Takes, Where

ROOT = Path(__file__).resolve().parent.parent
RAISES = {
    "Fact",
    "_fact",
    "Outcome",
    "Incident",
    "Event",
    "Saw",
    "Verb",
    "_sense",
    "_probe",
    "_read",
    "_act",
    "_hands",
    "_pad",
    "_over",
}
"""Calls in which a kind that is named is raised, and not looked for."""
Uses = set[tuple[str, str]]


def uses(path: Path) -> Iterator[tuple[str, str, bool]]:
    """Enumeration, member, and whether it is raised there: within a call that raises, or yielded."""

    def walk(node: ast.AST, raised: bool) -> Iterator[tuple[str, str, bool]]:
        name = getattr(node.func, "attr", getattr(node.func, "id", "")) if isinstance(node, ast.Call) else ""
        raised = raised or name in RAISES or isinstance(node, ast.Yield)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            yield node.value.id, node.attr, raised
        for child in ast.iter_child_nodes(node):
            yield from walk(child, raised and not isinstance(node, ast.Compare))

    return walk(ast.parse(path.read_text("utf-8")), False)


@pytest.fixture(scope="module")
def found() -> tuple[Uses, Uses]:
    """What the packages raise, and what they look for."""
    paths = [path for room in ("scenarios", "graders", "course") for path in (ROOT / room).rglob("*.py")]
    all_uses = [use for path in paths for use in uses(path)]
    return {use[:2] for use in all_uses if use[2]}, {use[:2] for use in all_uses if not use[2]}


@pytest.mark.parametrize("kinds", [FactKind, IncidentKind])
def test_is_every_kind_raised_and_looked_for(kinds: type[StrEnum], found: tuple[Uses, Uses]) -> None:
    raised, wanted = found
    for kind in kinds:
        assert (kinds.__name__, kind.name) in raised, f"{kind!r} is raised nowhere"
        assert (kinds.__name__, kind.name) in wanted, f"{kind!r} is looked for nowhere"


def test_what_may_be_left_is_raised_and_told_apart(found: tuple[Uses, Uses]) -> None:
    raised, wanted = found
    assert {kind for kind in LeftKind if ("LeftKind", kind.name) not in raised} == set()
    assert {LeftKind[name] for kinds, name in wanted if kinds == "LeftKind"} == {LeftKind.BYPASS, LeftKind.BRIDGE, LeftKind.LIFTED}


def test_what_a_step_showed_is_raised_by_a_verb_or_by_the_session(found: tuple[Uses, Uses]) -> None:
    from scenarios.verbs import VERBS

    by_verbs = {verb.saw for verb in VERBS.values()}
    assert {kind for kind in SawKind if kind not in by_verbs and ("SawKind", kind.name) not in found[0]} == set()
    assert by_verbs <= set(SawKind)


@pytest.mark.parametrize("kinds", [Changes, Where, Takes, Near, Risk])
def test_every_value_of_a_column_stands_in_some_row(kinds: type[StrEnum]) -> None:
    from dataclasses import astuple

    from scenarios.verbs import VERBS

    values = [value for verb in VERBS.values() for value in astuple(verb) if isinstance(value, kinds)]
    assert set(values) == set(kinds)


def test_the_physics_raises_every_event_and_alarm_by_its_number() -> None:
    """The numbers are the kernel's own; what they mean stands once."""
    assert list(HAPPENINGS.values()) == list(EventKind)
    assert sorted(HAPPENINGS) == list(range(1, len(EventKind) + 1))
    named = {name for name, value in vars(settle).items() if isinstance(value, int) and value in HAPPENINGS}
    assert named >= {"TRIP", "MELT", "OVERLOAD", "PULL", "DROP", "DRIVE", "BURN", "CHATTER", "START", "GROWL", "GUARD"}
    assert set(KINDS) == set(AlarmKind)

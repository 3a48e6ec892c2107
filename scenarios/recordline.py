"""One line of a record: its keys, their types, and reading it from bytes that nobody vouches for."""

import json
import re
from collections.abc import Callable
from datetime import datetime
from typing import Any, NamedTuple

from scenarios.errors import BadRequest
from scenarios.facts import SawKind

SCHEMA = "halfsplit-record/1"
"""Schema of the records that this version writes and reads."""

REMEDY = "hand in the record as the course wrote it"

SAW_KINDS = frozenset(map(str, SawKind))
"""Kinds of what was seen."""
READING_KINDS = frozenset(
    (
        "volts",
        "amps",
        "ohms",
        "insulation",
        "pressure",
        "temperature",
        "seconds",
        "look",
        "sound",
        "smell",
        "speed",
        "display",
        "dial",
        "nameplate",
    )
)
"""Kinds of a single reading."""


class Rule(NamedTuple):
    """What a key must hold, in words and as a test."""

    says: str
    holds: Callable[[Any], bool]
    needed: bool = True


def _number(value: Any, least: float = -1e9, most: float = 1e9) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and least <= value <= most  # no NaN lies between


def _whole(value: Any, least: int = -(2**63), most: int = 2**63 - 1) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and least <= value <= most


def _text(value: Any, most: int = 4000, least: int = 0) -> bool:
    return isinstance(value, str) and least <= len(value) <= most and not any("\ud800" <= c <= "\udfff" for c in value)


def _word(value: Any) -> bool:
    return _text(value, 80, 1) and value.isprintable() and not any(c.isspace() for c in value)


def _hash(value: Any) -> bool:
    return isinstance(value, str) and re.fullmatch("[0-9a-f]{64}", value) is not None


def _clock(value: Any) -> bool:
    if not isinstance(value, str) or not re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z", value):
        return False
    try:
        datetime.fromisoformat(value)
    except ValueError:
        return False
    return True


def _reading(value: Any) -> bool:
    return (
        isinstance(value, dict)
        and set(value) == {"of", "kind", "shown", "unit"}
        and value["kind"] in READING_KINDS
        and all(_text(text, 400) for text in value.values())
    )


def _saw(value: Any) -> bool:
    return (
        isinstance(value, dict)
        and set(value) == {"text", "kind", "readings", "minutes"}
        and _text(value["text"], 12_000)
        and isinstance(value["kind"], str)
        and value["kind"] in SAW_KINDS
        and isinstance(value["readings"], list)
        and all(_reading(reading) for reading in value["readings"])
        and _number(value["minutes"], 0, 1e5)
    )


HEAD: dict[str, Rule] = {
    "schema": Rule(f"{SCHEMA!r}", lambda value: value == SCHEMA),
    "call": Rule("the id of a call", _word),
    "seal": Rule("64 hexadecimal digits", _hash),
    "version": Rule("the version of the package", _word),
    "engine": Rule("the digest of what decides its replay", lambda value: _word(value) or _whole(value)),
    "step": Rule("the step of the simulation in seconds", lambda value: _number(value, 1e-3, 3600)),
    "grid": Rule("the state grid", lambda value: _number(value)),
    "seed": Rule("a whole number", _whole),
    "units": Rule("the units shown", _word),
    "prev": Rule("64 hexadecimal digits", _hash, needed=False),
}
LINE: dict[str, Rule] = {
    "n": Rule("a whole number from 1", lambda value: _whole(value, 1, 10**6)),
    "t": Rule("seconds since the ticket", lambda value: _number(value, 0, 1e8)),
    "step": Rule("a step of at most 2000 characters in one line", lambda value: _text(value, 2000, 1) and value.isprintable()),
    "saw": Rule("text, kind, readings and minutes of a known kind", _saw),
    "at": Rule("a time in UTC, as 2026-01-05T03:41:10Z", _clock),
    "prev": Rule("64 hexadecimal digits", _hash),
}

MOST_BRACKETS = 4000
"""More than the longest step and its readings hold; how deep a parser goes before it gives up differs between Pythons."""


def load(row: bytes, where: str, rules: dict[str, Rule]) -> dict[str, Any]:
    """One line as a dictionary that obeys its rules.

    Raises
    ------
    BadRequest
        ``where: what is wrong; what to do``.
    """
    if row.count(b"[") + row.count(b"{") > MOST_BRACKETS:
        raise BadRequest(f"{where}: nested too deep to be a line of a record; {REMEDY}")
    try:
        got = json.loads(row.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_constant)
    except UnicodeDecodeError as error:
        raise BadRequest(f"{where}: not UTF-8 at byte {error.start + 1}; {REMEDY}") from error
    except (ValueError, RecursionError) as error:
        detail = error.msg if isinstance(error, json.JSONDecodeError) else str(error)
        raise BadRequest(f"{where}: not JSON ({detail}); {REMEDY}") from error
    if not isinstance(got, dict):
        raise BadRequest(f"{where}: not a JSON object; this is no record, choose another file")
    if "schema" in rules and got.get("schema") != SCHEMA:
        raise BadRequest(
            f"{where}: schema {str(got.get('schema'))[:40]!r} is not {SCHEMA!r}; "
            "this is no record, or one of another version of the course: choose another file or version"
        )
    for key, rule in rules.items():
        if key not in got and rule.needed:
            raise BadRequest(f"{where}: {key} is missing ({rule.says}); {REMEDY}")
        if key in got and not rule.holds(got[key]):
            raise BadRequest(f"{where}: {key} is not {rule.says}; {REMEDY}")
    if foreign := [key for key in got if key not in rules]:
        raise BadRequest(f"{where}: unknown key {foreign[0][:40]!r}, allowed are {' '.join(rules)}; {REMEDY}")
    return got


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    got = dict(pairs)
    if len(got) != len(pairs):
        raise ValueError("a key stands twice in one object")
    return got


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is not a number of JSON")

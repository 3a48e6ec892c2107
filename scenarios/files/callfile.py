"""Call, key, derived and store files: read against their JSON Schema, every problem at once with the line it stands on.

``dark_rack.yaml:6 level: 'easy' is not allowed, allowed are first own hard``
"""

import difflib
import hashlib
import json
import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from scenarios.compiling.caches import home
from scenarios.errors import BadRequest
from scenarios.files import filechecks, keyfile, yamlfile
from scenarios.files.yamlfile import FOLDERS, HERE

MOST_PROBLEMS = 60
"""Most problems that are listed of one file."""


def names(kind: str) -> list[str]:
    """Ids of all files of a kind: call, key, derived or store."""
    return sorted(path.stem for path in FOLDERS[kind].glob("*.yaml"))


def path_of(kind: str, name: str) -> Path:
    """Path of one file by its id.

    Raises
    ------
    BadRequest
        There is no such file; the sentence names what there is.
    """
    known = names(kind)
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1)
        meant = f" (did you mean {near[0]}?)" if near else ""
        raise BadRequest(f"no {kind} {name[:40]!r}{meant}; there are {', '.join(known) or 'none'}")
    return FOLDERS[kind] / f"{name}.yaml"


def load_call(name: str) -> dict[str, Any]:
    """One call file, checked."""
    return load(path_of("call", name), "call")


def load_key(name: str) -> dict[str, Any]:
    """One key file, checked."""
    return load(path_of("key", name), "key")


def load_store(name: str) -> dict[str, Any]:
    """One store file, checked."""
    return load(path_of("store", name), "store")


def load(path: Path, kind: str) -> dict[str, Any]:
    """Read one file of a kind.

    Raises
    ------
    BadRequest
        One line per problem, all at once: ``file:line path: what is wrong, what is allowed``.
    """
    stamp = _stamp(path, kind)
    if stamp.exists():
        return dict(yamlfile.load(path))
    data, found = examined(path, kind)
    if found:
        raise BadRequest("\n".join(found))
    try:
        stamp.parent.mkdir(parents=True, exist_ok=True)
        stamp.touch()
    except OSError:
        pass  # a read-only home: the file is examined again next time
    return data


def outline(path: Path, kind: str) -> dict[str, Any]:
    """One file, held against its schema alone: to be listed it need not have passed the checks, which want the compiled physics.

    Raises
    ------
    BadRequest
        As for `load`.
    """
    if _stamp(path, kind).exists():
        return dict(yamlfile.load(path))
    data, found = _formal(path, kind)
    if found:
        raise BadRequest("\n".join(_listed(path, found)))
    return data


def _stamp(path: Path, kind: str) -> Path:
    """Empty file whose name says that these bytes passed these checks; examining costs a second, the schema library most of it."""
    try:
        told = path.read_bytes()
    except OSError as error:
        raise BadRequest(f"{path}: cannot be read ({error.strerror}); check the name and your rights") from error
    sources = [HERE / "schemas" / f"{kind}.json", Path(__file__), Path(filechecks.__file__), Path(keyfile.__file__)]
    if kind == "call":  # how many circuits may be propped open is its store's to say
        sources += sorted(FOLDERS["store"].glob("*.yaml"))
    if kind == "store":  # its records are declared all over the physics
        rooms = ("compiling", "electrical", "refrigeration", "controls", "store", "parts")
        sources += sorted(path for room in rooms for path in (HERE / room).glob("*.py"))
    seal = hashlib.sha256(b"\0".join([kind.encode(), path.stem.encode(), told, *(source.read_bytes() for source in sources)]))
    return home() / "checked" / seal.hexdigest()[:32]


def examined(path: Path, kind: str) -> tuple[dict[str, Any], list[str]]:
    """What a file holds, and every problem it has."""
    data, found = _formal(path, kind)
    return data, _listed(path, found or filechecks.CHECKS[kind](_plain(data), path))


def _formal(path: Path, kind: str) -> tuple[dict[str, Any], list[filechecks.Problem]]:
    """What a file holds, and what its form alone has wrong: keys that stand twice, and the schema."""
    data = yamlfile.load(path)
    return data, [*_twice(path), *_against_schema(_plain(data), kind)]


def _listed(path: Path, found: Iterable[filechecks.Problem]) -> list[str]:
    """Problems as lines with file, line and place, in order of the lines."""
    at = yamlfile.lines(path)
    told = sorted(((_line(at, place), place, text) for place, text in found), key=lambda problem: problem[0])
    more = [f"{path.name}: {len(told) - MOST_PROBLEMS} more problems; correct these first"] * (len(told) > MOST_PROBLEMS)
    return [f"{path.name}:{line} {_dotted(place)}: {text}" for line, place, text in told[:MOST_PROBLEMS]] + more


@cache
def schema(kind: str) -> dict[str, Any]:
    """JSON Schema of a kind of file."""
    got: dict[str, Any] = json.loads((HERE / "schemas" / f"{kind}.json").read_text("utf-8"))
    return got


def _against_schema(data: Any, kind: str) -> Iterator[tuple[tuple[Any, ...], str]]:
    """Problems against the schema, in words."""
    import jsonschema  # here, so that a list of calls need not wait for it

    for error in jsonschema.Draft202012Validator(schema(kind)).iter_errors(data):
        yield from _worded(error)


def _worded(error: Any) -> Iterator[tuple[tuple[Any, ...], str]]:
    """One schema error as places and sentences: what is wrong, what is allowed."""
    place, value, rule, said = tuple(error.absolute_path), error.instance, error.validator_value, error.schema.get("description")
    if error.validator == "additionalProperties":
        allowed = list(error.schema.get("properties", {}))
        for key in value:
            if key not in allowed and not _patterned(key, error.schema):
                near = difflib.get_close_matches(str(key), allowed, n=1)
                meant = f" (did you mean {near[0]}?)" if near else ""
                yield (*place, key), f"unknown key{meant}, allowed are {' '.join(allowed) or said or 'none'}"
        return
    texts: dict[str, Callable[[], str]] = {
        "enum": lambda: f"{_short(value)} is not allowed, allowed are {' '.join(map(str, rule))}",
        "const": lambda: f"{_short(value)} is not allowed, allowed is {rule}",
        "type": lambda: f"{_short(value)} is not {WORDS.get(str(rule), rule)}" + (f", allowed is {said}" if said else ""),
        "pattern": lambda: f"{_short(value)} is not {said or 'of the form ' + rule}",
        "minimum": lambda: f"{value} is too small, allowed is {rule} or more",
        "maximum": lambda: f"{value} is too large, allowed is {rule} or less",
        "minLength": lambda: "is empty, allowed is a text",
        "maxLength": lambda: f"is {len(value)} letters long, allowed are {rule}",
        "minItems": lambda: f"has {len(value)} items, allowed are {rule} or more" + (f": {said}" if said else ""),
        "maxItems": lambda: f"has {len(value)} items, allowed are at most {rule}" + (f": {said}" if said else ""),
        "minProperties": lambda: f"has {len(value)} keys, allowed are {rule} or more",
        "uniqueItems": lambda: "holds the same item twice, allowed is each once",
        "anyOf": lambda: f"{_short(value)} is not {said}",
    }
    if error.validator == "required":
        for key in (key for key in rule if key not in value):
            if error.message.startswith(repr(key)):
                yield place, f"{key} is missing, needed are {' '.join(rule)}"
        return
    yield place, texts[error.validator]() if error.validator in texts else str(error.message)


WORDS = {
    "object": "a mapping",
    "array": "a list",
    "string": "a text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
}
"""Types of JSON Schema in words."""


def _patterned(key: str, rules: dict[str, Any]) -> bool:
    return any(re.search(pattern, key) for pattern in rules.get("patternProperties", {}))


def _plain(data: Any) -> Any:
    """The same with every key a text, as JSON has it."""
    if isinstance(data, dict):
        return {str(key): _plain(value) for key, value in data.items()}
    return [_plain(value) for value in data] if isinstance(data, list) else data


def _twice(path: Path) -> Iterator[tuple[tuple[Any, ...], str]]:
    """Keys that stand twice in one mapping: YAML would silently take the last."""

    def walk(node: yaml.Node | None, place: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], str]]:
        if isinstance(node, yaml.MappingNode):
            seen: set[str] = set()
            for key, value in node.value:
                if key.value in seen:
                    yield (*place, key.value), "stands twice, allowed is once"
                seen.add(key.value)
                yield from walk(value, (*place, key.value))
        elif isinstance(node, yaml.SequenceNode):
            for n, value in enumerate(node.value):
                yield from walk(value, (*place, n))

    yield from walk(yaml.compose(path.read_text("utf-8"), yamlfile.Loader), ())


def _line(at: dict[tuple[str | int, ...], int], place: tuple[Any, ...]) -> int:
    """Line of a place, or of the nearest thing around it."""
    while place and place not in at:
        place = place[:-1]
    return at.get(place, 1)


def _dotted(place: tuple[Any, ...]) -> str:
    text = "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in place)
    return text.lstrip(".") or "file"


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."

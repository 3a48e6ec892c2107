"""Blocks of a store file: text repeated with ``$n``; every part, bundle and string knows where it stands in the file."""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any, NamedTuple

Path = tuple[Any, ...]


class Entry(NamedTuple):
    """One part, bundle or string with its numbers put in."""

    path: Path
    """Where it stands in the file."""
    mark: str
    told: Mapping[str, Any]


def with_numbers(text: Any, numbers: Mapping[str, Any]) -> Any:
    """Put numbers for ``$n`` into every key and text below a piece of a store file.

    >>> with_numbers({"Q$n": {"says": "breaker $n", "amps": 15}}, {"n": 3})
    {'Q3': {'says': 'breaker 3', 'amps': 15}}
    """
    if isinstance(text, Mapping):
        return {with_numbers(key, numbers): with_numbers(value, numbers) for key, value in text.items()}
    if isinstance(text, list):
        return [with_numbers(item, numbers) for item in text]
    if isinstance(text, str):
        for name in sorted(numbers, key=len, reverse=True):
            text = text.replace(f"${name}", str(numbers[name]))
    return text


def bodies(store: Mapping[str, Any]) -> Iterator[tuple[Path, Mapping[str, Any], Mapping[str, Any]]]:
    """Every repetition of every block, then the file itself: where it stands, its content and its numbers."""
    for n, block in enumerate(store.get("blocks", ())):
        loops = block.get("for", {})
        for values in product(*loops.values()):
            yield ("blocks", n), block, dict(zip(loops, values, strict=True))
    yield (), store, {}


def devices(store: Mapping[str, Any]) -> list[Entry]:
    """What is said of parts, in order; one part may be said twice, in a block and below."""
    return [
        Entry((*path, "devices", mark), with_numbers(mark, numbers), with_numbers(told, numbers))
        for path, body, numbers in bodies(store)
        for mark, told in body.get("devices", {}).items()
    ]


def runs(store: Mapping[str, Any], kind: str) -> list[Entry]:
    """All ``bundles`` or ``strings``, in order."""
    return [
        Entry((*path, kind, n), str(with_numbers(told["wire"], numbers)), with_numbers(told, numbers))
        for path, body, numbers in bodies(store)
        for n, told in enumerate(body.get(kind, ()))
    ]

"""Blocks of a store file: text repeated with ``$n``, and parts said in two places made one."""

from itertools import product
from typing import Any


def with_numbers(text: Any, numbers: dict[str, Any]) -> Any:
    """Put numbers for ``$n`` into every key and text below a piece of a store file.

    >>> with_numbers({"Q$n": {"says": "breaker $n", "amps": 15}}, {"n": 3})
    {'Q3': {'says': 'breaker 3', 'amps': 15}}
    """
    if isinstance(text, dict):
        return {with_numbers(key, numbers): with_numbers(value, numbers) for key, value in text.items()}
    if isinstance(text, list):
        return [with_numbers(item, numbers) for item in text]
    if isinstance(text, str):
        for name, number in numbers.items():
            text = text.replace(f"${name}", str(number))
    return text


def expanded_blocks(blocks: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], list[str]]:
    """Every repetition of every block, and what is wrong with them."""
    found, problems = [], []
    for place, block in enumerate(blocks):
        unknown = sorted(set(block) - {"for", "devices", "bundles", "strings"})
        if unknown:
            problems.append(f"blocks[{place}]: {', '.join(unknown)} unknown; allowed are for, devices, bundles, strings")
        loops = block.get("for", {})
        body = {key: value for key, value in block.items() if key != "for"}
        for values in product(*loops.values()):
            found.append(with_numbers(body, dict(zip(loops, values, strict=True))))
    return found, problems


def merged_devices(sources: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Parts by mark; keys said later are added to, or replace, those said before.

    >>> merged_devices([{"Q1": {"kind": "breaker3"}}, {"Q1": {"amps": 50}}])
    {'Q1': {'kind': 'breaker3', 'amps': 50}}
    """
    found: dict[str, dict[str, Any]] = {}
    for source in sources:
        for mark, entry in source.items():
            found.setdefault(mark, {}).update(entry)
    return found

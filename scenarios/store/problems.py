"""What is wrong with a store file: where, and a sentence that says what is wrong and what is allowed."""

import difflib
from collections.abc import Iterable
from typing import Any

Path = tuple[Any, ...]
"""A place in a store file: ``("racks", 0, "groups", 1)``."""
Problem = tuple[Path, str]


class Problems:
    """Collects them. A place is complained of once: what a block repeats is one mistake, not one in every repetition."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def add(self, path: Path, text: str) -> None:
        """Keep one, unless its line of a block has one already."""
        if path[:1] == ("blocks",) and any(path == known for known, _ in self.found):
            return
        self.found.append((path, text))


def dotted(path: Path) -> str:
    """A place in the file as one writes it: ``racks[0].groups[1].mark``."""
    text = "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)
    return text.lstrip(".") or "file"


def near(word: Any, allowed: Iterable[str]) -> str:
    """What may have been meant, in brackets; empty where nothing is alike.

    >>> near("braker3", ["breaker3", "fuse"])
    ' (did you mean breaker3?)'
    """
    found = difflib.get_close_matches(str(word), list(allowed), n=1)
    return f" (did you mean {found[0]}?)" if found else ""

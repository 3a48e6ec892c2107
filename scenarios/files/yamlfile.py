"""YAML files of the project: safe, small, and able to say on which line a mistake stands.

Plain words stay words: only ``true`` and ``false`` are booleans (YAML 1.2), so a contact may be called ``no`` and a key ``on``.
"""

import re
from pathlib import Path
from typing import Any

import yaml

from scenarios.errors import BadRequest

HERE = Path(__file__).resolve().parent.parent
FOLDERS = {"call": HERE / "calls", "key": HERE / "keys", "derived": HERE / "derived", "store": HERE / "stores"}
"""Where each kind of file lives."""
MOST_BYTES = 1_000_000
"""Largest file that is read [bytes]."""
MOST_ALIASES = 50
"""Most repeated nodes: more is a bomb, not a store."""


class Loader(yaml.SafeLoader):
    """Safe loader that keeps ``yes``, ``no``, ``on`` and ``off`` as words and counts aliases."""

    aliases = 0

    def compose_node(self, parent: Any, index: Any) -> Any:
        """Compose one node; refuse a file that lives by repetition."""
        if self.check_event(yaml.AliasEvent):
            self.aliases += 1
            if self.aliases > MOST_ALIASES:
                raise yaml.YAMLError(f"more than {MOST_ALIASES} aliases")
        return super().compose_node(parent, index)


Loader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in rules if tag.rpartition(":")[2] not in ("bool", "int", "timestamp")]
    for first, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(?:true|false)$"), list("tf"))
Loader.add_implicit_resolver("tag:yaml.org,2002:int", re.compile(r"^[-+]?[0-9]+$"), list("-+0123456789"))


def load(path: Path) -> Any:
    """Read one YAML file.

    Raises
    ------
    BadRequest
        The file is missing, too large, or not YAML; the sentence says where.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BadRequest(f"{path}: larger than {MOST_BYTES} bytes; split it or remove what is not needed")
        return yaml.load(path.read_text("utf-8"), Loader)
    except OSError as error:
        raise BadRequest(f"{path}: cannot be read ({error.strerror}); check the name and your rights") from error
    except (yaml.YAMLError, UnicodeDecodeError, RecursionError) as error:
        mark = getattr(error, "problem_mark", None)
        line = f":{mark.line + 1}" if mark else ""
        what = getattr(error, "problem", None) or error
        raise BadRequest(f"{path}{line}: not readable as YAML ({what}); correct that line") from error


def lines(path: Path) -> dict[tuple[str | int, ...], int]:
    """Line number of every key and item of a YAML file, by path: ``('devices', 'K5', 'kind') -> 41``."""
    found: dict[tuple[str | int, ...], int] = {}

    def walk(node: yaml.Node, path: tuple[str | int, ...]) -> None:
        found[path] = node.start_mark.line + 1
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                walk(value, (*path, key.value))
                found[(*path, key.value)] = key.start_mark.line + 1
        elif isinstance(node, yaml.SequenceNode):
            for n, value in enumerate(node.value):
                walk(value, (*path, n))

    root = yaml.compose(path.read_text("utf-8"), Loader)
    if root is not None:
        walk(root, ())
    return found

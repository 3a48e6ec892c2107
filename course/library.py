"""The calls on the shelf, as a trainee may see them: read from the call files alone, without physics and without keys."""

import functools
import re
from pathlib import Path
from typing import Any

import yaml

from scenarios.errors import BadRequest
from scenarios.files import yamlfile

CALLS = yamlfile.FOLDERS["call"]
"""Folder of the call files."""
LEVELS = ("first", "own", "hard")
"""Levels in the order in which a beginner meets them: first nights, on your own, hard."""
ROW = ("id", "title", "level", "minutes", "skills")
"""What `halfsplit calls --json` promises of each call."""


def call_files() -> dict[str, Path]:
    """Call id -> its file, in order of the ids."""
    return {path.stem: path for path in sorted(CALLS.glob("*.yaml"))}


def call_file(call: str) -> Path:
    """The file of one call.

    Raises
    ------
    BadRequest
        There is no such call; the sentence names those there are.
    """
    known = call_files()
    if call not in known:
        raise BadRequest(f"{call}: no call of that name; `halfsplit calls` lists them: {', '.join(known) or 'none is installed'}")
    return known[call]


def about(call: str) -> dict[str, Any]:
    """Everything the call file says."""
    entry = yamlfile.load(call_file(call))
    if not isinstance(entry, dict):
        raise BadRequest(f"{call_file(call)}: holds no call; install the package again")
    return entry


def row(path: Path) -> dict[str, Any]:
    """What the list of calls says of one call, and its status.

    Reads only the entries it needs: a whole call file costs thirty milliseconds, and a list of twelve must open at once.
    """
    names = (*ROW, "status")
    entries = re.split(r"^(?=[a-z_]+:)", path.read_text("utf-8"), flags=re.M)
    wanted = "".join(entry for entry in entries if entry.partition(":")[0] in names)
    try:
        entry = yaml.load(wanted, yamlfile.Loader)
    except yaml.YAMLError:
        entry = yamlfile.load(path)  # says on which line it fails
    return {key: (entry or {}).get(key) for key in names}


@functools.cache
def ticket(call: str) -> dict[str, str]:
    """The ticket: who rang, what they say, the way in, the weather."""
    return {str(name): str(words) for name, words in (about(call).get("ticket") or {}).items()}


def rows() -> list[dict[str, Any]]:
    """All calls but drafts as `halfsplit calls --json` shows them, easiest and shortest first."""
    read = [row(path) for path in call_files().values()]
    found = [{key: r[key] for key in ROW} for r in read if r["status"] != "draft"]
    return sorted(found, key=lambda r: (*(r["level"] != level for level in LEVELS[:-1]), r["minutes"] or 0, r["id"] or ""))


def listed() -> list[str]:
    """Ids of all calls but drafts, sorted."""
    return sorted(r["id"] for r in rows())


def skills() -> list[str]:
    """Every skill that some call names, sorted."""
    return sorted({skill for known in rows() for skill in known["skills"] or ()})


def store_rows() -> list[dict[str, Any]]:
    """What `halfsplit stores --json` promises of each store: what it is called and how large it is."""
    from scenarios.files import callfile
    from scenarios.store.read import read

    found = []
    for name in callfile.names("store"):
        store = read(callfile.outline(callfile.path_of("store", name), "store"))
        found.append(
            {
                "id": store.id,
                "title": store.title,
                "supply": store.supply.title,
                "refrigerants": list(dict.fromkeys(rack.refrigerant for rack in store.racks)),
                "racks": len(store.racks),
                "groups": len(store.groups),
                "compressors": len(store.compressors),
                "circuits": len(store.circuits),
                "nodes": len(store.wiring.terminals),
            }
        )
    return found

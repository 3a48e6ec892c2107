"""What the engine worked out of a call and its key: read, held against what it was made of, and written.

It stands beside the key, ``derived/<id>.yaml``, so that a key says truth, story and what its author insists on and nothing else.
`halfsplit derive` makes it (`graders.deriving`); nobody else writes there.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import yaml

from scenarios.content import seal_of
from scenarios.errors import BadRequest
from scenarios.files import callfile
from scenarios.files.yamlfile import FOLDERS

SCHEMA = 1
HEADING = "# Worked out by `halfsplit derive {id}`; never edited: change call, key or store, and derive again.\n"
SAYS = {
    "call": "its call has changed",
    "key": "its key has changed",
    "store": "the store has changed",
    "engine": "another version worked it out",
}
"""What a derived file is made of, and what is said where that is another now."""


def short(*parts: Any) -> str:
    """Sixteen hex digits of content."""
    return seal_of(*parts)[:16]


def load(name: str, made_of: Mapping[str, str]) -> dict[str, Any]:
    """The derived file of a call, if it is there and follows from what it is held against.

    Parameters
    ----------
    name : str
        Id of the call.
    made_of : mapping
        Digests of what it must have been made of, by the names of `SAYS`.

    Raises
    ------
    BadRequest
        It is missing, stale or edited; the sentence says which, and what to run.
    """
    run = f"run `halfsplit derive {name}`"
    path = FOLDERS["derived"] / f"{name}.yaml"
    if not path.is_file():
        raise BadRequest(f"{path.parent.name}/{path.name}: missing, and {name} cannot be graded without; {run}")
    data = callfile.load(path, "derived")
    wrong = [SAYS[what] for what in stale(data, made_of)]
    if data["holds"] != short(held(data)):
        wrong.append("it was edited by hand")
    if wrong:
        raise BadRequest(f"{path.parent.name}/{path.name}: stale, for {' and '.join(wrong)}; {run}")
    return data


def stale(data: Mapping[str, Any], made_of: Mapping[str, str]) -> list[str]:
    """Names of what a derived file was made of another of."""
    return [what for what, digest in made_of.items() if data["made_of"][what] != digest]


def held(data: Mapping[str, Any]) -> dict[str, Any]:
    """What was worked out, without what it was made of."""
    return {name: data[name] for name in ("minutes", "attempts", "variants")}


def text(name: str, made_of: Mapping[str, str], found: Mapping[str, Any]) -> str:
    """A derived file, one entry a line, in an order that does not depend on the engine's."""
    lines = [f"schema: {SCHEMA}", f"id: {name}", f"made_of: {_flow(made_of)}", f"holds: {_flow(short(found))}"]
    lines += [f"minutes: {found['minutes']}   # of the reference diagnostician, the exemplar's repair included"]
    lines += [*_entries("attempts", found["attempts"], ""), "variants:"]
    for n, own in sorted(found["variants"].items()):
        lines += [f"  {n}:", *_rows("suspects", own["suspects"]), *_rows("inseparable", own["inseparable"])]
        lines += _entries("sums", own["sums"], "    ")
    return HEADING.format(id=name) + "\n".join(lines) + "\n"


def _entries(name: str, entries: Mapping[str, Any], pad: str) -> Iterator[str]:
    yield f"{pad}{name}:" + " {}" * (not entries)
    yield from (f"{pad}  {key}: {_flow(value)}" for key, value in sorted(entries.items()))


def _rows(name: str, rows: Sequence[Any]) -> Iterator[str]:
    yield f"    {name}:" + " []" * (not rows)
    yield from (f"      - {_flow(row)}" for row in rows)


def _flow(value: Any) -> str:
    """One value on one line; digits that stand for a digest stay text."""
    made: str = yaml.safe_dump(value, default_flow_style=True, sort_keys=False, allow_unicode=True, width=10**6)
    return made.removesuffix("...\n").strip()

"""What goes between the engine and the screen: the view of a session, whole or as what has changed. Nothing is worked out here."""

import json
from collections.abc import Callable, Mapping
from typing import Any, Protocol

from scenarios.store.model import Store

View = dict[str, Any]
Geometry = dict[str, Any]


class Call(Protocol):
    """What the desk needs of a session."""

    def do(self, line: str) -> Any:
        """Do one step."""

    def view(self) -> View:
        """Facts for the screen."""


class Shown:
    """An open call with what a screen may show of it."""

    def __init__(self, session: Any) -> None:
        self.session = session
        self.screen: Any = None

    def do(self, line: str) -> Any:
        """Do one step."""
        return self.session.do(line)

    def view(self) -> View:
        """Facts for the screen."""
        from course.screen.view import Screen
        from graders.gate import RULE

        if self.screen is None:
            self.screen = Screen(self.session)
        made = self.screen.view()
        return {**made, "ticket": {**made["ticket"], "gate": RULE}}

    def close(self) -> None:
        """Give the record free for another window."""
        if self.session.writer is not None:
            self.session.writer.close()


class Drawings(Protocol):
    """What the desk needs of a store's drawings."""

    def sheets(self) -> list[dict[str, Any]]:
        """All sheets: id, title, place, kind."""

    def geometry(self, sheet: str, viewport: str) -> Geometry:
        """One sheet for one viewport."""


class StoreDrawings:
    """The drawings of one store file."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def sheets(self) -> list[dict[str, Any]]:
        """All sheets: id, title, place, kind."""
        from course.desk import drawing

        return drawing.sheets(self.store)

    def geometry(self, sheet: str, viewport: str) -> Geometry:
        """One sheet for one viewport."""
        from course.desk import drawing

        return drawing.geometry(self.store, sheet, viewport)


def where_drawn(drawings: Drawings) -> dict[str, list[str]]:
    """Part -> the sheets that show it, so that a lock can be seen on another sheet's tab."""
    found: dict[str, list[str]] = {}
    for sheet in (s for s in drawings.sheets() if "part" not in s):  # an opened part's own sheet is no other place of it
        first = next(iter(sheet.get("circuits", ())), None)
        name = sheet["id"] if first is None else f"{sheet['id']}/{first}"
        for part in drawings.geometry(name, "laptop")["parts"]:
            shown = found.setdefault(part["id"], [])
            if sheet["id"] not in shown:
                shown.append(sheet["id"])
    return found


def full(session: Call, drawings: Drawings) -> dict[str, Any]:
    """Everything a screen needs that has just been opened."""
    return {"kind": "full", "view": session.view(), "sheets": drawings.sheets(), "where": where_drawn(drawings)}


def first_difference(before: list[Any], after: list[Any]) -> int:
    """Index from which two lists differ.

    >>> first_difference([1, 2, 3], [1, 5, 3, 4])
    1
    """
    for at, (old, new) in enumerate(zip(before, after, strict=False)):
        if old != new:
            return at
    return min(len(before), len(after))


def changed(before: View, after: View, saw: Any, line: str) -> dict[str, Any]:
    """What a step changed: entries of the view that differ, of the parts only those, of the readings only the tail."""
    patch = {key: value for key, value in after.items() if key not in ("readings", "parts") and differs(before.get(key), value)}
    at = first_difference(before.get("readings", []), after.get("readings", []))
    return {
        "kind": "changed",
        "line": line,
        "patch": patch | _parts(before.get("parts", {}), after.get("parts", {})),
        "readings": {"from": at, "items": after.get("readings", [])[at:]},
        "saw": as_json(saw),
    }


def differs(before: Any, after: Any) -> bool:
    """Whether a piece of the view is another; one that is the same object need not be looked into."""
    return before is not after and bool(before != after)


def _parts(before: View, after: View) -> View:
    """Parts that differ, to be laid over those of before; all of them where one stands at another place."""
    if before is after:
        return {}
    if before.keys() != after.keys():
        return {"parts": after}
    facts = {part: about for part, about in after.items() if differs(before[part], about)}
    return {"facts": facts} if facts else {}


def as_json(saw: Any) -> dict[str, Any]:
    """What a step showed, as plain data."""
    make: Callable[[], Mapping[str, Any]] | None = getattr(saw, "as_json", None)
    data = make() if make is not None else saw
    plain: dict[str, Any] = json.loads(json.dumps(dict(data), default=str))
    return plain

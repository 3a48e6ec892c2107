"""The drawings of a store: wiring sheets laid out from the wiring list, and sketches of every place, as plain data.

What is drawn depends on the store file alone, never on a fault, a state or a reading.
"""

from contextlib import suppress
from copy import deepcopy
from functools import lru_cache
from typing import Any

from course.desk.drawing import handles, opened, sketches, wiring_sheets
from course.desk.drawing.paper import Paper
from course.desk.drawing.plan import Plan
from scenarios.errors import BadRequest
from scenarios.store.model import Store

VIEWPORTS = tuple(wiring_sheets.HEIGHTS)


def sheets(store: Store) -> list[dict[str, Any]]:
    """Every sheet of a store: ``id``, ``title``, ``place``, ``kind``, ``number`` of a wiring sheet, ``part`` of an opened one.

    Kinds are ``wiring``, ``sketch`` and ``opened``: the terminals of a part, to be shown while its cover is off.
    """
    return deepcopy(_sheets(store))


def geometry(store: Store, sheet_id: str, viewport: str = "laptop") -> dict[str, Any]:
    """Geometry of one sheet for one viewport (``laptop`` 962 x 512, ``short`` 962 x 470); treat it as read-only.

    Raises
    ------
    BadRequest
        No such sheet or viewport, or the store's wiring does not fit on a sheet.
    """
    if viewport not in VIEWPORTS:
        raise BadRequest(f"drawing: no viewport {viewport!r}; choose {' or '.join(VIEWPORTS)}")
    return _geometry(store, sheet_id, viewport)


def every_id(store: Store) -> list[str]:
    """Every id that :func:`geometry` takes: the sheets, and one per circuit of those that share a template."""
    return [
        id
        for sheet in sheets(store)
        for id in ([f"{sheet['id']}/{c}" for c in sheet["circuits"]] if "circuits" in sheet else [sheet["id"]])
    ]


@lru_cache(maxsize=4)
def _plan(store: Store) -> Plan:
    return wiring_sheets.planned(store)


@lru_cache(maxsize=4)
def _sheets(store: Store) -> list[dict[str, Any]]:
    plan = _plan(store)
    hangs = wiring_sheets.hung(store, plan)
    wiring = [{"id": s.id, "title": s.title, "place": hangs[s.number], "kind": "wiring", "number": s.number} for s in plan.specs]
    return [*wiring, *sketches.listed(store), *opened.listed(plan, hangs)]


@lru_cache(maxsize=256)
def _geometry(store: Store, sheet_id: str, viewport: str) -> dict[str, Any]:
    plan = _plan(store)
    for spec in plan.specs:
        if spec.id == sheet_id:
            paper = wiring_sheets.draw(plan, spec, viewport)
            return _data(store, paper, spec.id, spec.title, paper.zones())
    for sheet in _sheets(store):
        if sheet["id"] == sheet_id and sheet["kind"] == "opened":
            return _opened(store, sheet, viewport)
    with suppress(KeyError, ValueError):
        paper = Paper(wiring_sheets.WIDTH, wiring_sheets.HEIGHTS[viewport])
        more = sketches.draw(store, sheet_id, paper)
        if paper.troubles:
            raise BadRequest(f"sketch {sheet_id}, {viewport}: {'; '.join(paper.troubles)}")
        named = next(s["title"] for s in _sheets(store) if s["id"] == sheet_id.split("/")[0])
        return {**_data(store, paper, sheet_id, named, {"cols": [], "rows": []}), **more}
    raise BadRequest(f"drawing: no sheet {sheet_id!r}; there are {', '.join(s['id'] for s in _sheets(store))}")


def _opened(store: Store, sheet: dict[str, Any], viewport: str) -> dict[str, Any]:
    """The terminals of one part with its cover off."""
    paper = Paper(wiring_sheets.WIDTH, wiring_sheets.HEIGHTS[viewport])
    places = {name: place.title for name, place in store.places.items()}
    opened.draw(paper, _plan(store), sheet["part"], places)
    if paper.troubles:
        raise BadRequest(f"wiring, {sheet['title']}, {viewport}: {'; '.join(paper.troubles)}; split the part in the store file")
    return _data(store, paper, sheet["id"], sheet["title"], {"cols": [], "rows": []})


def _data(store: Store, paper: Paper, id: str, title: str, zones: dict[str, Any]) -> dict[str, Any]:
    """A finished sheet as plain data."""
    handles.choose(paper)
    for point in paper.points if zones["cols"] else ():
        point["zone"] = _nearest(zones["rows"], "y", point["y"]) + _nearest(zones["cols"], "x", point["x"])
    return {
        "id": id,
        "title": title,
        "width": paper.width,
        "height": paper.height,
        "earth": store.wiring.earth,
        "returns": [name for name, rail in store.wiring.rail_kinds.items() if rail.kind in ("return", "neutral")],
        "zones": zones,
        "lines": paper.lines,
        "shapes": paper.shapes,
        "texts": paper.texts,
        "points": paper.points,
        "parts": paper.parts,
        "homes": paper.homes,
    }


def _nearest(zones: list[dict[str, Any]], axis: str, value: float) -> str:
    """Name of the zone whose middle is nearest."""
    return str(min(zones, key=lambda zone: abs(zone[axis] - value))["t"])

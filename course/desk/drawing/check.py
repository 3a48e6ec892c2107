"""An independent look at the geometry of a sheet: what touches what, what is too near, what is missing.

It is written against the rules of the desk, not against the layout, and reads only the finished data. A sheet with complaints is
never shipped: ``python -m course.desk.drawing.check STORE.yaml`` ends with 1.
"""

import math
import re
import sys
from collections.abc import Iterable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

from scenarios.errors import FaultFound
from scenarios.store.model import Store

Box = tuple[float, float, float, float]
Sheet = dict[str, Any]

NEAR = 46.0
"""Least distance of two point centres [px]."""
RADIUS, FINGER, CLEAR, MARK = 7.0, 40.0, 15.0, 15.6
"""Point with its outline; least target of a part box; least distance of a box, most distance of a mark from a point [px]."""
MOST_POINTS = 50
WIDTHS = {"narrow": 3.4, "digit": 6.7, "capital": 9.0, "other": 6.6}
"""Width of a letter at 12 px [px], by class: an estimate of its own, not the layout's."""


def complaints(sheet: Sheet) -> list[str]:
    """Everything that is wrong with one sheet, one sentence each."""
    return [f"{sheet['id']}: {text}" for rule in RULES for text in rule(sheet)]


def store_complaints(sheets: Iterable[Sheet], terminals: Iterable[str], wires: Iterable[tuple[str, str]]) -> list[str]:
    """What is wrong with the wiring sheets of a store taken together: every terminal once, every wire once."""
    drawn: list[str] = []
    lines: list[frozenset[str]] = []
    rails: set[str] = set()
    for sheet in sheets:
        node = {point["id"]: point["node"] for point in sheet["points"]}
        rails |= {point["node"] for point in sheet["points"] if ":" not in point["node"]}
        drawn += [point["node"] for point in sheet["points"] if ":" in point["node"]]
        lines += [frozenset((node.get(a, a), node.get(b, b))) for a, b in _ends(sheet)]
        ids = [point["id"] for point in sheet["points"]]
        drawn += [f"{sheet['id']}/{id}" for id in set(ids) if ids.count(id) > 1 for _ in "ab"]
    wanted = [t for t in terminals if ":" in t]
    found = [f"terminal {t} is on no sheet" for t in wanted if t not in set(drawn)]
    found += [f"point {t} is drawn {drawn.count(t)} times" for t in dict.fromkeys(drawn) if drawn.count(t) > 1]
    found += [
        f"point {t} is no terminal of the list" for t in dict.fromkeys(drawn) if ":" in t and "/" not in t and t not in set(wanted)
    ]
    found += [f"wire from {a} to {b} is not drawn" for a, b in wires if frozenset((a, b)) not in set(lines)]
    twice = [pair for pair in set(lines) if lines.count(pair) > 1]
    return found + [f"wire between {' and '.join(sorted(pair))} is drawn twice" for pair in twice]


def unreachable(store: Store, sheets: Iterable[Sheet]) -> list[str]:
    """What of a store nobody can come to by any sheet: places, parts to look at, points, terminals away from the panels."""
    drawn: set[str] = set()
    places: set[str] = set()
    for sheet in sheets:
        places.add(sheet["place"])
        drawn |= {str(part["id"]) for part in sheet["parts"]} | {point["node"] for point in sheet["points"]}
    found = [f"place {name} has no sheet" for name in store.places if name not in places]
    found += [f"point {name} is on no sheet" for name in store.points if name not in drawn]
    doors = {place.door for place in store.places.values()}
    return found + [f"part {mark} is on no sheet" for mark in store.parts if mark not in drawn and mark not in doors]


def _ends(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Both ends of every wire; a line that leaves the sheet ends on the rail written beside it."""
    for line in sheet["lines"]:
        if "from" in line:
            yield line["from"], line["to"]
        for key in ("feeds", "exit"):
            if key in line:
                yield line[key], line["rail"]


# ---- rectangles -------------------------------------------------------------------------------------------------------


def _text_box(text: dict[str, Any]) -> Box:
    wide = sum(WIDTHS[_class(letter)] for letter in text["t"]) * (1.15 if text["kind"] in ("mark", "title") else 1.0)
    left = text["x"] - {"start": 0.0, "middle": wide / 2, "end": wide}[text["anchor"]]
    return left, text["y"] - 9, left + wide, text["y"] + 1


def _class(letter: str) -> str:
    return "narrow" if letter in " .,:;|iljtfI()'" else "digit" if letter.isdigit() else "capital" if letter.isupper() else "other"


def _frame(item: dict[str, Any], least: float = 0.0) -> Box:
    w, h = max(item["w"], least) / 2, max(item["h"], least) / 2
    return item["x"] - w, item["y"] - h, item["x"] + w, item["y"] + h


def _over(a: Box, b: Box, by: float = 0.4) -> bool:
    return a[0] < b[2] - by and b[0] < a[2] - by and a[1] < b[3] - by and b[1] < a[3] - by


def _gap(box: Box, x: float, y: float) -> float:
    return math.hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3]))


def _things(sheet: Sheet) -> list[tuple[Box, str]]:
    """Rectangles that must stay clear of one another: texts, boxes, tag homes, points."""
    found = [(_text_box(t), f"text {t['t']!r}") for t in sheet["texts"] if t["kind"] != "symbol" and not t.get("inside")]
    found += [(_frame(p), f"box {p['key']}") for p in sheet["parts"]]
    seen: set[tuple[float, float]] = set()
    for key, home in sheet["homes"].items():
        if (home["x"], home["y"]) not in seen:
            seen.add((home["x"], home["y"]))
            found.append((_frame(home), f"tag {key}"))
    return found + [
        ((p["x"] - RADIUS, p["y"] - RADIUS, p["x"] + RADIUS, p["y"] + RADIUS), f"point {p['id']}") for p in sheet["points"]
    ]


def _symbols(sheet: Sheet) -> list[tuple[Box, str, bool]]:
    return [(tuple(s["box"]), s.get("part", ""), bool(s.get("holds"))) for s in [*sheet["lines"], *sheet["shapes"]] if "box" in s]


def _segments(line: dict[str, Any]) -> list[Box]:
    """Straight pieces of an absolute path, as thin rectangles."""
    pieces = []
    for part in line["d"].split("M")[1:]:
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", part)]
        spots = list(zip(numbers[::2], numbers[1::2], strict=True))
        for (xa, ya), (xb, yb) in pairwise(spots):
            pieces.append((min(xa, xb) - 0.6, min(ya, yb) - 0.6, max(xa, xb) + 0.6, max(ya, yb) + 0.6))
    return pieces


# ---- rules of one sheet -----------------------------------------------------------------------------------------------


def _rule_inside(sheet: Sheet) -> Iterator[str]:
    for box, name in _things(sheet):
        if box[0] < 1 or box[1] < 0 or box[2] > sheet["width"] - 1 or box[3] > sheet["height"] - 1:
            yield f"{name} leaves the sheet"


def _rule_overlaps(sheet: Sheet) -> Iterator[str]:
    things = _things(sheet)
    for n, (box, name) in enumerate(things):
        for other, what in things[n + 1 :]:
            if _over(box, other):
                yield f"{name} lies over {what}"


def _rule_symbols(sheet: Sheet) -> Iterator[str]:
    for box, part, holds in _symbols(sheet):
        for other, name in _things(sheet):
            if _over(box, other) and not (holds and name.startswith("text")):
                yield f"{name} lies over the symbol of {part}"


def _rule_distances(sheet: Sheet) -> Iterator[str]:
    points = sheet["points"]
    for n, a in enumerate(points):
        for b in points[n + 1 :]:
            apart = math.hypot(a["x"] - b["x"], a["y"] - b["y"])
            if apart < NEAR - 0.05:
                yield f"points {a['id']} and {b['id']} are {apart:.0f} px apart, {NEAR:.0f} at least"
    if len(points) > MOST_POINTS:
        yield f"{len(points)} points, {MOST_POINTS} at most"


def _rule_fingers(sheet: Sheet) -> Iterator[str]:
    parts = sheet["parts"]
    for n, part in enumerate(parts):
        if part["w"] < 40 or part["h"] < 28:
            yield f"box {part['key']} is {part['w']:.0f} x {part['h']:.0f}, 40 x 28 at least"
        for other in parts[n + 1 :]:
            if _over(_frame(part, FINGER), _frame(other, FINGER)):
                yield f"a finger cannot tell box {part['key']} from box {other['key']}"
        for point in sheet["points"]:
            apart = _gap(_frame(part), point["x"], point["y"])
            if apart < CLEAR:
                yield f"box {part['key']} is {apart:.0f} px from point {point['id']}, {CLEAR:.0f} at least"


def _rule_wires(sheet: Sheet) -> Iterator[str]:
    """Wires end on their points and pass through nothing."""
    at = {point["id"]: point for point in sheet["points"]}
    things = _things(sheet)
    brackets = {f"tag {key}" for key, home in sheet["homes"].items() if home["kind"] == "bracket"}
    for line in sheet["lines"]:
        if line["kind"] not in ("wire", "rail", "pipe") or line.get("lead"):
            continue
        if "from" in line:
            yield from _loose(line, at, sheet)
        own = {f"point {line.get(k)}" for k in ("from", "to", "feeds", "exit")}
        own |= {f"point {p['id']}" for p in sheet["points"] if p["node"] == line.get("rail")}
        if line["kind"] == "pipe":
            own |= {f"point {p['id']}" for p in sheet["points"]}
        label = f"{line['kind']} {line.get('name', '')}".strip()
        for piece in _segments(line):
            for box, name in things:
                if name not in own and name not in brackets and _over(piece, box, 0.9):
                    yield f"{label} from {line.get('from', 'a rail')} runs through {name}"


def _loose(line: dict[str, Any], at: dict[str, dict[str, Any]], sheet: Sheet) -> Iterator[str]:
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", line["d"])]
    ends = {line["from"]: (numbers[0], numbers[1]), line["to"]: (numbers[-2], numbers[-1])}
    for id, (x, y) in ends.items():
        point = at.get(id)
        if point is None:
            yield f"wire {line['name']} ends on {id}, which is not on this sheet"
        elif math.hypot(point["x"] - x, point["y"] - y) > 0.5 and not _on_rail(sheet, point, x, y):
            yield f"wire {line['name']} does not end on {id}"


def _on_rail(sheet: Sheet, point: dict[str, Any], x: float, y: float) -> bool:
    """Whether a spot lies on the drawn rail of a rail point."""
    for line in sheet["lines"]:
        if line["kind"] == "rail" and line.get("rail") == point["node"]:
            pieces = _segments(line)
            if any(_gap(piece, x, y) < 0.5 for piece in pieces) and any(
                _gap(piece, point["x"], point["y"]) < 0.5 for piece in pieces
            ):
                return True
    return False


def _rule_marks(sheet: Sheet) -> Iterator[str]:
    """A terminal mark stands by its own point and is the right one."""
    at = {point["id"]: point for point in sheet["points"]}
    marked = set()
    for text in (t for t in sheet["texts"] if t.get("of")):
        point = at.get(text["of"])
        if point is None:
            yield f"mark {text['t']!r} belongs to {text['of']}, which is not on this sheet"
            continue
        marked.add(point["id"])
        own = _gap(_text_box(text), point["x"], point["y"])
        others = min((_gap(_text_box(text), p["x"], p["y"]) for p in sheet["points"] if p is not point), default=99.0)
        if own > MARK or others < own + 4:
            yield f"mark {text['t']!r} is {own:.0f} px from {point['id']} and {others:.0f} px from another point"
        if text["t"] not in (point["node"].split(":")[-1], point["node"].split(".")[-1]):
            yield f"mark {text['t']!r} stands by {point['id']}"
    for id in at:
        if (":" in id or "." in id) and id not in marked:
            yield f"point {id} has no mark"


def _rule_homes(sheet: Sheet) -> Iterator[str]:
    """Every point has a place for its tag, near it; every power terminal one to earth, every box one for what was seen."""
    for point in sheet["points"]:
        home = sheet["homes"].get(point["id"])
        if home is None:
            if point["node"] != sheet["earth"]:
                yield f"point {point['id']} has no home for its tag"
        elif home["kind"] == "shelf" and _gap(_frame(home), point["x"], point["y"]) > 66:
            yield f"the tag of {point['id']} hangs {_gap(_frame(home), point['x'], point['y']):.0f} px away"
        if point.get("family") == "power" and f"{point['id']}|{sheet['earth']}" not in sheet["homes"]:
            yield f"point {point['id']} has no home for a reading to earth"
        if point["handle"] == [0, 0]:
            yield f"point {point['id']} has no free direction"
        if not point["says"].strip():
            yield f"point {point['id']} has no spoken name"
    ids = {p["id"] for p in sheet["points"]} | {x[k] for x in sheet["parts"] for k in ("id", "key")} | {sheet["earth"]}
    for key in sheet["homes"]:
        if any(end not in ids and end.rsplit(".", 1)[0] not in ids for end in key.split("|")):
            yield f"tag home {key} belongs to nothing on this sheet"


def _rule_neighbours(sheet: Sheet) -> Iterator[str]:
    ids = {point["id"] for point in sheet["points"]}
    for point in sheet["points"]:
        for other in point["next"]:
            if other not in ids:
                yield f"the neighbour {other} of {point['id']} is not on this sheet"
    for part in sheet["parts"]:
        for terminal in part["terminals"]:
            if terminal not in ids:
                yield f"box {part['key']} names {terminal}, which is not on this sheet"


RULES = (
    _rule_inside,
    _rule_overlaps,
    _rule_symbols,
    _rule_distances,
    _rule_fingers,
    _rule_wires,
    _rule_marks,
    _rule_homes,
    _rule_neighbours,
)


def check(store: Store) -> None:
    """Draw everything of a store and look at it.

    Raises
    ------
    FaultFound
        One line per complaint.
    """
    from course.desk.drawing import VIEWPORTS, every_id, geometry, sheets

    wiring = store.wiring
    place = {sheet["id"]: sheet["place"] for sheet in sheets(store)}
    found = []
    for viewport in VIEWPORTS:
        found += [f"{viewport}, {text}" for id in every_id(store) for text in complaints(geometry(store, id, viewport))]
        every = [{**geometry(store, id, viewport), "place": place[id.partition("/")[0]]} for id in every_id(store)]
        found += [f"{viewport}, {text}" for text in unreachable(store, every)]
        drawn = [geometry(store, s["id"], viewport) for s in sheets(store) if s["kind"] == "wiring"]
        found += [f"{viewport}, {text}" for text in store_complaints(drawn, wiring.terminals, [(w.a, w.b) for w in wiring.wires])]
    if found:
        raise FaultFound("\n".join(found))


if __name__ == "__main__":
    from scenarios.store.files import load_file

    try:
        check(load_file(Path(sys.argv[1])))
    except FaultFound as error:
        sys.exit(str(error))

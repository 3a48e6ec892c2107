"""Does the checker of drawings find a planted fault?"""

from copy import deepcopy
from typing import Any

import pytest
from sheets import STORE, WIRING, drawn, wires

from course.desk import drawing
from course.desk.drawing import check
from scenarios.errors import FaultFound

# ---- faults planted in the geometry ------------------------------------------------------------------------------------


def _point(sheet: dict[str, Any], id: str) -> dict[str, Any]:
    return next(p for p in sheet["points"] if p["id"] == id)


def _part(sheet: dict[str, Any], key: str) -> dict[str, Any]:
    return next(p for p in sheet["parts"] if p["key"] == key)


def _text(sheet: dict[str, Any], of: str) -> dict[str, Any]:
    return next(t for t in sheet["texts"] if t.get("of") == of)


def _wire(sheet: dict[str, Any], a: str, b: str) -> dict[str, Any]:
    return next(w for w in sheet["lines"] if {w.get("from"), w.get("to")} == {a, b})


def moved_point(s: dict[str, Any]) -> None:
    _point(s, "KR5:11")["x"] += 3


def crowded_points(s: dict[str, Any]) -> None:
    p, q = _point(s, "KR5:11"), _point(s, "KR5:14")
    q["x"] = p["x"] + 44


def moved_mark(s: dict[str, Any]) -> None:
    _text(s, "KR5:11")["x"] += 12


def swapped_marks(s: dict[str, Any]) -> None:
    a, b = _text(s, "S5:3"), _text(s, "S5:4")
    a["t"], b["t"] = b["t"], a["t"]


def lost_mark(s: dict[str, Any]) -> None:
    s["texts"].remove(_text(s, "K5:A1"))


def box_over_mark(s: dict[str, Any]) -> None:
    _part(s, "KR5")["y"] -= 14


def box_by_point(s: dict[str, Any]) -> None:
    _part(s, "Q5").update(x=54, y=_point(s, "Q5:1")["y"])


def small_box(s: dict[str, Any]) -> None:
    _part(s, "KR5")["h"] = 20


def boxes_close(s: dict[str, Any]) -> None:
    _part(s, "F5")["y"] = _part(s, "K5")["y"] + 36


def tag_over_tag(s: dict[str, Any]) -> None:
    s["homes"]["KR5:11"]["x"] += 20


def tag_over_point(s: dict[str, Any]) -> None:
    s["homes"]["Q5:1|Q5:3"]["x"] -= 20


def tag_far_away(s: dict[str, Any]) -> None:
    s["homes"]["FU5:1"].update(x=600, y=440)


def lost_home(s: dict[str, Any]) -> None:
    del s["homes"]["S5:3"]


def lost_earth_home(s: dict[str, Any]) -> None:
    del s["homes"]["K5:1|PE"]


def strange_home(s: dict[str, Any]) -> None:
    s["homes"]["K9:1"] = {"x": 600, "y": 440, "w": 44, "h": 20, "kind": "shelf"}


def short_wire(s: dict[str, Any]) -> None:
    wire = _wire(s, "S5:4", "KR5:11")
    (xa, y), (xb, _) = [tuple(map(float, spot.split())) for spot in wire["d"][1:].split("L")]
    wire["d"] = f"M{xa} {y}L{xb - 10} {y}"


def wire_to_nowhere(s: dict[str, Any]) -> None:
    _wire(s, "S5:4", "KR5:11")["to"] = "KR6:11"


def wire_through_box(s: dict[str, Any]) -> None:
    wire, box = _wire(s, "K5:14", "HC5:1"), _part(s, "KR5")
    first, last = wire["d"][1:].split("L")
    wire["d"] = f"M{first}L{box['x']} {first.split()[1]}L{box['x']} {box['y'] - 30}L{box['x']} {first.split()[1]}L{last}"


def symbol_over_text(s: dict[str, Any]) -> None:
    box = next(line["box"] for line in s["lines"] if line.get("part") == "KR5")
    box[1], box[3] = box[1] + 24, box[3] + 24


def off_the_sheet(s: dict[str, Any]) -> None:
    s["height"] = 250


def no_direction(s: dict[str, Any]) -> None:
    _point(s, "K5:A1")["handle"] = [0, 0]


def no_spoken_name(s: dict[str, Any]) -> None:
    _point(s, "K5:A1")["says"] = " "


def false_neighbour(s: dict[str, Any]) -> None:
    _point(s, "K5:A1")["next"].append("K61:A1")


def false_terminal(s: dict[str, Any]) -> None:
    _part(s, "KR5")["terminals"].append("KR5:12")


PLANTED = {
    moved_point: "does not end on KR5:11",
    crowded_points: "points KR5:11 and KR5:14 are 44 px apart",
    moved_mark: "mark '11' is",
    swapped_marks: "mark '4' stands by S5:3",
    lost_mark: "point K5:A1 has no mark",
    box_over_mark: "lies over box KR5",
    box_by_point: "box Q5 is",
    small_box: "box KR5 is 41 x 20",
    boxes_close: "a finger cannot tell box K5 from box F5",
    tag_over_tag: "tag KR5:11 lies over",
    tag_over_point: "tag Q5:1|Q5:3 lies over point Q5:1",
    tag_far_away: "the tag of FU5:1 hangs",
    lost_home: "point S5:3 has no home",
    lost_earth_home: "point K5:1 has no home for a reading to earth",
    strange_home: "tag home K9:1 belongs to nothing",
    short_wire: "does not end on KR5:11",
    wire_to_nowhere: "ends on KR6:11, which is not on this sheet",
    wire_through_box: "runs through box KR5",
    symbol_over_text: "lies over the symbol of KR5",
    off_the_sheet: "leaves the sheet",
    no_direction: "point K5:A1 has no free direction",
    no_spoken_name: "point K5:A1 has no spoken name",
    false_neighbour: "the neighbour K61:A1 of K5:A1",
    false_terminal: "box KR5 names KR5:12",
}


@pytest.mark.parametrize("plant", PLANTED, ids=lambda plant: plant.__name__)
def test_the_checker_finds_a_planted_fault(plant: Any) -> None:
    sheet = deepcopy(drawing.geometry(STORE, "spray_pump"))
    plant(sheet)
    found = check.complaints(sheet)
    assert any(PLANTED[plant] in text for text in found), found


def test_the_checker_misses_a_terminal_a_wire_and_a_double() -> None:
    drawings = deepcopy(drawn("laptop"))
    pump = next(s for s in drawings if s["id"] == "spray_pump")
    pump["points"].remove(_point(pump, "KR5:11"))
    pump["lines"].remove(_wire(pump, "S5:4", "KR5:11"))
    pump["points"].append({**_point(pump, "KR5:14"), "x": 700, "y": 400})
    found = check.store_complaints(drawings, WIRING.terminals, wires())
    assert "terminal KR5:11 is on no sheet" in found
    assert "wire from S5:4 to KR5:11 is not drawn" in found
    assert any(text.startswith("point KR5:14 is drawn 2 times") for text in found)


def test_a_store_with_a_bad_drawing_is_a_fault_found(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = deepcopy(drawing.geometry(STORE, "roof"))
    bad["points"][0]["x"] += 300
    real = drawing.geometry
    monkeypatch.setattr(
        drawing, "geometry", lambda store, id, viewport="laptop": bad if id == "roof" else real(store, id, viewport)
    )
    with pytest.raises(FaultFound, match="laptop, roof: "):
        check.check(STORE)

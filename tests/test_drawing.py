"""Are the drawings complete, readable and the same whatever is broken, and does the checker notice when they are not?"""

import hashlib
import html
import json
import os
import random
import re
import shutil
import subprocess
import sys
import time
import xml.etree.ElementTree as ElementTree
from contextlib import suppress
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from course.desk import drawing
from course.desk.drawing import check, ladder, paper, svg, symbols
from scenarios.electrical.kinds import CONTACTS, LOADS
from scenarios.electrical.wiring import Wiring
from scenarios.errors import BadRequest, FaultFound
from scenarios.files import yamlfile
from scenarios.refrigeration.observe import points as plant_points

STORE_FILE = Path(__file__).parents[1] / "scenarios" / "stores" / "corner_market.yaml"
STORE = yamlfile.load(STORE_FILE)
WIRING = Wiring.load(STORE)
SHEETS = drawing.sheets(STORE)
WIRED = [s["id"] for s in SHEETS if s["kind"] == "wiring"]
IDS = drawing.every_id(STORE)
MACHINE = {"group": "pump", "place": "panel"}


def drawn(viewport: str) -> list[dict[str, Any]]:
    return [drawing.geometry(STORE, id, viewport) for id in WIRED]


def wires() -> list[tuple[str, str]]:
    return [(w.a, w.b) for w in WIRING.wires]


# ---- the store that is shipped ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("viewport", drawing.VIEWPORTS)
@pytest.mark.parametrize("sheet", IDS)
def test_no_sheet_has_a_complaint(sheet: str, viewport: str) -> None:
    assert check.complaints(drawing.geometry(STORE, sheet, viewport)) == []


@pytest.mark.parametrize("viewport", drawing.VIEWPORTS)
def test_every_terminal_and_every_wire_is_drawn_once(viewport: str) -> None:
    assert check.store_complaints(drawn(viewport), WIRING.terminals, wires()) == []


def test_there_are_far_more_than_eighty_places_for_a_probe() -> None:
    assert sum(len(sheet["points"]) for sheet in drawn("laptop")) >= 250


def test_sheets_are_supply_machines_fan_cases_and_walk_ins() -> None:
    assert WIRED == [
        "supply",
        "compressor_1",
        "compressor_2",
        "compressor_3",
        "compressor_4",
        "cases",
        "spray_pump",
        "condenser_fan_power",
        "condenser_fan_control",
        "walk_ins",
    ]


def test_sheet_points_and_parts_are_the_same_in_every_viewport() -> None:
    for id in IDS:
        wide, short = (drawing.geometry(STORE, id, viewport) for viewport in drawing.VIEWPORTS)
        assert [p["id"] for p in wide["points"]] == [p["id"] for p in short["points"]]
        assert [p["key"] for p in wide["parts"]] == [p["key"] for p in short["parts"]]
        assert [t["t"] for t in wide["texts"]] == [t["t"] for t in short["texts"]]


@pytest.mark.parametrize(
    ("sheet", "points", "parts"),
    [
        ("floor/C4", {"C4.A1", "C4.A2", "C4.G1", "C4.G2", "C4.T1", "C4.P8"}, {"C4", "C4.D", "XV4", "SV4"}),
        ("walkins/C10", {"C10.A1", "C10.A2", "C10.G1", "C10.G2", "C10.T1", "C10.P8"}, {"C10", "C10.D", "XV10", "SV10"}),
        (
            "motor_room",
            {"P4", "P5", "P6", "P7", "T7", "T8", "T9", "T10"},
            {f"{mark}{n}" for mark in ("HP", "LP", "MP", "COMP", "OIL", "M") for n in (1, 2, 3, 4)}
            | {"GD", "GS", "RECEIVER", "GLASS", "DRIER", "RACK"},
        ),
        (
            "roof",
            {"P1", "P2", "P3", "T1", "T2", "T3", "T4", "T5", "T6"},
            {"COIL", "BASIN", "FLOAT", "FAN", "PUMP", "M5", "M6", "S5"},
        ),
        ("rack_display", set(), {"RACK"}),
        ("van", set(), set()),
    ],
)
def test_a_sketch_shows_the_points_and_parts_of_its_place(sheet: str, points: set[str], parts: set[str]) -> None:
    found = drawing.geometry(STORE, sheet)
    assert {p["id"] for p in found["points"]} == points
    assert {p["id"] for p in found["parts"]} == parts


def test_every_part_away_from_the_panel_stands_on_a_sketch_of_its_place() -> None:
    places = {s["id"]: s["place"] for s in SHEETS}
    shown = {(places[id.split("/")[0]], part["id"]) for id in IDS for part in drawing.geometry(STORE, id)["parts"]}
    assert [d.mark for d in WIRING.devices.values() if (d.place, d.mark) not in shown] == []


def test_every_test_point_of_the_plant_can_be_reached_at_its_place() -> None:
    places = {s["id"]: s["place"] for s in SHEETS if s["kind"] == "sketch"}
    shown = {}
    for id in (id for id in IDS if id.split("/")[0] in places):
        sheet = drawing.geometry(STORE, id)
        shown.update({found["id"]: places[id.split("/")[0]] for found in [*sheet["points"], *sheet["parts"]]})
    wanted = {name: point["place"] for name, point in plant_points(STORE).items()}
    assert {name: shown.get(name) for name in wanted} == wanted


def test_a_circuit_is_drawn_by_its_kind_whichever_list_it_was_chosen_from() -> None:
    assert drawing.geometry(STORE, "floor/9")["circuit"] == "C9"
    assert any(p["aspect"] == "door" for p in drawing.geometry(STORE, "floor/C9")["parts"])
    assert any(p["aspect"] == "curtain" for p in drawing.geometry(STORE, "floor")["parts"])


def test_cut_outs_say_how_the_store_file_resets_them() -> None:
    says = {p["id"]: p["says"] for p in drawing.geometry(STORE, "motor_room")["parts"]}
    assert [says[f"HP{n}"].split("resets ")[1] for n in (1, 2, 3, 4)] == ["by itself", "by itself", "by hand", "by hand"]


def test_a_contactor_whose_coil_is_elsewhere_says_on_which_line() -> None:
    power, control = drawing.geometry(STORE, "condenser_fan_power"), drawing.geometry(STORE, "condenser_fan_control")
    line = {p["id"]: p["line"] for p in control["points"] if "line" in p}
    texts = {t["t"] for t in power["texts"]}
    assert {f"({line['K61:A1']})", f"({line['K62:A1']})"} <= texts
    assert {"91", "92", "93", "94"} == set(line.values())


def test_break_contacts_are_underlined_beside_their_coil() -> None:
    control = drawing.geometry(STORE, "condenser_fan_control")
    line = {p["id"]: p["line"] for p in control["points"] if "line" in p}
    crossed = [t["t"] for t in control["texts"] if t["kind"] == "crossed"]
    assert sorted(crossed) == sorted([line["K62:21"], line["K61:21"]])


def test_arrow_keys_follow_every_wire_both_ways() -> None:
    sheet = drawing.geometry(STORE, "spray_pump")
    following = {p["id"]: p["next"] for p in sheet["points"]}
    assert "KR5:11" in following["S5:4"]
    assert "S5:4" in following["KR5:11"]
    assert "F5:96" in following["F5:95"]
    assert all(id in following[other] for id in following for other in following[id])


def test_a_rail_met_again_has_its_own_name_and_its_old_node() -> None:
    points = [p for sheet in drawn("laptop") for p in sheet["points"] if p["node"] == "X1"]
    assert points[0]["id"] == "X1"
    assert len({p["id"] for p in points}) == len(points) > 5
    assert {p["id"].split("@")[0] for p in points} == {"X1"}


def test_every_power_sheet_has_earth() -> None:
    for sheet in drawn("laptop"):
        if any(p.get("family") == "power" for p in sheet["points"]):
            assert any(p["node"] == "PE" for p in sheet["points"]), sheet["id"]


# ---- the same drawing, quickly ----------------------------------------------------------------------------------------


def test_burnt_ratings_gauges_and_lengths_do_not_change_the_drawing() -> None:
    other = deepcopy(STORE)
    other["devices"]["F5"]["dial"] = 9.9
    other["devices"]["M5"]["amps"] = 7.7
    for entry in [*other["bundles"], *other["strings"]]:
        entry["awg"] = 16
        entry["m"] = [3.0] * len(entry["m"]) if isinstance(entry["m"], list) else 3.0
    assert [drawing.geometry(other, id) for id in WIRED] == drawn("laptop")


def test_the_drawing_does_not_hang_on_the_order_of_hashes() -> None:
    code = (
        "import hashlib, json, sys; from pathlib import Path; from course.desk import drawing; "
        "from scenarios.files import yamlfile; s = yamlfile.load(Path(sys.argv[1])); "
        "print(hashlib.sha256(json.dumps([drawing.geometry(s, i) for i in drawing.every_id(s)]).encode()).hexdigest())"
    )
    here = hashlib.sha256(json.dumps([drawing.geometry(STORE, id) for id in IDS]).encode()).hexdigest()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", code, str(STORE_FILE)],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stdout.strip() == here


def test_asked_again_it_answers_at_once_and_a_sheet_takes_less_than_a_tenth_of_a_second() -> None:
    assert drawing.geometry(STORE, "compressor_1") is drawing.geometry(STORE, "compressor_1")
    for id in WIRED:
        taken = []
        for _ in range(3):
            drawing._geometry.cache_clear()
            start = time.process_time()
            drawing.geometry(STORE, id)
            taken.append(time.process_time() - start)
        assert min(taken) < 0.1, id


def test_geometry_is_plain_data() -> None:
    for id in IDS:
        sheet = drawing.geometry(STORE, id)
        assert json.loads(json.dumps(sheet)) == sheet


@pytest.mark.parametrize("sheet", IDS)
def test_the_picture_is_well_formed_and_shows_every_box(sheet: str) -> None:
    found = drawing.geometry(STORE, sheet)
    root = ElementTree.fromstring(svg.render(found, homes=True, handles=True))
    texts = {"".join(node.itertext()) for node in root.iter("{http://www.w3.org/2000/svg}text")}
    assert {p["label"] for p in found["parts"]} <= texts


@pytest.mark.browser
def test_no_letters_are_wider_than_the_layout_believes(tmp_path: Path) -> None:
    """Measured by a browser with its own sans-serif; the layout leaves 8 % for others."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if browser is None:
        pytest.skip("needs a Chromium browser (Debian: apt-get install chromium)")
    page = tmp_path / "page.html"
    row = "t => [t.textContent, t.getAttribute('class'), t.getComputedTextLength()]"
    measure = f"document.title = JSON.stringify([...document.querySelectorAll('svg text')].map({row}))"
    pictures = "".join(svg.render(drawing.geometry(STORE, id)) for id in IDS)
    page.write_text(f"<html><body>{pictures}<script>{measure}</script></body></html>", "utf-8")
    command = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom", str(page)]
    answer = subprocess.run(command, capture_output=True, text=True, check=True, timeout=120).stdout
    found = re.search(r"<title>(\[\[.*?\]\])</title>", answer)
    assert found is not None
    texts = json.loads(html.unescape(found.group(1)))
    assert len(texts) > 500
    assert [t for t, kind, wide in texts if wide > paper.text_width(t, paper.SIZES[kind], paper.bold(kind))] == []


def test_every_symbol_of_the_list_can_be_drawn() -> None:
    for symbol in [*CONTACTS, *LOADS]:
        assert ladder.glyph(symbol, "relay") in symbols.CONTROL


@pytest.mark.parametrize(
    ("sheet", "viewport"), [("sheet 99", "laptop"), ("floor/C99", "laptop"), ("roof/C1", "laptop"), ("roof", "wall")]
)
def test_what_does_not_exist_is_refused_in_a_sentence(sheet: str, viewport: str) -> None:
    with pytest.raises(BadRequest, match=r"drawing: no (sheet|viewport) .*(there are|choose)"):
        drawing.geometry(STORE, sheet, viewport)


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


# ---- lists that were never seen ---------------------------------------------------------------------------------------


def store_of(rungs: list[str], extra: dict[str, Any]) -> dict[str, Any]:
    """A small store: one pump on a supply, and control strings."""
    devices = {
        "SV": {"kind": "service", "group": "supply", "place": "panel", "says": "service entrance"},
        "Q0": {"kind": "breaker3", "group": "supply", "place": "panel", "says": "main breaker", "amps": 225},
        "Q8": {"kind": "breaker2", "group": "supply", "place": "panel", "says": "control breaker", "amps": 15},
        "T2": {
            "kind": "transformer",
            "group": "supply",
            "place": "panel",
            "says": "transformer",
            "VA": 500,
            "primary": 480,
            "secondary": 120,
        },
        "Q5": {"kind": "breaker3", "says": "pump breaker", "amps": 15, **MACHINE},
        "K5": {"kind": "contactor3", "says": "pump contactor", "contacts": {"13-14": "no"}, **MACHINE},
        "F5": {"kind": "overload3", "on": "K5", "says": "pump overload", "dial": 5.0, **MACHINE},
        "M5": {
            "kind": "motor3",
            "says": "pump motor",
            "hp": 3,
            "volts": 460,
            "amps": 4.4,
            "locked_amps": 32,
            "rpm": 1745,
            **MACHINE,
        },
        **extra,
    }
    bundles = [
        ("1", "SV > Q0 > L", 2),
        ("2", "L1 L2 > Q8 > T2", 2),
        ("3", "T2:X1 > X1", 1),
        ("4", "T2:X2 > X2", 1),
        ("5", "L > Q5 > K5 > F5 > M5", 4),
    ]
    return {
        "places": {"panel": {"title": "Panel"}},
        "rails": {
            "L": {"kind": "phases", "of": ["L1", "L2", "L3"]},
            "X1": {"kind": "hot", "pair": "X2"},
            "X2": {"kind": "return"},
            "PE": {"kind": "earth"},
        },
        "devices": devices,
        "bundles": [{"wire": name, "run": run, "awg": 12, "m": [1] * count} for name, run, count in bundles],
        "strings": [{"wire": f"{10 + n}", "run": run, "awg": 14, "m": 1} for n, run in enumerate(rungs)],
    }


def switches(count: int) -> dict[str, Any]:
    """Parts with one make contact each."""
    return {
        f"S{n}": {"kind": "board_relay", "says": f"switch {n}", "contacts": {"1-2": "no"}, **MACHINE} for n in range(1, count + 1)
    }


class MisfitError(Exception):
    """What does not fit on a sheet was refused, with how much is missing."""


def clean(store: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Draw and check a store; its wiring sheets by id."""
    wiring = Wiring.load(store)
    try:
        drawing.sheets(store)
    except BadRequest as refusal:
        if "px" in str(refusal) or "fit" in str(refusal):
            raise MisfitError from refusal
        raise
    for viewport in drawing.VIEWPORTS:
        sheets = {s["id"]: drawing.geometry(store, s["id"], viewport) for s in drawing.sheets(store) if s["kind"] == "wiring"}
        assert [text for sheet in sheets.values() for text in check.complaints(sheet)] == []
        assert check.store_complaints(sheets.values(), wiring.terminals, [(w.a, w.b) for w in wiring.wires]) == []
    return sheets


def test_a_seal_in_hangs_below_the_contact_it_bridges() -> None:
    store = store_of(["X1 > S1:1-2 > S2:1-2 > K5:A1-A2 > X2", "S2:1 > K5:13-14 > S2:2"], switches(2))
    at = {p["id"]: p for p in clean(store)["pump"]["points"]}
    assert at["K5:13"]["x"] == at["S2:1"]["x"]
    assert at["K5:13"]["y"] > at["S2:1"]["y"]


def test_a_branch_longer_than_what_it_bridges_pushes_the_rung_apart() -> None:
    store = store_of(["X1 > S1:1-2 > K5:A1-A2 > X2", "S1:1 > S2:1-2 > K5:13-14 > S1:2"], switches(2))
    at = {p["id"]: p for p in clean(store)["pump"]["points"]}
    assert at["K5:A1"]["x"] > at["K5:14"]["x"]


def test_a_long_rung_is_folded_outside_its_branch() -> None:
    marks = " > ".join(f"S{n}:1-2" for n in range(1, 10))
    store = store_of([f"X1 > {marks} > K5:A1-A2 > X2", "S5:1 > K5:13-14 > S5:2"], switches(9))
    rows = {p["id"]: p["y"] for sheet in clean(store).values() for p in sheet["points"]}
    assert rows["S1:1"] < rows["S9:1"]
    assert rows["S5:1"] < rows["K5:13"]


def test_a_branch_that_lands_on_nothing_is_refused() -> None:
    store = store_of(["X1 > S1:1-2 > K5:A1-A2 > X2", "S2:1 > K5:13-14 > S2:2", "X1 > S2:1-2 > X2"], switches(2))
    with pytest.raises(BadRequest, match="string 11 lands on S2:1 and S2:2, which no earlier rung holds"):
        drawing.sheets(store)


def never_seen(seed: int) -> dict[str, Any]:
    """A store with a list of random length, one branch and some lamps."""
    draw = random.Random(seed)
    count = draw.randint(3, 16)
    left = [f"S{n}:1-2" for n in range(1, count + 1)]
    extra = switches(count)
    first = left[: draw.randint(1, min(7, count))]
    rungs = [f"X1 > {' > '.join(first)} > K5:A1-A2 > X2"]
    bridged = draw.choice(first).split(":")[0]
    rungs.append(f"{bridged}:1 > K5:13-14 > {bridged}:2" if draw.random() < 0.6 else "X1 > K5:13-14 > H0:1-2 > X2")
    if "H0" in rungs[1]:
        extra["H0"] = {"kind": "lamp", "says": "pump lamp", "load": {"1-2": "lamp"}, **MACHINE}
    left = left[len(first) :]
    while left:
        some = left[: draw.randint(1, 4)]
        left = left[len(some) :]
        lamp = f"H{len(rungs)}"
        extra[lamp] = {"kind": "lamp", "says": f"lamp {lamp}", "load": {"1-2": "lamp"}, **MACHINE}
        rungs.append(f"X1 > {' > '.join(some)} > {lamp}:1-2 > X2")
    used = " ".join(rungs)
    return store_of(rungs, {mark: part for mark, part in extra.items() if f" {mark}:" in f" {used}"})


@pytest.mark.slow
@pytest.mark.parametrize("tenth", range(6))
def test_lists_never_seen_before_are_drawn_clean_or_refused(tenth: int) -> None:
    drawn = 0
    for seed in range(10 * tenth, 10 * tenth + 10):
        store = never_seen(seed)
        with suppress(MisfitError):
            points = {p["id"].split("@")[0] for sheet in clean(store).values() for p in sheet["points"]}
            assert {"K5:A1", "S1:1"} <= points
            drawn += 1
    assert drawn >= 5, "a layout that refuses most of what it is given draws nothing"

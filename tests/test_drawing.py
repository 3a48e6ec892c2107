"""Are the drawings complete, readable and the same whatever is broken, and does the checker notice when they are not?"""

import hashlib
import html
import json
import os
import re
import shutil
import subprocess
import sys
import time
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import pytest
from sheets import IDS, SHEETS, STORE, WIRED, WIRING, drawn, wires
from stores import FILE, raw

from course.desk import drawing
from course.desk.drawing import check, ladder, paper, svg, symbols
from scenarios.electrical.kinds import CONTACTS, LOADS
from scenarios.errors import BadRequest
from scenarios.store import read
from scenarios.store.model import Store

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
            {f"{mark}{n}" for mark in ("HP", "LP", "MP", "COMP", "OIL", "M", "E") for n in (1, 2, 3, 4)}
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
    wanted = {name: point.place for name, point in STORE.points.items()}
    assert {name: shown.get(name) for name in wanted} == wanted


def test_a_circuit_is_drawn_by_its_kind_whichever_list_it_was_chosen_from() -> None:
    assert drawing.geometry(STORE, "floor/C9")["circuit"] == "C9"
    assert any(p["aspect"] == "front" for p in drawing.geometry(STORE, "floor/C9")["parts"])
    assert any(p["aspect"] == "front" for p in drawing.geometry(STORE, "floor")["parts"])


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
    other = raw()
    other["devices"]["F5"]["dial"] = 9.9
    other["devices"]["M5"]["amps"] = 7.7
    for entry in [*other["bundles"], *other["strings"]]:
        entry["awg"] = 16
        entry["m"] = [3.0] * len(entry["m"]) if isinstance(entry["m"], list) else 3.0
    changed = read.read(other)
    assert [drawing.geometry(changed, id) for id in WIRED] == drawn("laptop")


def test_the_drawing_does_not_hang_on_the_order_of_hashes() -> None:
    code = (
        "import hashlib, json, sys; from pathlib import Path; from course.desk import drawing; "
        "from scenarios.store.files import load_file; s = load_file(Path(sys.argv[1])); "
        "print(hashlib.sha256(json.dumps([drawing.geometry(s, i) for i in drawing.every_id(s)]).encode()).hexdigest())"
    )
    here = hashlib.sha256(json.dumps([drawing.geometry(STORE, id) for id in IDS]).encode()).hexdigest()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", code, str(FILE)],
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


# ---- parts with their covers off ---------------------------------------------------------------------------------------


def opened(store: Store) -> list[dict[str, Any]]:
    return [sheet for sheet in drawing.sheets(store) if sheet["kind"] == "opened"]


def everything_outside() -> Store:
    """The store with every part of the panel mounted on the roof: breakers, contactors, drive, transformer, lamps and all."""
    store = raw()
    for devices in [store["devices"], *(block["devices"] for block in store["blocks"])]:
        for entry in devices.values():
            if entry.get("place") == "panel":
                entry["place"] = "roof"
    return read.read(store)


@pytest.mark.parametrize("store", [STORE, everything_outside()], ids=["as it is", "everything outside"])
def test_a_part_away_from_the_panel_shows_its_terminals_and_earth_where_it_stands(store: Store) -> None:
    away = {mark: device for mark, device in store.wiring.devices.items() if device.place != "panel"}
    assert {(s["part"], s["place"]) for s in opened(store)} == {(mark, device.place) for mark, device in away.items()}
    for sheet in opened(store):
        for viewport in drawing.VIEWPORTS:
            found = drawing.geometry(store, sheet["id"], viewport)
            assert {p["node"] for p in found["points"]} == {*away[sheet["part"]].terminals, "PE"}
            assert {p["id"] for p in found["parts"]} == {sheet["part"]}
            assert check.complaints(found) == []


def test_an_opened_part_says_where_each_of_its_wires_goes() -> None:
    for sheet in opened(STORE):
        found = drawing.geometry(STORE, sheet["id"])
        drawn = sorted((line["exit"], line["rail"]) for line in found["lines"] if "exit" in line)
        ends = [(t, w.b if w.a == t else w.a) for t in WIRING.devices[sheet["part"]].terminals for w in WIRING.wires_at[t]]
        assert drawn == sorted(ends)
        texts = {text["t"] for text in found["texts"]}
        assert all(any(words.endswith(f" to {far}") for words in texts) for _, far in ends)


def test_every_point_and_box_of_a_wiring_sheet_says_where_it_stands() -> None:
    for sheet in drawn("laptop"):
        for thing in [*sheet["points"], *sheet["parts"]]:
            device = WIRING.devices.get(thing.get("part", thing["id"]))
            assert thing["place"] == (device.place if device else "")
    assert {p["place"] for s in drawn("laptop") for p in s["points"]} == {"", *(d.place for d in WIRING.devices.values())}

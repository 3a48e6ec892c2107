"""Is every store drawn, whatever its size, marks, places and rails: without overlap, and with everything on some sheet?"""

from pathlib import Path
from typing import Any

import pytest
from many_stores import ASKED, MARKS, ODD, OTHER_PLACES, OTHER_RAILS, RAILS, Rack, made
from stores import corner_market

import course
from course.desk import drawing
from course.desk.drawing import check, sketches
from scenarios.errors import BadRequest, FaultFound
from scenarios.files import yamlfile
from scenarios.parts.registry import KINDS
from scenarios.store import files as store_files
from scenarios.store import read
from scenarios.store.model import Store


def known(data: dict[str, Any]) -> Store:
    """A store whose plant may be more than a world runs: only the drawing is asked."""
    store, found = read.examined(data)
    assert store is not None, found
    return store


@pytest.mark.parametrize("name", ASKED)
def test_a_store_of_any_size_is_drawn_without_overlap_and_whole(name: str) -> None:
    check.check(known(ASKED[name]))


SHIPPED = [*sorted(yamlfile.FOLDERS["store"].glob("*.yaml")), Path(course.__file__).with_name("full_size.yaml")]


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_every_store_that_is_shipped_is_drawn_without_a_complaint(file: Path) -> None:
    check.check(store_files.load_file(file))


def test_nothing_of_the_first_store_is_written_where_a_store_has_other_names() -> None:
    store = known(made(Rack((3,), (5,), fans=2), marks=ODD, places=OTHER_PLACES, rails=OTHER_RAILS))
    first = corner_market()
    gone = {*first.parts, *first.points, *first.wiring.rails, *first.places} - {*store.parts, *store.points, "V1", "V2", "V3"}
    for id in drawing.every_id(store):
        sheet = drawing.geometry(store, id)
        written = {p["id"] for p in sheet["parts"]} | {p["node"] for p in sheet["points"]}
        written |= {t["t"] for t in sheet["texts"] if t["kind"] in ("mark", "title")}
        terminals = {t["t"] for t in sheet["texts"] if t.get("of")}
        assert not written & (gone - terminals), id
    assert {s["place"] for s in drawing.sheets(store)} == set(store.places)


def test_the_second_fan_and_the_missing_pump_are_seen() -> None:
    store = known(made(Rack((2,), (2,), fans=2, pump=False)))
    parts = {p["id"] for p in drawing.geometry(store, "roof")["parts"]}
    assert {fan.part.mark for fan in store.fans} | {fan.has["motor"].mark for fan in store.fans} <= parts
    assert not [mark for mark in parts if store.parts[mark].kind.name in ("spray_pump", "level_switch")]


def on_other_rails(hot: str, back: str) -> Store:
    """A store in which the first of the cases hangs on other rails than the rest of its group."""
    data = made(Rack((2,), (6,)))
    data["rails"]["N"] = {"kind": "neutral"}
    run = next(string for string in data["strings"] if string["run"].startswith(f"{RAILS['cases']} >"))
    run["run"] = " > ".join([hot, *run["run"].split(" > ")[1:-1], back])
    return known(data)


@pytest.mark.parametrize(("hot", "back"), [("X1", "X2"), ("L1", "L2"), ("L1", "N")])
def test_a_group_on_two_supplies_has_a_ladder_for_each(hot: str, back: str) -> None:
    store = on_other_rails(hot, back)
    check.check(store)
    nodes = [{p["node"] for p in drawing.geometry(store, id)["points"]} for id in drawing.every_id(store) if id.startswith("cases")]
    assert [{hot, back} <= found for found in nodes if store.circuits[0].has["solenoid"].mark + ":1" in found] == [True]
    assert len(nodes) == 2


def test_a_mark_too_wide_for_its_place_in_a_sketch_is_refused_with_its_name() -> None:
    store = known(made(Rack((1,), (1,)), marks={**MARKS, "solenoid": "SOLEN{n}9"}))
    with pytest.raises(BadRequest, match=r"mark SOLEN19 is .* px wide, 72 have room; give it a shorter one"):
        drawing.geometry(store, "floor")


@pytest.mark.parametrize("viewport", drawing.VIEWPORTS)
def test_heaters_with_long_marks_stay_clear_of_the_gauges_and_of_the_cut_outs_before_them(viewport: str) -> None:
    store = known(made(Rack((4,), (1,)), marks={**MARKS, "heater": "HEAT{n}0", "low": "LPCA{n}0", "high": "HPCUT{n}"}))
    assert check.complaints(drawing.geometry(store, "motor_room", viewport)) == []


def test_machines_beyond_a_sheet_stand_on_the_next() -> None:
    store = known(made(Rack((6, 2), (2, 2))))
    sheets = [s["id"] for s in drawing.sheets(store) if s["id"].startswith("motor_room")]
    shown = [p["id"] for id in sheets for p in drawing.geometry(store, id)["parts"]]
    assert [mark for mark in shown if store.parts[mark].kind.name == "compressor"] == [u.part.mark for u in store.compressors]


def test_two_floors_have_a_sheet_each() -> None:
    places = {
        **OTHER_PLACES,
        "annex": {"title": "Annex", "kind": "sales_floor", "next": 1},
        "store_room": {"title": "Store room", "kind": "motor_room"},
    }
    data = made(Rack((2,), (4,)), places=places)
    data["racks"][0]["groups"][0]["circuits"][1]["place"] = "annex"
    sheets = drawing.sheets(known(data))
    assert [s["title"] for s in sheets if s["place"] == "annex"] == ["Cases, Annex"]
    assert [s["title"] for s in sheets if s["place"] == "store_room"] == ["Store room"]


def test_a_group_called_like_a_sketch_keeps_its_own_sheet() -> None:
    data = made(Rack((1,), (1,)))
    for device in data["devices"].values():
        device["group"] = {"compressor 1": "roof"}.get(device["group"], device["group"])
    ids = [s["id"] for s in drawing.sheets(known(data))]
    assert len(ids) == len(set(ids))
    assert {"roof", "wiring_roof"} <= set(ids)


def test_a_mark_too_long_for_a_drawing_is_refused_with_its_name() -> None:
    data = made(Rack((1,), (1,)), marks={**ODD, "motor": "VERYLONGMOTOR{n}"})
    with pytest.raises(BadRequest, match=r"mark VERYLONGMOTOR1 is .* px wide, 82 have room; give it a shorter one"):
        drawing.sheets(known(data))


def third_drain() -> Store:
    """A store with more points of one sort than its sketch has spots for."""
    data = made(Rack((1,), (1,)))
    data["racks"][0]["points"]["P99"] = "drain_pressure"
    return known(data)


def test_a_point_that_no_sketch_has_a_spot_for_is_on_a_sheet_of_its_own() -> None:
    store = third_drain()
    check.check(store)
    assert [p["id"] for p in drawing.geometry(store, "more_5")["points"]] == ["P99"]


def test_what_is_on_no_sheet_is_a_complaint(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sketches, "_loose", lambda store, found: iter(()))
    with pytest.raises(FaultFound, match="point P99 is on no sheet"):
        check.check(third_drain())


def test_every_kind_of_condenser_has_a_sketch() -> None:
    assert {name for name in KINDS if name in ("condenser_evaporative", "condenser_air")} == set(sketches.CONDENSERS)

"""Parts of a store that is not the first one: two suction groups, an air-cooled condenser with several fans."""

from typing import Any

import pytest
from stores import raw

from course.desk import drawing
from course.desk.drawing import check
from scenarios.compiling.warm import CALL
from scenarios.facts import Observed
from scenarios.faults.catalogue import by_id, catalogue
from scenarios.site import World
from scenarios.store import read
from scenarios.store.model import Store
from scenarios.visit import handling, senses
from scenarios.visit.technician import Technician


def split() -> dict[str, Any]:
    """The first store, its last two compressors and its walk-ins on a second suction group."""
    data = raw()
    first = data["racks"][0]["groups"][0]
    points = {"P9": "suction_pressure", "T11": "suction_temperature"}
    second: dict[str, Any] = {"mark": "WI", "title": "walk-in", "suction_dew_F": 20, "points": points}
    second["compressors"], second["circuits"] = first["compressors"][2:], first["circuits"][8:]
    first["compressors"], first["circuits"] = first["compressors"][:2], first["circuits"][:8]
    data["racks"][0]["groups"].append(second)
    return data


@pytest.fixture(scope="module")
def store() -> Store:
    return read.read(split())


def test_each_suction_group_has_its_own_transducer(store: Store) -> None:
    faults = catalogue(store)
    low = [by_id(faults, f"suction_transducer_low:RACK:{n}") for n in (1, 2)]
    assert [fault.changes[0].path for fault in low] == ["staging[0].suction_offset", "staging[1].suction_offset"]
    assert [fault.at for fault in low] == ["suction_1", "suction_2"]
    assert low[1].title == "suction transducer of the walk-in group reads low"


def test_new_transducers_are_those_of_all_groups(store: Store) -> None:
    world = World.at_rest(store, CALL, 0.0)
    for n in (1, 2):
        world.apply(by_id(catalogue(store), f"suction_transducer_low:RACK:{n}"))
    assert set(world.plant.staging.suction_offset) == {-100000.0}
    handling.replace(world, "RACK")
    assert set(world.plant.staging.suction_offset) == {0.0}


def test_every_group_of_a_rack_is_drawn_with_its_points(store: Store) -> None:
    second = [sheet for id in drawing.every_id(store) if "P9" in ids_of(sheet := drawing.geometry(store, id), "points")]
    assert len(second) == 1
    assert "T11" in ids_of(second[0], "points")
    assert {"COMP3", "HP4", "M3"} <= ids_of(second[0], "parts")
    assert check.complaints(second[0]) == []


def ids_of(sheet: dict[str, Any], what: str) -> set[str]:
    """Points or parts that a sheet shows."""
    return {str(found["id"]) for found in sheet[what]}


def test_a_plate_of_a_machine_says_rated_and_locked_rotor_amps(store: Store) -> None:
    world = World.at_rest(store, CALL, 0.0)
    words = "Rated load 32 A, locked rotor 183 A, 460 V, 60 Hz, 3 phase."
    assert senses.read(world, Technician(), "COMP4") == [Observed("COMP4 plate", "nameplate", 32.0, words=words)]


def test_an_air_cooled_condenser_is_drawn_with_every_fan() -> None:
    data = raw()
    rack = data["racks"][0]
    fans = [{**rack["condenser"]["fans"][0]}, {"mark": "FAN2", "motor": "M5", "call": "KR5"}]
    rack["condenser"] = {"kind": "air", "mark": "COIL", "place": "roof", "fans": fans}
    del rack["points"]["T4"]
    made, found = read.examined(data)
    assert made is not None
    sheet = drawing.geometry(made, "roof")
    assert {"COIL", "FAN", "M6", "FAN2", "M5"} <= {part["id"] for part in sheet["parts"]}
    assert {"T1", "P1", "P2", "T2", "T5", "T6"} <= {point["id"] for point in sheet["points"]}
    assert check.complaints(sheet) == []
    assert check.complaints(drawing.geometry(made, "roof", "short")) == []
    assert any("S5" in ids_of(drawing.geometry(made, id), "parts") for id in drawing.every_id(made)), "what nothing has is drawn"
    assert found

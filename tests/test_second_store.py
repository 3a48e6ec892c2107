"""The second store is unlike the first in all it can be, and nothing in the code knows the first: it runs, cold and frozen."""

import json
import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner

from course.cli import cli
from graders import fairness
from scenarios.files import callfile
from scenarios.site import World
from scenarios.store import files

CALL = {"starts": "03:00", "weather": [[-40, 84, 71], [40, 84, 71]], "noise": [[-1, 1, 20]]}


@pytest.fixture(scope="module")
def settled() -> World:
    """After thirty hours of a warm day and night."""
    world = World.fresh(files.load("two_rack_grocery"), CALL, -30 * 3600.0, 1900)
    world.advance(30 * 3600.0)
    return world


def test_the_list_of_stores_tells_their_sizes() -> None:
    told = CliRunner().invoke(cli, ["stores", "--json"])
    rows = {row["id"]: row for row in json.loads(told.output)}
    grocery = rows["two_rack_grocery"]
    assert (grocery["racks"], grocery["groups"], grocery["compressors"], grocery["circuits"]) == (2, 2, 5, 10)
    assert grocery["refrigerants"] == ["R-449A", "R-404A"]
    assert grocery["supply"] == "208Y/120 V, 60 Hz"
    assert rows["corner_market"]["circuits"] == 10


def test_the_list_of_stores_waits_for_no_compiled_code(tmp_path: Path) -> None:
    """A computer that has prepared nothing yet lists at once."""
    code = "import sys; from course.library import store_rows; store_rows(); print(*sys.modules)"
    environ = os.environ | {"HALFSPLIT_CACHE": str(tmp_path), "HALFSPLIT_PREPARE": "0"}
    done = subprocess.run([sys.executable, "-c", code], env=environ, capture_output=True, text=True, check=True)
    assert not set(done.stdout.split()) & {"scenarios.compiling.kernel", "numba", "CoolProp"}


def test_cases_are_cold_and_freezers_frozen(settled: World) -> None:
    """FDA Food Code (2017) 3-501.16, from memory: 41 F or less; frozen food is kept frozen, by common practice at 0 F."""
    for circuit in settled.store.circuits:
        core = settled.point(f"{circuit.mark}.G1")
        assert core < (-15.0 if circuit.part.group == 1 else 5.0), circuit.title


def test_a_sound_store_calls_nobody(settled: World) -> None:
    """Machines fit their load: none is held off by its low cut-out while it is called, and nothing else calls, once pulled down."""
    assert [event.what for event in settled.alarm_events() if event.on and event.t > -12 * 3600.0] == []


def test_every_point_and_part_can_be_asked(settled: World) -> None:
    assert [name for name in settled.store.points if not np.isfinite(settled.point(name))] == []
    assert {part.kind.name for part in settled.store.parts.values()} >= {"condenser_air", "defrost_heater"}
    assert "spray_pump" not in {part.kind.name for part in settled.store.parts.values()}


def test_electric_defrost_melts_what_no_air_would(settled: World) -> None:
    """The heaters draw current some time of the day, and no freezer is iced solid in the end."""
    rows = [circuit.part.row for circuit in settled.store.circuits if circuit.part.group == 1]
    heaters = [settled.store.has[circuit.mark]["heater"].mark for circuit in settled.store.circuits if circuit.part.group == 1]
    loads = [n for n, element in enumerate(settled.network.loads) if element.device in heaters]
    assert (settled.network.state.loads.on_time[loads] > 600.0).all()
    assert (settled.plant.circuit_states.frost[rows] < settled.plant.circuits.frost_half[rows]).all()


def test_the_two_racks_hold_what_they_were_filled_with(settled: World) -> None:
    """No refrigerant moves from one rack to the other: suction and discharge of both stay apart."""
    assert settled.point("R1GS") - settled.point("R2GS") > 1e5
    for rack in settled.store.racks:
        assert float(settled.plant.liquid_state[rack.row].total) == pytest.approx(rack.charge)


def test_the_reference_walks_from_the_van_of_its_store() -> None:
    """Of every call: from a place that its store has, and not at once to where cases stand."""
    for call in callfile.names("call"):
        night = SimpleNamespace(call=call, moments=(), suspects=(), worlds=(), merged=list)
        posed = fairness.problem_of(night)
        store = files.load(callfile.load_call(call)["store"])
        assert store.places[posed.start].kind == "van"
        assert posed.travel(posed.start, store.place("sales_floor")) == store.places[posed.start].next > 0.0

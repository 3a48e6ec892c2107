"""Blocks: another store's wiring, or a jumper anywhere, compiles nothing, and computes what plain Python does."""

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from motor_room import running

from scenarios.compiling.blocks import Block
from scenarios.compiling.kernel import COMPILING, DOORS, plain
from scenarios.electrical import probes, step
from scenarios.electrical.layouts import MEMORY, MOVED, SAVED
from scenarios.electrical.meters import Probe
from scenarios.electrical.network import Network
from scenarios.electrical.world import lengths
from scenarios.store import wiring as wiring_list

DOORS_OF_A_WORLD = (step.go_on, step.bring_back, probes.solve_present, probes.solve_direct, probes.across, probes.to_earth)
"""What Python calls of the wiring."""
needs_doors = pytest.mark.skipif(not DOORS, reason="blocks without lengths need a compiler whose inside is known")


def pumps(count: int = 1) -> dict[str, Any]:
    """Another store's wiring: pumps on one breaker each at 400 V and 50 Hz, no transformer, no drive, no load."""
    about = {"kind": "motor3", "says": "pump motor", "hp": 3, "volts": 400, "amps": 5.1, "locked_amps": 36, "rpm": 1450}
    devices: dict[str, Any] = {"SV": {"group": "supply", "place": "panel", "kind": "service", "says": "service"}}
    bundles: list[Any] = [{"wire": 1, "run": "SV > L", "awg": "4/0", "m": [5]}]
    for n in range(1, count + 1):
        devices[f"Q{n}"] = {"group": f"pump {n}", "place": "panel", "kind": "breaker3", "says": "breaker", "amps": 15}
        devices[f"M{n}"] = {"group": f"pump {n}", "place": "roof", **about}
        bundles.append({"wire": 10 + n, "run": f"L > Q{n} > M{n}", "awg": 12, "m": [1, 40]})
    return {
        "places": {"panel": {"title": "Panel"}, "roof": {"title": "Roof"}},
        "supply": {"line_volts": 400, "hertz": 50},
        "rails": {"L": {"kind": "phases", "of": ["L1", "L2", "L3"]}, "PE": {"kind": "earth"}},
        "devices": devices,
        "bundles": bundles,
    }


def everything(network: Network) -> None:
    """Each door of a world, once."""
    network.step(5.0)
    network.resume()
    probe = Probe(network)
    points = network.wiring.terminals
    probe.volts(points[0], points[1])
    probe.insulation(points[0], points[2])
    probe.touch_volts(points[0])


def compiled_so_far() -> list[int]:
    return [len(door.overloads) for door in DOORS_OF_A_WORLD]  # type: ignore[attr-defined]


@needs_doors
def test_does_another_wiring_or_a_jumper_compile_anything() -> None:
    first = running().fork()
    everything(first)
    before = compiled_so_far()
    assert before == [1] * len(DOORS_OF_A_WORLD)
    other = Network.build(wiring_list.load(pumps()))
    assert len(other.net.wires) != len(first.net.wires)
    everything(other)
    for a, b in (("Q5:1", "M6:T1"), ("K5:A1", "PE"), ("L1", "X2")):
        entries = len(first.net.program.later)
        first.bridge(a, b)
        assert len(first.net.program.later) >= entries
        everything(first)
    assert compiled_so_far() == before
    assert other.net._numba_type_ is first.net._numba_type_
    assert other.state._numba_type_ is first.state._numba_type_


@needs_doors
def test_no_file_is_added_to_the_prepared_folder_by_another_wiring() -> None:
    from numba import config

    running()
    folder = Path(config.CACHE_DIR)
    before = {path for path in folder.rglob("*.nb?")}
    everything(Network.build(wiring_list.load(pumps())))
    assert before
    assert {path for path in folder.rglob("*.nb?")} == before


@pytest.mark.skipif(not COMPILING, reason="compares compiled with plain Python")
def test_another_wiring_gives_what_plain_python_gives() -> None:
    fast, slow = Network.build(wiring_list.load(pumps())), Network.build(wiring_list.load(pumps()))
    for network in (fast, slow):
        network.operate("Q1", "on")
    for load_there in (0.4, 0.9, 1.3):
        fast.inputs.load[:] = slow.inputs.load[:] = load_there
        fast.step(5.0)
        slow.state.tally[MOVED] = 1
        plain(step.go_on)(*slow.blocks, 5.0)
    assert 0.9 < fast.state.motors.speed[0] < 1.0
    assert fast.state.motors.watts[0] > 1000.0
    for name in set(SAVED) - {"tally"}:
        mine, theirs = getattr(fast.state, name), getattr(slow.state, name)
        for field in mine.dtype.names or (None,):
            a, b = (mine[field], theirs[field]) if field else (mine, theirs)
            assert np.allclose(a.astype(float), b.astype(float), rtol=1e-9, atol=1e-9), (name, field)


def test_a_copy_is_independent_and_memory_is_left_out_where_that_is_wanted() -> None:
    state = running().fork().state
    state.memo_keys[0, 0] = 7
    twin, bare = state.copy(), state.copy(MEMORY)
    twin.motors.speed[0] += 1.0
    assert twin.motors.speed[0] != state.motors.speed[0] == bare.motors.speed[0]
    assert (twin.memo_keys[0, 0], bare.memo_keys[0, 0]) == (7, 0)


class Named(NamedTuple):
    copy: Any


def test_a_table_called_like_something_of_a_block_is_refused() -> None:
    with pytest.raises(TypeError, match="Named: blocks have attributes named copy; choose other names"):
        Block(Named(np.zeros(3)))


def test_a_world_stays_small_whatever_its_store() -> None:
    """Memory of solutions has slots by the length of a row: a store of three times the wiring takes hardly more room."""
    sizes, slots = [], []
    for wiring in (running().wiring, wiring_list.load(pumps(100))):
        network = Network.build(wiring)
        sizes.append(sum(block._whole.nbytes for block in (network.net, network.par, network.state)))
        slots.append(len(network.state.memo_used))
    assert max(sizes) <= 30e6
    assert min(slots) > 1000
    assert lengths(wiring_list.load(pumps(100)), network.net)[1] > 1800

"""Preparation: two processes compile side by side, and what they leave is joined without mixing indexes."""

import json
import os
import pickle
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from course import library, preparing
from scenarios.compiling import kernel
from scenarios.compiling.progress import LINES


def put(folder: Path, name: str, *codes: str) -> None:
    """One function as the compiler files it: an index and numbered code."""
    (folder / "physics").mkdir(exist_ok=True)
    (folder / "physics" / f"{name}.nbi").write_text(f"index of {folder.name}")
    for n, code in enumerate(codes, 1):
        (folder / "physics" / f"{name}.{n}.nbc").write_text(code)


def test_is_a_function_of_both_kept_whole(tmp_path: Path) -> None:
    wiring, plant = tmp_path / "wiring", tmp_path / "plant"
    wiring.mkdir()
    plant.mkdir()
    put(wiring, "exact.exp-12.py311", "by wiring")
    put(plant, "exact.exp-12.py311", "by plant", "second of plant")
    put(plant, "rack.step[1]-30.py311", "rack")
    kernel.merge(plant, wiring)
    left = {file.name: file.read_text() for file in (wiring / "physics").iterdir()}
    assert left == {
        "exact.exp-12.py311.nbi": "index of wiring",
        "exact.exp-12.py311.1.nbc": "by wiring",
        "rack.step[1]-30.py311.nbi": "index of plant",
        "rack.step[1]-30.py311.1.nbc": "rack",
    }


@pytest.mark.slow
def test_prepared_folder_is_whole_and_every_part_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Started beside a package of the same name, as in a checkout, it still compiles the one that is running."""
    elsewhere = tmp_path / "elsewhere" / "scenarios"
    elsewhere.mkdir(parents=True)
    (elsewhere / "__init__.py").write_text("raise SystemExit('not this one')\n")
    monkeypatch.chdir(elsewhere.parent)
    lines: list[str] = []
    folder = tmp_path / "kernel"
    kernel.prepare(folder, lines.append)
    assert kernel.is_prepared(folder)
    assert sorted(lines) == sorted(LINES)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["elsewhere", "kernel"]
    code = next(folder.rglob("*.nbc"))
    whole = code.read_bytes()
    code.write_bytes(whole[:-1])
    assert not kernel.is_prepared(folder)
    code.write_bytes(whole)
    assert kernel.is_prepared(folder)


WORK = """
import sys
from scenarios.call import Session
from course.screen.view import view
session = Session.open(sys.argv[1], 7)
view(session)
world = session.world.fork()
world.advance(60.0)
world.volts("Q5:1", "Q5:3"), world.ohms("K5:1", "K5:2"), world.insulation("M5:T1", "PE"), world.touch_volts("K5")
for name in world.store.points:
    world.point(name)
"""


@pytest.mark.slow
def test_does_a_call_find_everything_prepared(tmp_path: Path) -> None:
    """Whoever opens a call and measures meets no compiler; only what Python calls has a file, the rest is part of it."""
    subprocess.run(
        [sys.executable, "-c", WORK, str(library.rows()[0]["id"])],
        env={**os.environ, "HALFSPLIT_CACHE": str(tmp_path), "HALFSPLIT_PREPARE": "1"}, check=True, capture_output=True,
    )  # fmt: skip
    folder = next(tmp_path.glob("kernel-*"))
    sealed_files = json.loads((folder / kernel.SEAL).read_text())
    assert set(kernel.sums(folder)) == set(sealed_files)
    names = {Path(name).name.split("-")[0] for name in sealed_files}
    assert {"loop.run", "step.go_on", "rack.step", "probes.solve_present"} <= names
    assert not {"settle.settle", "balance.balance", "motor.branch"} & names


STATE = """
import sys
from prints import print_of
from scenarios.call import Session
world = Session.open(sys.argv[1], 7).world.fork()
world.advance(600.0)
print(print_of(world))
"""
FIXTURES = Path(__file__).parent / "fixtures"


def state_of_a_call(**environ: str) -> str:
    """Fingerprint of a call's world after ten minutes, in a process of its own."""
    command = [sys.executable, "-c", STATE, str(library.rows()[0]["id"])]
    path = os.pathsep.join([str(FIXTURES), str(kernel.PACKAGE.parent)])
    return subprocess.run(
        command, env={**os.environ, "PYTHONPATH": path, **environ}, check=True, capture_output=True, text=True
    ).stdout  # fmt: skip


@pytest.mark.slow
def test_another_version_of_the_compiler_gives_the_same_bits(tmp_path: Path) -> None:
    """Where `doors` is not taken, the whole night, from its build to ten minutes after the ticket, comes out the same."""
    assert kernel.DOORS
    ours = state_of_a_call()
    assert len(ours) > 60
    assert state_of_a_call(HALFSPLIT_CACHE=str(tmp_path), HALFSPLIT_DOORS="0", HALFSPLIT_PREPARE="0") == ours


def sealed(folder: Path) -> Path:
    """A prepared folder of one function."""
    folder.mkdir()
    put(folder, "rack.step-30.py311", "code")
    (folder / "physics" / "rack.step-30.py311.nbi").write_bytes(pickle.dumps("version") + pickle.dumps({"one": 1}))
    (folder / kernel.SEAL).write_text(json.dumps(kernel.sums(folder)))
    return folder / "physics"


def test_is_a_folder_whole_to_which_another_store_has_added_its_code(tmp_path: Path) -> None:
    """Compiled code for other shapes goes to the same index; that is growth and no damage."""
    place = sealed(tmp_path / "kernel")
    assert kernel.is_prepared(place.parent)
    (place / "rack.step-30.py311.nbi").write_bytes(pickle.dumps("version") + pickle.dumps({"one": 1, "another": 2}))
    (place / "rack.step-30.py311.2.nbc").write_text("more code")
    assert kernel.is_prepared(place.parent)


@pytest.mark.parametrize(
    "spoilt", [b"", pickle.dumps("version"), pickle.dumps("version") + pickle.dumps({"one": 1, "more": 2})[:-1]]
)
def test_is_a_torn_index_found(tmp_path: Path, spoilt: bytes) -> None:
    place = sealed(tmp_path / "kernel")
    (place / "rack.step-30.py311.nbi").write_bytes(spoilt)
    assert not kernel.is_prepared(place.parent)


def test_is_a_lost_file_found(tmp_path: Path) -> None:
    place = sealed(tmp_path / "kernel")
    (place / "rack.step-30.py311.1.nbc").unlink()
    assert not kernel.is_prepared(place.parent)


# ---- beside a server -------------------------------------------------------------------------------------------------------


def child(*lines: str, status: int = 0) -> list[str]:
    """A preparation that says some lines and ends."""
    code = f"import sys\nfor line in {list(lines)!r}: print(line, file=sys.stderr, flush=True)\nsys.exit({status})"
    return [sys.executable, "-c", code]


def test_how_far_a_preparation_is_can_be_asked() -> None:
    waits = "import sys, time; print('plant: gauges', file=sys.stderr, flush=True); time.sleep(3)"
    beside = preparing.Beside([sys.executable, "-c", waits])
    while not beside.lines:
        time.sleep(0.01)
    assert beside.state == {"ready": False, "begun": 1, "of": len(LINES), "part": "gauges", "failed": ""}
    beside.wait()
    assert beside.state == {"ready": True, "begun": 1, "of": len(LINES), "part": "", "failed": ""}


def test_a_line_that_is_no_part_is_shown_and_not_counted(capsys: pytest.CaptureFixture[str]) -> None:
    beside = preparing.Beside(child("wiring: network of the store", "a warning", "plant: plant", "plant: gauges"))
    beside.wait()
    assert beside.state["begun"] == 3
    assert "a warning" in capsys.readouterr().err


def test_a_preparation_that_fails_says_what_to_do() -> None:
    beside = preparing.Beside(child("plant: plant", status=1))
    beside.wait()
    assert not beside.state["ready"]
    assert "Start halfsplit again" in beside.state["failed"]


def test_of_several_processes_that_need_it_one_prepares(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page of calls and a notebook opened meanwhile: the second waits for the first instead of compiling beside it."""
    made = []

    def slow(folder: Path, report: object) -> None:
        made.append(folder)
        time.sleep(0.5)
        folder.mkdir()
        (folder / kernel.SEAL).write_text("{}")

    monkeypatch.setattr(kernel, "prepare", slow)
    monkeypatch.setattr(kernel, "folder_of_this_version", lambda: tmp_path / "kernel-x")
    threads = [threading.Thread(target=kernel.ready, args=(print,)) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert made == [tmp_path / "kernel-x"]

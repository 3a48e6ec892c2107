"""A new kind of part is one file: a horn, which this package does not know, in a copy of it and of the first store.

The copy gets one module and one store file, and a call that is played in that store. Everything else is asked of the horn as of
any other part: it is seen, heard, felt, read, measured, broken, replaced and drawn, and nothing is compiled anew.
"""

import filecmp
import json
import os
import subprocess
import sys
from pathlib import Path
from shutil import copytree, ignore_patterns
from typing import Any

import pytest

import scenarios

ROOT = Path(scenarios.__file__).parents[1]
HORN = '''
"""A horn that sounds as long as it has volts."""

from collections.abc import Iterator

from scenarios.parts.common import COIL_FAULTS, CONTROL_JOINT, LOOK, REPLACE, Here, Seen, kind, magnet


def look(here: Here) -> Iterator[Seen]:
    """Its membrane."""
    word = "a blur" if here.wired.energised else "still"
    yield Seen("membrane", word, f"Membrane is {word}.")


def listen(here: Here) -> Iterator[Seen]:
    """It blares."""
    word = "blaring" if here.wired.energised else "silent"
    yield Seen("sound", word, f"{word.capitalize()}.")


kind(
    name="horn",
    title="horn",
    ratings={"volts": 120.0, "VA": 20.0},
    look=look,
    listen=listen,
    warmth=magnet,
    acts=(LOOK, "listen {p}:Listen", "open {p}:Cover off", "close {p}:Cover on", REPLACE),
    spare="horn",
    minutes=12.0,
    symbol="m-12 -5v10l24 6v-22z",
    faults={**COIL_FAULTS, **CONTROL_JOINT},
)
'''
IN_DEVICES = "  HN1: {kind: horn, group: walk-ins, place: floor, says: alarm horn, load: {1-2: coil}}\n"
IN_STRINGS = "  - {wire: 990, run: 'Y1 > HN1:1-2 > X2', awg: 14, m: 20}\n"
ASKED = """
import json
from scenarios.assignments import given, underived
from scenarios.call import Session
from scenarios.faults.catalogue import by_id, catalogue
from course.screen.acts import acts_of
from course.desk import drawing
from course.desk.drawing import check
from scenarios.compiling import seals

with given(underived("horn_sounds")):
    session = Session.open("horn_sounds", 0)
told = {"compiled": seals.of("compiled"), "steps": {}}
def do(line):
    saw = session.do(line)
    told["steps"][line] = [saw.kind, saw.text, saw.minutes]
for line in ("go floor", "look HN1", "listen HN1", "feel HN1", "read HN1", "open HN1", "volts HN1:1 HN1:2"):
    do(line)
told["acts"] = [act["line"] for act in acts_of(session, "HN1")]
faults = [fault for fault in catalogue(session.world.store) if fault.part == "HN1"]
told["faults"] = sorted(fault.id for fault in faults)
session.world.apply(by_id(faults, "coil_open:HN1:1"))
session.world.advance(5.0)
told["broken"] = session.do("listen HN1").text
for line in ("go panel", "off Q8", "go floor", "replace HN1 anyway=yes", "go panel", "on Q8", "go floor"):
    do(line)
told["mended"] = session.do("listen HN1").text
store = session.world.store
told["sheets"] = [id for id in drawing.every_id(store) if any(part["id"] == "HN1" for part in drawing.geometry(store, id)["parts"])]
sketched = {sheet["id"]: sheet["place"] for sheet in drawing.sheets(store) if sheet["kind"] == "sketch"}
told["places"] = [sketched[id] for id in told["sheets"] if id in sketched]
told["stroke"] = any("m-12 -5v10l24 6v-22z" in line["d"] for id in told["sheets"] for line in drawing.geometry(store, id)["lines"])
told["complaints"] = [text for id in told["sheets"] for text in check.complaints(drawing.geometry(store, id))]
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package with a module, a store, and a call of it."""
    top = tmp_path_factory.mktemp("house")
    for room in ("scenarios", "graders", "course"):
        copytree(ROOT / room, top / room, ignore=ignore_patterns("__pycache__"))
    inside = top / "scenarios"
    (inside / "parts" / "horn.py").write_text(HORN, "utf-8")
    store = (inside / "stores" / "corner_market.yaml").read_text("utf-8").replace("id: corner_market", "id: horn_market")
    store = store.replace("\nbundles:\n", f"{IN_DEVICES}\nbundles:\n", 1).replace("\nstrings:\n", f"\nstrings:\n{IN_STRINGS}", 1)
    (inside / "stores" / "horn_market.yaml").write_text(store, "utf-8")
    for folder in ("calls", "keys"):
        text = (inside / folder / "walk_in_warm.yaml").read_text("utf-8").replace("walk_in_warm", "horn_sounds")
        text = text.replace("store: corner_market", "store: horn_market").replace("parts: [contactor,", "parts: [horn, contactor,")
        (inside / folder / "horn_sounds.yaml").write_text(text, "utf-8")
    return top


@pytest.fixture(scope="module")
def told(copy: Path) -> dict[str, Any]:
    """What the copy says of its horn."""
    environ = {**os.environ, "PYTHONPATH": str(copy)}
    done = subprocess.run([sys.executable, "-c", ASKED], capture_output=True, text=True, check=False, cwd=copy, env=environ)
    assert done.returncode == 0, done.stderr[-3000:]
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_only_its_own_file_was_added_to_the_code(copy: Path) -> None:
    new, changed = [], []
    for path in copy.rglob("*.py"):
        twin = ROOT / path.relative_to(copy)
        if not twin.exists():
            new.append(path.relative_to(copy).as_posix())
        elif not filecmp.cmp(path, twin, shallow=False):
            changed.append(path)
    assert (new, changed) == (["scenarios/parts/horn.py"], [])


@pytest.mark.slow
def test_a_horn_is_seen_heard_felt_and_read(told: dict[str, Any]) -> None:
    steps = told["steps"]
    assert steps["look HN1"][1] == "Membrane is a blur."
    assert steps["listen HN1"][1] == "Blaring."
    assert steps["feel HN1"][1] == "Warm."
    assert steps["read HN1"][1] == "Alarm horn; nothing more on it."


@pytest.mark.slow
def test_a_horn_is_measured(told: dict[str, Any]) -> None:
    kind, text, _ = told["steps"]["volts HN1:1 HN1:2"]
    assert kind == "reading"
    assert "11" in text
    assert " V" in text


@pytest.mark.slow
def test_a_horn_breaks_and_is_replaced(told: dict[str, Any]) -> None:
    assert told["faults"] == ["coil_open:HN1:1", "coil_shorted:HN1:1", "control_joint:HN1:1", "control_joint:HN1:2"]
    assert told["broken"] == "Silent."
    assert told["steps"]["replace HN1 anyway=yes"][1:] == ["New horn for HN1 fitted.", 12.0]
    assert told["mended"] == "Blaring."
    assert told["acts"] == ["look HN1", "listen HN1", "close HN1", "replace HN1"], "its cover is off"


@pytest.mark.slow
def test_a_horn_is_drawn_by_its_own_symbol_and_at_its_place(told: dict[str, Any]) -> None:
    assert "floor" in told["places"], "on a sketch of where it stands"
    assert told["stroke"]
    assert len(told["sheets"]) >= 2
    assert told["complaints"] == []


@pytest.mark.slow
def test_a_horn_compiles_nothing_anew(told: dict[str, Any]) -> None:
    from scenarios.compiling import seals

    assert told["compiled"] == seals.of("compiled")

"""The catalogue of faults: does every entry point at real parameters, stay within their range, and come off again?"""

import dataclasses
import json
from pathlib import Path

import fields
import numpy as np
import pytest
from stores import corner_market

from scenarios import steps
from scenarios.compiling.quantities import layout
from scenarios.electrical import parts
from scenarios.errors import BadRequest
from scenarios.faults import paths
from scenarios.faults.catalogue import PRIORS, Change, Fault, by_id, catalogue, places_on
from scenarios.faults.enumerate import EACH
from scenarios.faults.modes import MODES
from scenarios.files import yamlfile
from scenarios.parts.registry import KINDS
from scenarios.refrigeration.store import KEPT
from scenarios.store import files as store_files

STORES = sorted(yamlfile.FOLDERS["store"].glob("*.yaml"))
ELECTRICAL = {
    "wires": parts.Conductor,
    "switches": parts.Switch,
    "devices": parts.Part,
    "loads": parts.Load,
    "motors": parts.Motor,
    "protectors": parts.Protector,
    "transformers": parts.Transformer,
    "drives": parts.Drive,
    "phases": parts.Phase,
    "nodes": parts.Node,
}
RECORDS = {"electrical": ELECTRICAL, "plant": KEPT}


@pytest.fixture(scope="module", params=STORES, ids=lambda path: path.stem)
def store(request):
    return store_files.load_file(request.param)


@pytest.fixture(scope="module")
def wiring(store):
    return store.wiring


@pytest.fixture(scope="module")
def faults(store, wiring):
    return catalogue(store)


@pytest.fixture(scope="module")
def first():
    """Faults of the store whose marks are named here."""
    return catalogue(corner_market())


class Tables:
    """One side of a world: a table of records by name, every number 0.77."""

    def __init__(self, records, rows=400):
        for name, cls in records.items():
            table = np.full(rows, 0.77).astype(layout(cls))
            for item in dataclasses.fields(cls):
                if item.type in (bool, "bool"):
                    table[item.name] = False
            setattr(self, name, table)


def sides():
    return {side: Tables(records) for side, records in RECORDS.items()}


def spots(change, wiring):
    return paths.spots(wiring, change.side, change.path)


def put(fault, made, sound, wiring, severity):
    for change in fault.changes:
        for spot in spots(change, wiring):
            healthy = getattr(sound[change.side], spot.table)[spot.field][spot.row].item()
            getattr(made[change.side], spot.table)[spot.field][spot.row] = change.of(healthy, severity)


def mend(fault, made, sound, wiring):
    for change in fault.changes:
        for table, row, field in spots(change, wiring):
            getattr(made[change.side], table)[field][row] = getattr(sound[change.side], table)[field][row]


def state(made):
    return {(side, name): getattr(tables, name).tobytes() for side, tables in made.items() for name in RECORDS[side]}


def test_has_every_fault_its_own_id_and_plain_words(faults):
    assert len({fault.id for fault in faults}) == len(faults) > 400
    for fault in faults:
        assert fault.mode in MODES
        assert fault.prior in PRIORS.values()
        assert "$" not in f"{fault.id}{fault.part}{fault.at}{fault.title}{fault.mends}{fault.changes}", fault.id


def test_has_the_first_store_the_faults_it_always_had():
    """A pin: calls and keys name faults by id; what each is, changes and is mended by is as version dea8758 had it."""
    was = json.loads((Path(__file__).parent / "fixtures" / "faults_dea8758.json").read_text("utf-8"))
    faults = catalogue(corner_market())
    assert {fault.id for fault in faults} == set(was)
    assert sum(fault.severities for fault in faults) == 1174
    for fault in faults:
        changes = [[c.side, c.path.replace("[0]", ""), list(c.values), c.how] for c in fault.changes]
        told = [fault.part, fault.mode, fault.at, fault.title, fault.prior, list(fault.mends)]
        *words, before = was[fault.id]
        assert told == words
        assert changes == [[side, moved(side, path.replace("[0]", "")), values, how] for side, path, values, how in before]


def moved(side: str, path: str) -> str:
    """Where a path of that version stands today."""
    return fields.today(f"plant.{path}")[0].removeprefix("plant.") if side == "plant" else path


def test_can_every_fault_be_named_in_steps(faults):
    """A trainee names part, mode and place; every mend is the beginning of a step."""
    for fault in faults:
        where = f" at={fault.at}" if fault.at else ""
        step = steps.parse(f"cause {fault.part} {fault.mode}{where}")
        assert step.args == (fault.part, fault.mode)
        for step in fault.mends:
            filling = {"set": " 4.4", "move-product": " to C10"}.get(step.split()[0], "")
            assert steps.parse(step + filling).verb == step.split()[0]
            assert fault.mended_by(steps.parse(step + filling).line)


def test_does_every_change_edit_a_declared_parameter_within_its_range(faults, wiring):
    """Every path ends at a field of a record; every value has its type and range, taken from the declaration itself."""
    for fault in faults:
        for change in fault.changes:
            for spot in spots(change, wiring):
                item = {item.name: item for item in dataclasses.fields(RECORDS[change.side][spot.table])}[spot.field]
                for value in change.values:
                    assert isinstance(value, bool) == (item.type in (bool, "bool")), fault.id
                    if change.how == "set":
                        assert item.metadata["least"] <= value <= item.metadata["most"], fault.id


def test_do_electrical_rows_count_as_the_network_counts(faults, wiring):
    """Rows lie inside the tables that the network builds from the same wiring list."""
    switches = [element for element in wiring.elements if element.role != "load"]
    most = {
        "wires": len(wiring.wires),
        "switches": len(switches),
        "devices": len(wiring.devices),
        "loads": len(wiring.elements) - len(switches),
        "motors": sum(d.kind == "motor3" for d in wiring.devices.values()),
        "protectors": sum(e.symbol in ("breaker", "heater", "fuse") for e in switches),
        "transformers": 1,
        "drives": 1,
        "phases": 3,
        "nodes": len(wiring.terminals),
    }
    for fault in faults:
        for change in fault.changes:
            if change.side == "electrical":
                assert all(0 <= spot.row < most[spot.table] for spot in spots(change, wiring)), fault.id


@pytest.mark.parametrize(
    ("name", "table", "device", "pole"),
    [
        ("pole_burnt:K5:1", "switches", "K5", 0),
        ("pole_burnt:K5:5", "switches", "K5", 2),
        ("breaker_pole_open:Q5:3", "switches", "Q5", 1),
        ("heater_open:F5:6T3", "switches", "F5", 2),
    ],
)
def test_is_the_right_pole_edited(first, name, table, device, pole):
    (spot,) = spots(by_id(first, name).changes[0], corner_market().wiring)
    element = [e for e in corner_market().wiring.elements if e.role != "load"][spot.row]
    assert (spot.table, element.device, element.role, element.pole) == (table, device, "pole", pole)


def test_is_the_right_joint_edited(first):
    """One screw with two wires has two joints, each its own fault; both ends of a wire are told apart."""
    for fault in first:
        if fault.id.startswith(("power_joint", "control_joint")):
            (spot,) = spots(fault.changes[0], corner_market().wiring)
            wire = corner_market().wiring.wires[spot.row]
            assert {"joint_a": wire.a, "joint_b": wire.b}[spot.field] == fault.at
    assert len([fault for fault in first if fault.at == "M6:T1" and fault.mode == "loose_burnt"]) == 2


def test_does_every_fault_change_something_and_come_off_again(faults, wiring):
    """Put in and mended, at every severity: the tables are byte for byte as before; severities differ from each other."""
    made, sound = sides(), sides()
    before = state(made)
    for fault in faults:
        seen = set()
        for severity in range(fault.severities):
            put(fault, made, sound, wiring, severity)
            after = state(made)
            assert after != before, fault.id
            seen.add(tuple(after.values()))
            mend(fault, made, sound, wiring)
            assert state(made) == before, fault.id
        assert len(seen) == fault.severities, fault.id


def test_are_relative_changes_taken_from_the_sound_value(first):
    made, sound = sides(), sides()
    fault = by_id(first, "overload_set_low:F5")
    for severity, share in enumerate((0.75, 0.5)):
        put(fault, made, sound, corner_market().wiring, severity)
        cells = spots(fault.changes[0], corner_market().wiring)
        assert len(cells) == 3
        assert all(made["electrical"].protectors["rating"][cell.row] == pytest.approx(0.77 * share) for cell in cells)
    assert Change("plant", "x.y", (2.0,), "plus").of(3.0) == 5.0


def test_are_all_common_kinds_of_fault_there(first):
    """Contactor, lug, overload, motor, breaker, fuse, relay, level switch, transformer, solenoid, valve, cut-out, condenser ..."""
    have = {(fault.part, fault.mode) for fault in first}
    for part, mode in [
        ("K5", "does_not_close"),
        ("K5", "does_not_open"),
        ("K5", "open_inside"),
        ("K5", "stuck_worn"),
        ("K5", "loose_burnt"),
        ("F5", "stuck_worn"),
        ("F5", "set_wrong"),
        ("M5", "open_inside"),
        ("M5", "to_earth"),
        ("M5", "stuck_worn"),
        ("Q5", "does_not_close"),
        ("Q5", "stuck_worn"),
        ("FU5", "open_inside"),
        ("KR5", "does_not_close"),
        ("S5", "does_not_close"),
        ("TR8", "open_inside"),
        ("SV9", "open_inside"),
        ("SV9", "does_not_open"),
        ("XV4", "too_little"),
        ("XV4", "too_much"),
        ("HP1", "set_wrong"),
        ("HP1", "does_not_close"),
        ("COIL", "blocked_dirty"),
        ("COIL", "too_much"),
        ("FAN", "stuck_worn"),
        ("U6", "open_inside"),
        ("RECEIVER", "leaking"),
        ("FLOAT", "does_not_open"),
        ("RACK", "too_little"),
        ("C4", "stuck_worn"),
        ("C4", "blocked_dirty"),
        ("C4", "does_not_close"),
        ("C4", "too_much"),
        ("COMP2", "leaking"),
        ("SV", "open_inside"),
    ]:
        assert (part, mode) in have, (part, mode)


def test_are_places_on_a_part_listed(first):
    places = places_on(first)
    assert places["C4"] == ["fans", "coil", "defrost", "door", "grille", "sensor"]
    assert {"K5:1", "K5:3", "K5:5", "K5:A1"} <= set(places["K5"])


def test_does_an_unknown_fault_name_its_neighbours(first):
    with pytest.raises(BadRequest, match=r"no fault 'pole_burnt:K99:1' in this store; there are pole_burnt:K"):
        by_id(first, "pole_burnt:K99:1")


@pytest.mark.parametrize(
    "path",
    [
        "pole_burnt K5 7",
        "pole_burnt K99 0",
        "joint_ohms K5:9",
        "node_leak X9",
        "seized Q5",
        "melted K5",
    ],
)
def test_is_a_path_to_nothing_refused(wiring, path):
    with pytest.raises(BadRequest, match=path.split()[0]):
        paths.electrical(wiring, path)
    with pytest.raises(BadRequest, match="is not a plant path"):
        paths.plant("circuits[1]valve")


def test_is_nothing_in_the_catalogue_a_symptom(faults):
    """Rows know parameters only: no readings, displays, alarms or words of what one would see."""
    paths_of = {change.path for fault in faults for change in fault.changes}
    assert len(paths_of) > 500
    words = ("reading", "display", "alarm", "shows", "superheat", "look")
    assert not [path for path in paths_of for word in words if word in path]


def test_has_every_row_of_a_kind_known_words():
    """A slip in a row is found in all kinds at once, whether or not a store has such a part."""
    for kind in KINDS.values():
        for name, row in kind.faults.items():
            assert row.each in EACH, (kind.name, name)
            assert row.mode in MODES, (kind.name, name)
            assert row.prior in PRIORS, (kind.name, name)


def test_is_a_mend_matched_word_by_word():
    fault = Fault("x", "K5", "does_not_close", "K5:1", "", 4, (), ("replace K5",))
    assert fault.mended_by("replace K5")
    assert not fault.mended_by("replace K51")
    assert not fault.mended_by("look K5")

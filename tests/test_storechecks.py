"""A store file that the world cannot run is refused with line and reason; one that is accepted runs, whatever its sizes."""

import copy
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from stores import FILE, raw

from scenarios.files import callfile

SHOP = FILE.read_text("utf-8")


def problems(path: Path, text: str) -> list[str]:
    """Every problem of a store file of this text."""
    path = path / "other_market.yaml"
    path.write_text(text.replace("id: corner_market", "id: other_market"), "utf-8")
    return callfile.examined(path, "store")[1]


def line_of(words: str, text: str) -> int:
    """Number of the line that begins with some words."""
    lines = text.splitlines()
    whole = [n for n, line in enumerate(lines, 1) if line.startswith(words)]
    return (whole or [n for n, line in enumerate(lines, 1) if line.strip().startswith(words)])[0]


@pytest.mark.parametrize(
    ("old", "new", "line", "reason"),
    [
        ("{mark: PUMP, motor: M5, call: KR5, level: S5}", "{mark: PUMP, motor: M5, call: KR5}", "pump:",
         "level is missing, a spray pump needs one (level_switch)"),
        ("pump: {mark: PUMP, motor: M5", "pump: {mark: PUMP, motor: M6", "pump:", "M6 is racks[0].condenser.fans[0].motor already"),
        ("solenoid: SV10", "solenoid: SV9", "- {mark: C10", "SV9 is racks[0].groups[0].circuits[8].solenoid already"),
        ("motor: M1\n", "motor: M9\n", "motor: M9", "M9 is not in the wiring list"),
        ("motor: M1\n", "motor: K1\n", "motor: K1", "K1 is a contactor3, must be a motor3"),
        ("earthed: true", "earthed: true, system: high-leg", "supply:", "unknown key"),
        ("earthed: true", "earthed: false", "supply:", "False is not allowed"),
        ("kind: motor_room,", "kind: machine_room,", "motor_room: {title: Motor", "'machine_room' is not allowed"),
        ("Q4: {amps: 80}", "Q4: {kind: breaker3, amps: 80}", "Q4:", "Q4 is blocks[0].devices.Q$n already"),
        ("amps: 50}", "amps: 0}", "Q1:", "0 is not a positive number"),
        ("run: L > Q5 > K5", "run: L > Q55 > K5", "- {wire: 501,",
         "'Q55' is no part, terminal or rail of the list (did you mean Q5?)"),
        ("strings:\n  - {wire: 510", "strings:\n  - {wire: 511, run: Y1 > FU5:1, awg: 14, m: 1}\n"
         "  - {wire: 512, run: X2 > FU5:1, awg: 14, m: 1}\n  - {wire: 510", "FU5:", "3 wires under one screw"),
        ("limit_F: 45, height: 4.4", "limit_F: 45, colour: red, height: 4.4", "- {mark: C10", "unknown"),
        # gear that does not go together
        ("line_volts: 480", "line_volts: 208", "M5:", "M5 is for 460 V, the supply has 208 V"),
        ("line_volts: 480", "line_volts: 208", "TR8:", "TR8 is for 480 V, the supply has 208 V"),
        ("F1: {dial: 21.0", "F1: {dial: 12.0", "F1:", "F1 is set to 12 A, M1 takes 19.5; allowed are 19.1 to 24.4 A"),
        ("Q4: {amps: 80}", "Q4: {amps: 30}", "Q4:", "Q4 carries 30 A, M4 takes 32"),
        ("X1: {kind: hot, pair: X2, volts: 120}", "X1: {kind: hot, pair: X2, volts: 24}", "H6:",
         "H6 is for 120 V, its rail X1 has 24 V"),
        ("swept_flow_l_s: 12.0", "swept_flow_l_s: 22.5", "- mark: COMP1",
         "COMP1 asks 25.9 hp at 46 C condensing, its motor M1 gives 17.2"),
        ("kind: evaporative\n", "kind: evaporative\n      inside_ua: 9000\n", "condenser:", "COIL needs 21 K for the 191 kW"),
        ("charge_kg: 165", "charge_kg: 16", "charge_kg:", "16 kg is too small"),
        ("charge_kg: 165", "charge_kg: 1650", "charge_kg:", "1650 kg is too large"),
        ("thermostat: {cut_in: -2.0, cut_out: -4.5}", "thermostat: {cut_in: -4.5, cut_out: -2.0}", "- {mark: C7",
         "C7 cuts in at -4.5 and out at -2 C"),
        ("{part: LP1, opens_psig: 18", "{part: LP1, opens_psig: 60", "low: {part: LP1",
         "of COMP1 opens above its group's design suction"),
        ("{part: HP1, opens_psig: 318", "{part: HP1, opens_psig: 200", "high: {part: HP1", "of COMP1 opens below 46 C condensing"),
        ("refrigerant: R-448A", "refrigerant: R-12", "refrigerant:", "no table of R-12; there are R-134a"),
        ("suction_dew_F: 20", "suction_dew_F: 20\n        suction_dew: -6.0", "- mark: MT", "one of them, is needed"),
        ("mark: FAN, motor: M6, call: KR6, drive: U6", "mark: FAN, motor: M6, call: KR6", "U6:",
         "nothing in the plant moves or loads U6"),
        ("            heater: E1\n", "", "E$n:", "nothing in the plant moves or loads E1"),
        ("motor: M6, call: KR6", "motor: M5, call: KR6", "M6:", "nothing in the plant moves or loads M6"),
        ("oil: OIL1", "oil: K1", "oil: K1", "K1 is a contactor3, must be a oil_glass"),
        ("mark: COMP2", "mark: OIL1", "- mark: OIL1", "OIL1 is racks[0].groups[0].compressors[0].oil already"),
        ("mark: COIL", "mark: K1", "condenser:", "K1 is a part of the wiring list"),
        ("glass: {part: GLASS,", "glass: {part: GLASS, colour: green,", "receiver:", "unknown key"),
        ("P7: receiver_pressure", "P7: reciever_pressure", "P7:", "(did you mean receiver_pressure?)"),
        ("P7: receiver_pressure", "P7: {shows: receiver_pressure, place: attic}", "P7:", "'attic' is no place"),
        ("T8: suction_temperature", "T9: suction_temperature", "points: {P5", "T9 is a point already"),
    ],
)  # fmt: skip
def test_what_the_world_cannot_run_is_refused_with_line_and_reason(tmp_path, old, new, line, reason):
    assert SHOP.count(old) >= 1, "the store has changed; mend the test"
    text = SHOP.replace(old, new, 1)
    got = problems(tmp_path, text)
    assert any(reason in row and re.match(rf"other_market\.yaml:{line_of(line, text)} ", row) for row in got), got


@pytest.mark.parametrize(
    ("old", "new"),
    [("run: L > Q5 > K5", "run: L > Q55 > K5"), ("kind: breaker3, group: spray pump", "kind: braker3, group: spray pump")],
)
def test_one_wrong_mark_gives_one_complaint(tmp_path, old, new):
    assert len(problems(tmp_path, SHOP.replace(old, new, 1))) == 1


def sized(machines: int, cases: int) -> str:
    """The shipped store with other numbers of compressors and cases; both walk-ins keep the ends of the list."""
    data: dict[str, Any] = raw()
    data["id"] = "other_market"
    compressors, room = data["blocks"]
    compressors["for"]["n"], room["for"]["n"] = list(range(1, machines + 1)), list(range(101, cases + 101))
    for mark in [f"{head}{n}" for head in ("Q", "M", "F", "HC") for n in range(machines + 1, 5)]:
        del data["devices"][mark]
    group = data["racks"][0]["groups"][0]
    group["compressors"] = group["compressors"][:machines]
    goods = [copy.deepcopy(group["circuits"][n % 8]) for n in range(cases)]
    for n, circuit in enumerate(goods, 101):
        circuit.update(mark=f"C{n}", valve=f"XV{n}", solenoid=f"SV{n}", call=f"KC{n}")
    group["circuits"] = [*goods, *group["circuits"][8:]]
    return yaml.safe_dump(data, sort_keys=False)


RUN = """
import sys
from pathlib import Path
from scenarios.files import yamlfile
from scenarios.site import World
from scenarios.store import files as store_files
from scenarios.visit import controller_log, scenery, senses
from scenarios.visit.technician import Technician
store = store_files.load_file(Path(sys.argv[1]))
call = yamlfile.load(yamlfile.FOLDERS["call"] / "walk_in_warm.yaml")
world = World.fresh(store, call, 0.0, 3)
world.advance(30.0)
for point in store.points: world.point(point)
for place in world.places: scenery.scene(world, place, True)
for part in store.parts: senses.look(world, Technician(), part)
standing = scenery.standing(world)
log = controller_log.trend_rows(world)
print(len(standing["air"]), len(log["channels"]), len(world.plant_in.speed), world.trend.shape[1])
"""


@pytest.mark.parametrize(("machines", "cases"), [(3, 4), (1, 1), (2, 20)])
def test_a_store_of_other_sizes_is_accepted_and_runs(tmp_path, machines, cases):
    """In plain Python, where reaching past the end of an array is an error; compiled code would write there."""
    assert problems(tmp_path, sized(machines, cases)) == []
    plain = {**os.environ, "NUMBA_DISABLE_JIT": "1"}
    got = subprocess.run(
        [sys.executable, "-c", RUN, str(tmp_path / "other_market.yaml")], capture_output=True, text=True, env=plain
    )
    assert got.returncode == 0, got.stderr[-2000:]
    circuits = cases + 2
    assert got.stdout.split() == [str(n) for n in (circuits, 3 + circuits, machines, 4 + circuits)]

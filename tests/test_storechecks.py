"""A store file that the world cannot run is refused with line and reason; one that is accepted runs, whatever its sizes."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from scenarios.files import callfile, yamlfile

SHOP = (yamlfile.FOLDERS["store"] / "corner_market.yaml").read_text("utf-8")


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


FAN_2 = """
  Q7: {kind: breaker3, group: condenser fan, place: panel, says: breaker of fan 2, amps: 15}
  M7: {kind: motor3, group: fan 2, place: roof, says: fan 2, plant: fan, hp: 3, volts: 460, amps: 4.4, locked_amps: 32, rpm: 1745}
bundles:
  - {wire: 651, run: L > Q7 > M7, awg: 10, m: [1, 45]}
"""


@pytest.mark.parametrize(
    ("old", "new", "line", "reason"),
    [
        ("plant: pump,", "", "devices:", "no part is the plant's 'pump', needed is M5, a motor3 in roof with plant: pump"),
        ("plant: pump,", "plant: fan,", "M5:", "is the plant's 'fan', allowed is M6 only, a motor3 in roof"),
        ("plant: fan,", "plant: fan 2,", "M6:", "plant 'fan 2' is nothing this store has"),
        ("kind: high_pressure, group: compressor $n, place: motor_room",
         "kind: oil_pressure, group: compressor $n, place: motor_room", "HP$n:",
         "an oil-pressure cut-out is nothing that the plant moves yet"),
        ("plant: high pressure $n", "plant: oil pressure $n", "HP$n:", "plant 'oil pressure 1' is nothing this store has"),
        ("place: roof, says: basin level switch", "place: floor, says: basin level switch", "S5:",
         "stands in floor, where it is not drawn"),
        ("hertz: 60", "hertz: 50", "supply:", "50 is not allowed, allowed are 60"),
        ("earthed: true", "earthed: true, system: high-leg", "supply:", "unknown key"),
        ("earthed: true", "earthed: false", "supply:", "False is not allowed"),
        ("motor_room: {title", "machine_room: {title", "machine_room:",
         "'machine_room' is unknown, allowed are van floor motor_room panel roof"),
        ("PE: {kind: earth}", "GND: {kind: earth}", "rails:", "no earth rail PE"),
        ("Q4: {amps: 80}", "Q4: {kind: breaker3, amps: 80}", "Q4:", "Q4 is said to be a part 2 times"),
        ("plant: call liquid 9}", "plant: call liquid 11}", "KC9:", "plant 'call liquid 11' is nothing this store has"),
        ("plant: solenoid 10}", "plant: solenoid 9}", "SV10:", "is the plant's 'solenoid 9', allowed is SV9 only"),
        ("plant: call pump}", "}", "KR5:", "nothing moves it"),
        ("  H6: {kind: lamp, group: condenser fan, place: panel", "  H6: {kind: lamp, group: condenser fan, place: roof", "H6:",
         "stands in roof, where it is not drawn"),
        ("amps: 50}", "amps: 0}", "Q1:", "0 is not a positive number"),
        ("run: L > Q5 > K5", "run: L > Q55 > K5", "- {wire: 501,", "'Q55' is no part, terminal or rail of the list"),
        ("strings:\n  - {wire: 510", "strings:\n  - {wire: 511, run: Y1 > FU5:1, awg: 14, m: 1}\n"
         "  - {wire: 512, run: X2 > FU5:1, awg: 14, m: 1}\n  - {wire: 510", "FU5:", "3 wires under one screw"),
        ("U6: {kind: drive3, group: condenser fan", "U6: {kind: drive3, group: spray pump", "U6:", "its group drives pump"),
        ("  - {swept_flow_l_s: 22.5, friction: 430}\n", "", "cutouts:",
         "has 4 items, allowed is one for each of the 3 compressors"),
        ("  - {swept_flow_l_s: 22.5, friction: 430}\n", "  - {swept_flow_l_s: 22.5, friction: 430}\n" * 2, "compressors:",
         "has 5 items, allowed are at most 4"),
        ("limit_F: 45, height: 4.4", "limit_F: 45, colour: red, height: 4.4", "- {title: produce walk-in", "unknown"),
    ],
)  # fmt: skip
def test_what_the_world_cannot_run_is_refused_with_line_and_reason(tmp_path, old, new, line, reason):
    assert SHOP.count(old) >= 1, "the store has changed; mend the test"
    text = SHOP.replace(old, new, 1)
    got = problems(tmp_path, text)
    assert any(reason in row and re.match(rf"other_market\.yaml:{line_of(line, text)} ", row) for row in got), got


def test_two_fans_are_refused(tmp_path):
    text = SHOP.replace("\nbundles:\n", FAN_2)
    got = problems(tmp_path, text)
    assert any("M7: is the plant's 'fan', allowed is M6 only" in row for row in got), got


def sized(machines: int, cases: int) -> str:
    """The shipped store with other numbers of compressors and cases; both walk-ins keep the ends of the list."""
    text = SHOP.replace("n: [1, 2, 3, 4]}", f"n: {list(range(1, machines + 1))}}}")
    text = text.replace("n: [1, 2, 3, 4, 5, 6, 7, 8]}", f"n: {list(range(1, cases + 1))}}}")
    for n in range(machines + 1, 5):
        text = re.sub(rf"^  (Q|M|F|HC){n}: .*\n", "", text, flags=re.M)
    data = yaml.load(text, yamlfile.Loader)
    data["compressors"], data["cutouts"] = data["compressors"][:machines], data["cutouts"][:machines]
    goods = [data["circuits"][n % 8] for n in range(cases)]
    data["circuits"] = [*goods, *data["circuits"][8:]]
    for string in data["strings"]:
        string["wire"] = {719: 791, 720: 792}.get(string["wire"], string["wire"])
    written = yaml.safe_dump(data, sort_keys=False)
    for was, now in ((9, cases + 1), (10, cases + 2)):
        written = re.sub(rf"\b(KC|SV)#?{was}\b", rf"\g<1>#{now}", written)
        written = re.sub(rf"plant: (call liquid|solenoid) {was}$", rf"plant: \1 #{now}", written, flags=re.M)
    return written.replace("#", "")


RUN = """
import sys, yaml
from scenarios.files import yamlfile
from scenarios.site import Store, World
from scenarios.visit import controller_log, scenery
from scenarios.visit.technician import Technician
from scenarios.visit import senses
from pathlib import Path
store = Store(yamlfile.load(Path(sys.argv[1])))
call = yamlfile.load(yamlfile.FOLDERS["call"] / "walk_in_warm.yaml")
world = World.fresh(store, call, 0.0, 3)
world.advance(30.0)
for point in store.points: world.point(point)
for place in world.places: scenery.scene(world, place, True)
for part in [*store.wiring.devices, *store.parts]: senses.look(world, Technician(), part)
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

"""A pin, and no truth: every saved field of 48 h equals what version dea8758 computed, whatever tables it stands in today.

It holds while parts of the engine are moved, and is dropped, field by field, where a formula is changed on purpose. The numbers in
`fields_dea8758.json` were written by running this file as a program in that version.
"""

import json
from pathlib import Path

import fields
import pytest

PINNED = Path(__file__).parent / "fixtures" / "fields_dea8758.json"


@pytest.mark.parametrize("case", fields.CASES)
def test_every_field_of_48_hours_is_that_of_the_pinned_version(case: str) -> None:
    pinned = json.loads(PINNED.read_text())
    wrong = []
    for hour, found, prints in zip(fields.HOURS, fields.moments(case), pinned["prints"][case], strict=True):
        for name, print_then in zip(pinned["names"], prints.split(), strict=True):
            place, rows = fields.today(name)
            if place not in found:
                wrong.append(f"{name}: nothing is called {place} today")
            elif fields.print_of_field(found[place][rows]) != print_then:
                wrong.append(f"{name}: other values after {hour} h")
    assert wrong == []


def test_the_pin_covers_plant_control_network_and_ports() -> None:
    names = json.loads(PINNED.read_text())["names"]
    assert len(names) > 150
    parts = (
        "plant.compressors.",
        "plant.controller_state.",
        "wires.state.motors.",
        "wires.par.wires.",
        "in.speed",
        "out.shaft_power",
    )
    assert [part for part in parts if not any(name.startswith(part) for name in names)] == []


def write() -> None:
    """Pin the version that runs."""
    cases = {case: fields.moments(case) for case in fields.CASES}
    names = sorted(cases["sound"][0])
    prints = {c: [" ".join(fields.print_of_field(found[name]) for name in names) for found in cases[c]] for c in cases}
    PINNED.write_text(json.dumps({"names": names, "prints": prints}, indent=1) + "\n")


if __name__ == "__main__":
    write()

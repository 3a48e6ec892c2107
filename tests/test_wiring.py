"""The wiring list of a store: what it expands to, and every mistake named at once."""

import subprocess
import sys
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

import scenarios
from scenarios.electrical.wiring import Wiring
from scenarios.errors import BadRequest
from scenarios.files.yamlfile import load
from scenarios.store import wiring as wiring_list

STORE = Path(scenarios.__file__).parent / "stores" / "corner_market.yaml"


@pytest.fixture(scope="module")
def store() -> dict[str, Any]:
    found: dict[str, Any] = load(STORE)
    return found


@pytest.fixture(scope="module")
def wiring(store: dict[str, Any]) -> Wiring:
    return wiring_list.load(store)


def small() -> dict[str, Any]:
    """A pump on one breaker, by hand: 3 rails, 16 terminals, 12 wires."""
    part = {"group": "pump", "place": "panel"}
    return {
        "supply": {"line_volts": 480, "hertz": 60},
        "places": {"panel": {"title": "Panel"}, "roof": {"title": "Roof"}},
        "rails": {"L": {"kind": "phases", "of": ["L1", "L2", "L3"]}},
        "devices": {
            "SV": {**part, "kind": "service", "says": "service"},
            "Q1": {**part, "kind": "breaker3", "says": "breaker", "amps": 15},
            "M1": {
                **part,
                "place": "roof",
                "kind": "motor3",
                "says": "pump motor",
                "hp": 3,
                "volts": 460,
                "amps": 4.4,
                "locked_amps": 32,
                "rpm": 1745,
            },
        },
        "bundles": [
            {"wire": 1, "run": "SV > L", "awg": "4/0", "m": [5]},
            {"wire": 11, "run": "L > Q1 > M1", "awg": 12, "m": [1, 40]},
        ],
    }


def test_pole_wires_by_hand() -> None:
    wires = wiring_list.load(small()).wires
    assert [(w.name, w.a, w.b, w.metres) for w in wires[3:]] == [
        ("11.1", "L1", "Q1:1", 1.0),
        ("11.2", "L2", "Q1:3", 1.0),
        ("11.3", "L3", "Q1:5", 1.0),
        ("11.4", "Q1:2", "M1:T1", 40.0),
        ("11.5", "Q1:4", "M1:T2", 40.0),
        ("11.6", "Q1:6", "M1:T3", 40.0),
    ]


def test_nodes_are_rails_then_terminals_and_none_twice(wiring: Wiring) -> None:
    assert wiring.terminals[:7] == ["L1", "L2", "L3", "X1", "Y1", "X2", "PE"]
    assert len(set(wiring.terminals)) == len(wiring.terminals) == 7 + sum(len(d.terminals) for d in wiring.devices.values())


def test_block_and_devices_say_one_part(wiring: Wiring) -> None:
    assert wiring.devices["Q3"].kind == "breaker3"
    assert wiring.devices["Q3"].ratings["amps"] == 60
    assert wiring.devices["M4"].ratings["hp"] == 25


def test_overload_sits_on_its_contactor(wiring: Wiring) -> None:
    heaters = [(e.a, e.b) for e in wiring.elements if e.device == "F5" and e.symbol == "heater"]
    assert heaters == [("K5:2", "F5:2T1"), ("K5:4", "F5:4T2"), ("K5:6", "F5:6T3")]
    assert not wiring.wires_at["K5:2"], "the heater is plugged in, no wire lands there"


def test_string_goes_from_terminal_to_terminal(wiring: Wiring) -> None:
    ends = [(w.a, w.b) for w in wiring.wires if w.name.startswith("510.")]
    assert ends == [
        ("X1", "FU5:1"),
        ("FU5:2", "S5:3"),
        ("S5:4", "KR5:11"),
        ("KR5:14", "F5:95"),
        ("F5:96", "K5:A1"),
        ("K5:A2", "X2"),
    ]


def test_length_counts_between_places_only(wiring: Wiring) -> None:
    metres = {w.name: w.metres for w in wiring.wires}
    assert metres["510.1"] == 1.0
    assert metres["510.2"] == 20.0, "the level switch is on the roof, the fuse in the panel"


def test_loading_needs_no_compiler() -> None:
    """Who only draws must not wait for it."""
    code = (
        "import sys; from pathlib import Path; from scenarios.files.yamlfile import load;"
        "from scenarios.store.wiring import load as load_list;"
        f"load_list(load(Path({str(STORE)!r}))); sys.exit('numba' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def broken(change: Any) -> list[str]:
    store = deepcopy(small())
    change(store)
    with pytest.raises(BadRequest) as caught:
        wiring_list.load(store)
    return str(caught.value).splitlines()


def test_every_mistake_is_named_at_once() -> None:
    def change(store: dict[str, Any]) -> None:
        store["devices"]["Q1"]["amp"] = 20
        store["devices"]["Q2"] = {"kind": "braker3", "group": "g", "place": "panel", "says": "x"}
        store["devices"]["M1"]["place"] = "cellar"
        store["bundles"][1]["awg"] = 13
        store["bundles"].append({"wire": 1, "run": "Q1 > K9", "awg": 12, "m": [1]})

    found = broken(change)
    assert any(line.startswith("devices.Q1.amp: unknown key (did you mean amps?), allowed are ") for line in found)
    assert any(line.startswith("devices.Q2.kind: 'braker3' is unknown (did you mean breaker3?), allowed are ") for line in found)
    assert "devices.M1.place: 'cellar' is no place, allowed are panel roof" in found
    assert any(line.startswith("bundles[1].awg: 13 is no gauge, allowed are 18 ") for line in found)
    assert "bundles[2].run: 'K9' is no part, terminal or rail of the list" in found


@pytest.mark.parametrize(
    ("change", "line"),
    [
        (lambda s: s["bundles"][1].update(m=[1]), "bundles[1].m: needs one length per hop of 'L > Q1 > M1', that is 2"),
        (
            lambda s: s["bundles"].append({"wire": 11, "run": "L1 > Q1:1", "awg": 12, "m": [1]}),
            "bundles[2].wire: wire 11.1: the name is used twice; number every bundle and string once",
        ),
        (
            lambda s: s["bundles"].append({"wire": 12, "run": "L1 > Q1:1", "awg": 12, "m": [1]}),
            "bundles[2].run: wire 12.1: L1 and Q1:1 are joined twice",
        ),
        (
            lambda s: s["bundles"].append({"wire": 12, "run": "L1 L2 > Q1", "awg": 12, "m": [1]}),
            "bundles[2].run: L1 L2 leaves with 2 poles, Q1 takes 3",
        ),
        (
            lambda s: s["bundles"].append({"wire": 12, "run": "Q1:1 > Q1:2", "awg": 12, "m": [1]}),
            "devices.Q1: a wire joins both ends of Q1:1 and Q1:2",
        ),
        (
            lambda s: s["bundles"].append({"wire": 12, "run": "L1 > L2", "awg": 12, "m": [1]}),
            "bundles[2].run: wire 12.1 joins rails L1 and L2 with nothing between them",
        ),
        (
            lambda s: s["bundles"].pop(),
            "devices.Q1: no wire lands on Q1:1 Q1:3 Q1:5 Q1:2 Q1:4 Q1:6; wire each or take it off the list",
        ),
        (lambda s: s["devices"]["Q1"].pop("amps"), "devices.Q1: amps is missing, a breaker3 needs it"),
        (
            lambda s: s["devices"]["Q1"].update(contacts={"13-14": "maybe"}),
            "devices.Q1.contacts.13-14: 'maybe' is unknown, allowed are no nc p-no p-nc f-no fuse drive-fault",
        ),
        (
            lambda s: s["devices"].update(
                F1={"kind": "overload3", "on": "Q1", "group": "g", "place": "panel", "says": "o", "dial": 5}
            ),
            "devices.F1.on: 'Q1' is no contactor; an overload relay sits on its contactor",
        ),
        (
            lambda s: s.update(strings=[{"wire": 20, "run": "L1 > Q1:1-4 > L2", "awg": 14, "m": 1}]),
            "strings[0].run: nothing inside Q1 joins the two ends of 'Q1:1-4'; name a contact or load of it",
        ),
    ],
)
def test_one_mistake(change: Any, line: str) -> None:
    assert line in broken(change)

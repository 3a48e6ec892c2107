"""Wiring lists that no store has: branches, folds, random ones, drawn clean or refused."""

import random
from contextlib import suppress
from typing import Any

import pytest
from sheets import MACHINE
from stores import bare

from course.desk import drawing
from course.desk.drawing import check
from scenarios.errors import BadRequest

# ---- lists that were never seen ---------------------------------------------------------------------------------------


def store_of(rungs: list[str], extra: dict[str, Any]) -> dict[str, Any]:
    """A small store: one pump on a supply, and control strings."""
    devices = {
        "SV": {"kind": "service", "group": "supply", "place": "panel", "says": "service entrance"},
        "Q0": {"kind": "breaker3", "group": "supply", "place": "panel", "says": "main breaker", "amps": 225},
        "Q8": {"kind": "breaker2", "group": "supply", "place": "panel", "says": "control breaker", "amps": 15},
        "T2": {
            "kind": "transformer",
            "group": "supply",
            "place": "panel",
            "says": "transformer",
            "VA": 500,
            "primary": 480,
            "secondary": 120,
        },
        "Q5": {"kind": "breaker3", "says": "pump breaker", "amps": 15, **MACHINE},
        "K5": {"kind": "contactor3", "says": "pump contactor", "contacts": {"13-14": "no"}, **MACHINE},
        "F5": {"kind": "overload3", "on": "K5", "says": "pump overload", "dial": 5.0, **MACHINE},
        "M5": {
            "kind": "motor3",
            "says": "pump motor",
            "hp": 3,
            "volts": 460,
            "amps": 4.4,
            "locked_amps": 32,
            "rpm": 1745,
            **MACHINE,
        },
        **extra,
    }
    bundles = [
        ("1", "SV > Q0 > L", 2),
        ("2", "L1 L2 > Q8 > T2", 2),
        ("3", "T2:X1 > X1", 1),
        ("4", "T2:X2 > X2", 1),
        ("5", "L > Q5 > K5 > F5 > M5", 4),
    ]
    return {
        "supply": {"line_volts": 480, "hertz": 60},
        "places": {"panel": {"title": "Panel"}},
        "rails": {
            "L": {"kind": "phases", "of": ["L1", "L2", "L3"]},
            "X1": {"kind": "hot", "pair": "X2"},
            "X2": {"kind": "return"},
            "PE": {"kind": "earth"},
        },
        "devices": devices,
        "bundles": [{"wire": name, "run": run, "awg": 12, "m": [1] * count} for name, run, count in bundles],
        "strings": [{"wire": f"{10 + n}", "run": run, "awg": 14, "m": 1} for n, run in enumerate(rungs)],
    }


def switches(count: int) -> dict[str, Any]:
    """Parts with one make contact each."""
    return {
        f"S{n}": {"kind": "board_relay", "says": f"switch {n}", "contacts": {"1-2": "no"}, **MACHINE} for n in range(1, count + 1)
    }


class MisfitError(Exception):
    """What does not fit on a sheet was refused, with how much is missing."""


def clean(store: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Draw and check a store; its wiring sheets by id."""
    made = bare(store)
    wiring = made.wiring
    try:
        drawing.sheets(made)
    except BadRequest as refusal:
        if "px" in str(refusal) or "fit" in str(refusal):
            raise MisfitError from refusal
        raise
    for viewport in drawing.VIEWPORTS:
        sheets = {s["id"]: drawing.geometry(made, s["id"], viewport) for s in drawing.sheets(made) if s["kind"] == "wiring"}
        assert [text for sheet in sheets.values() for text in check.complaints(sheet)] == []
        assert check.store_complaints(sheets.values(), wiring.terminals, [(w.a, w.b) for w in wiring.wires]) == []
    return sheets


def test_a_seal_in_hangs_below_the_contact_it_bridges() -> None:
    store = store_of(["X1 > S1:1-2 > S2:1-2 > K5:A1-A2 > X2", "S2:1 > K5:13-14 > S2:2"], switches(2))
    at = {p["id"]: p for p in clean(store)["pump"]["points"]}
    assert at["K5:13"]["x"] == at["S2:1"]["x"]
    assert at["K5:13"]["y"] > at["S2:1"]["y"]


def test_a_branch_longer_than_what_it_bridges_pushes_the_rung_apart() -> None:
    store = store_of(["X1 > S1:1-2 > K5:A1-A2 > X2", "S1:1 > S2:1-2 > K5:13-14 > S1:2"], switches(2))
    at = {p["id"]: p for p in clean(store)["pump"]["points"]}
    assert at["K5:A1"]["x"] > at["K5:14"]["x"]


def test_a_long_rung_is_folded_outside_its_branch() -> None:
    marks = " > ".join(f"S{n}:1-2" for n in range(1, 10))
    store = store_of([f"X1 > {marks} > K5:A1-A2 > X2", "S5:1 > K5:13-14 > S5:2"], switches(9))
    rows = {p["id"]: p["y"] for sheet in clean(store).values() for p in sheet["points"]}
    assert rows["S1:1"] < rows["S9:1"]
    assert rows["S5:1"] < rows["K5:13"]


def test_a_branch_that_lands_on_nothing_is_refused() -> None:
    store = store_of(["X1 > S1:1-2 > K5:A1-A2 > X2", "S2:1 > K5:13-14 > S2:2", "X1 > S2:1-2 > X2"], switches(2))
    with pytest.raises(BadRequest, match="string 11 lands on S2:1 and S2:2, which no earlier rung holds"):
        drawing.sheets(bare(store))


def never_seen(seed: int) -> dict[str, Any]:
    """A store with a list of random length, one branch and some lamps."""
    draw = random.Random(seed)
    count = draw.randint(3, 16)
    left = [f"S{n}:1-2" for n in range(1, count + 1)]
    extra = switches(count)
    first = left[: draw.randint(1, min(7, count))]
    rungs = [f"X1 > {' > '.join(first)} > K5:A1-A2 > X2"]
    bridged = draw.choice(first).split(":")[0]
    rungs.append(f"{bridged}:1 > K5:13-14 > {bridged}:2" if draw.random() < 0.6 else "X1 > K5:13-14 > H0:1-2 > X2")
    if "H0" in rungs[1]:
        extra["H0"] = {"kind": "lamp", "says": "pump lamp", "load": {"1-2": "lamp"}, **MACHINE}
    left = left[len(first) :]
    while left:
        some = left[: draw.randint(1, 4)]
        left = left[len(some) :]
        lamp = f"H{len(rungs)}"
        extra[lamp] = {"kind": "lamp", "says": f"lamp {lamp}", "load": {"1-2": "lamp"}, **MACHINE}
        rungs.append(f"X1 > {' > '.join(some)} > {lamp}:1-2 > X2")
    used = " ".join(rungs)
    return store_of(rungs, {mark: part for mark, part in extra.items() if f" {mark}:" in f" {used}"})


@pytest.mark.slow
@pytest.mark.parametrize("tenth", range(6))
def test_lists_never_seen_before_are_drawn_clean_or_refused(tenth: int) -> None:
    drawn = 0
    for seed in range(10 * tenth, 10 * tenth + 10):
        store = never_seen(seed)
        with suppress(MisfitError):
            points = {p["id"].split("@")[0] for sheet in clean(store).values() for p in sheet["points"]}
            assert {"K5:A1", "S1:1"} <= points
            drawn += 1
    assert drawn >= 5, "a layout that refuses most of what it is given draws nothing"

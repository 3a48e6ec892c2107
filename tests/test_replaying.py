"""The one place where graders meet the world: displays, derived facts, things left behind."""

import gc
import math
import tracemalloc

import pytest
from stores import corner_market

from graders import replaying
from graders.scorecard import judge
from scenarios import facts as seen

STORE = corner_market()


@pytest.mark.parametrize(
    ("shown", "unit", "value"),
    [
        ("480.1", "V", 480.1),
        ("0", "psig", 101325.0),
        ("50", "F", 10.0),
        ("OL", "ohm", math.inf),
        ("1.5", "kohm", 1500.0),
        ("blue", "", None),
    ],
)
def test_display_in_si(shown, unit, value):
    assert replaying.figure(shown, unit) == (pytest.approx(value) if value is not None else None)


def test_moment_keeps_words_of_a_sight_and_figures_of_a_reading():
    truths = (seen.Truth("K5", "look", category="blue"), seen.Truth("K5:1|K5:3", "volts", 479.0, window=(478.0,)))
    rows = (
        {"of": "K5", "kind": "look", "shown": "blue", "unit": ""},
        {"of": "K5:1|K5:3", "kind": "volts", "shown": "480", "unit": "V"},
    )
    shown = seen.Moment(4, 60.0, "panel", "look K5", seen.Saw("A blue lug.", "sight", rows, 0.5))
    [made] = replaying.moments([shown], {(4, truth.of, truth.kind): truth for truth in truths})
    assert [r.value for r in made.readings] == [None, 480.0]
    assert made.truths[1].window == (478.0,)


def test_volts_prove_a_tester_or_a_dead_pair():
    made = [seen.Fact("volts", 3, 9.0, "K5:1|K5:3", "", {"volts": v, "a": "K5:1", "b": "K5:3"}) for v in (480.0, 0.2, 30.0)]
    kinds = [fact.kind for fact in replaying.facts(made, (), {}, 0.0, STORE)]
    assert kinds == ["volts", "known_live", "volts", "dead_pair", "volts"]


def test_things_left_count_only_once_the_call_is_closed():
    left = {"door_open": True, "covers": ["M5"], "locks": {"Q5": 1}, "bridges": [("X1", "K5:A1")], "lifted": ["K5:A2"]}
    assert replaying.facts([], (), left, 0.0, STORE) == ()
    made = replaying.facts([seen.Fact("closed_out", 9, 99.0)], (), left, 99.0, STORE)
    assert [f.data["kind"] for f in made if f.kind == "left"] == ["door", "cover", "lock", "bridge", "lifted"]


def test_product_is_measured_between_the_packs():
    truths = (seen.Truth("C4.G1", "temperature", 8.0),)
    rows = ({"of": "C4.G1", "kind": "temperature", "shown": "46.4", "unit": "F"},)
    made = replaying.moment(seen.Moment(2, 60.0, "floor", "temp C4.G1", seen.Saw("", "reading", rows, 1.0)), truths)
    assert [(f.kind, f.what) for f in replaying.facts([], (made,), {}, 0.0, STORE)] == [("product_measured", "C4")]


def test_saturation_of_the_store_keeps_dew_and_bubble_apart():
    """R-448A at 227 psig: bubble 94.98 F, dew about 9.3 F higher (reference equation of state)."""
    fluid = replaying.saturation("R-448A")
    pressure = 227 * 6894.757 + 101325.0
    bubble, dew = (1.8 * t + 32 for t in (fluid.bubble(pressure), fluid.dew(pressure)))
    assert bubble == pytest.approx(94.98, abs=0.1)
    assert dew - bubble == pytest.approx(9.30, abs=0.1)


@pytest.mark.slow
def test_memory_is_flat_in_the_number_of_records():
    """A world has ten megabytes: one that stayed behind, of twenty records with a dozen worlds each, would show."""
    call = "walk_in_warm"
    steps = next(attempt["steps"] for attempt in replaying.key(call, 0)["attempts"] if len(attempt["steps"]) < 10)
    held = []
    for seed in range(25):
        judge(replaying.replay(replaying.take(call, seed, steps)))
        if seed == 4:
            tracemalloc.start()
        if seed in (5, 24):
            gc.collect()
            held.append(tracemalloc.get_traced_memory()[0])
    tracemalloc.stop()
    assert held[1] - held[0] < 500_000

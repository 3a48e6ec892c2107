"""Where work can hurt: by the real voltage on the part, never by where handles stand.

Sources in our own words, from memory: NFPA 70E art. 110.4 (50 V), 29 CFR 1910.333(b) (locks), 1910.334(b)(2) (re-closing).
"""

import pytest
from stores import corner_market

from scenarios.compiling.warm import CALL
from scenarios.site import World
from scenarios.steps import parse
from scenarios.visit import hazards, limits
from scenarios.visit.isolation import LIVE_VOLTS, pairs_to_prove
from scenarios.visit.technician import Technician

STORE = corner_market()


@pytest.fixture(scope="module")
def _sound() -> World:
    world = World.fresh(STORE, CALL, 0.0)
    world.advance(60.0)
    return world


@pytest.fixture
def world(_sound: World) -> World:
    """A sound store with everything on."""
    return _sound.fork()


@pytest.fixture
def person() -> Technician:
    """Somebody at the open panel."""
    return Technician(place="panel", on_site=True, door_open=True)


def kind(world: World, person: Technician, line: str) -> str | None:
    """Kind of the incident that a step would be."""
    harm = hazards.incident(world, person, parse(line))
    return harm.kind if harm else None


def off(world: World, *marks: str) -> None:
    """Handles to off."""
    for mark in marks:
        world.network.operate(mark, "off")
    world.advance(5.0)


@pytest.mark.parametrize("line", ["feel K5", "tug K5:1", "lift K5:1", "torque K5:1", "re-end K5:1", "replace K5", "clamp 1 K5:1"])
def test_hands_on_live_metal(world, person, line):
    assert kind(world, person, line) == "touched_live"


@pytest.mark.parametrize(
    "line", ["volts K5:1 K5:3 K5:5 PE", "low-volts K5:1 PE", "look K5", "infrared K5", "amps", "unclamp 1", "off Q5"]
)
def test_testing_is_not_touching(world, person, line):
    """Looking and probing live with a rated meter are no incident."""
    assert kind(world, person, line) is None


def test_dead_by_all_sources_only(world, person):
    """With the pump breaker off the coil of K5 still has 120 V from the control breaker; with both off nothing is left."""
    off(world, "Q5")
    assert kind(world, person, "tug K5:1") == "touched_live"
    off(world, "Q8")
    assert world.touch_volts("K5") < LIVE_VOLTS
    assert kind(world, person, "tug K5:1") is None


def test_a_lock_on_the_wrong_handle(world, person):
    off(world, "Q4")
    person.locks["Q4"] = 1
    assert kind(world, person, "replace K5") == "wrong_lock"


def test_armature_pushed_in_live_and_dead(world, person):
    assert kind(world, person, "press K5") == "contactor_pressed_live"
    off(world, "Q5", "Q8")
    assert kind(world, person, "press K5") is None


def test_foreign_source_on_a_locked_out_part(world, person):
    """E25: every handle that the list names is off, and a stray path from a live rail feeds the part all the same."""
    off(world, "Q5", "Q8")
    world.network.bridge("L2", "K5:3")
    world.clear_probe()
    person.locks |= {"Q5": 1, "Q8": 2}
    assert world.volts("K5:1", "K5:5") < LIVE_VOLTS, "poles to each other say dead on the two that are"
    assert world.volts("K5:3", "PE") == pytest.approx(277.0, rel=0.02)
    for n, mark in enumerate(("Q5", "Q8"), 1):
        person.isolation.add(n, 0.0, "off", (mark,))
    line, control = limits.to_prove(world, "K5")
    for n, pair in enumerate(pairs_to_prove(line, control), 3):
        person.isolation.add(n, 0.0, "volts", pair, world.volts(*pair))
    proof = limits.proof(world, person, "K5")
    assert ("K5:3", "PE") in proof.missing
    assert not proof.whole
    assert kind(world, person, "tug K5:1") == "wrong_lock"


@pytest.mark.parametrize(
    ("line", "kind_of_it"),
    [("bridge HP3:1 HP3:2", "safety_bridged"), ("set HP3 340", "safety_bridged"), ("set HP3 23.5 barg", "safety_bridged"),
     ("set HP3 318", None), ("set HP3 300 psig", None), ("set LP1 25", None), ("set F5 4.4", None)],
)  # fmt: skip
def test_safeties_are_not_defeated(world, person, line, kind_of_it):
    off(world, "Q0")
    assert kind(world, person, line) == kind_of_it


@pytest.mark.parametrize(
    ("line", "kind_of_it"),
    [("insulation U6:U PE", "insulation_into_electronics"), ("insulation KR5:14 PE", "insulation_into_electronics"),
     ("insulation K61:2 K61:4", None), ("insulation M5:T1 PE", None)],
)  # fmt: skip
def test_insulation_tester_into_electronics(world, person, line, kind_of_it):
    off(world, "Q0")
    assert kind(world, person, line) == kind_of_it


def test_breaker_closed_again_without_a_look(world, person):
    world.network.state.devices.tripped[world.network.number["Q5"]] = True
    world.network.touched()
    world.advance(5.0)
    assert kind(world, person, "on Q5") == "reclosed_blind"
    person.looked.add("Q5")
    assert kind(world, person, "on Q5") == "reclosed_blind", "the breaker itself does not say why it opened"
    person.looked.add("M5")
    assert kind(world, person, "on Q5") is None
    person.resets["Q5"] = 1
    assert kind(world, person, "on Q5") == "reclosed_blind", "a second time with nothing mended"


def test_a_breaker_that_was_only_off_is_simply_switched_on(world, person):
    off(world, "Q5")
    assert kind(world, person, "on Q5") is None


def test_fuse_renewed_without_a_look(world, person):
    off(world, "Q0")
    assert kind(world, person, "replace FU5") is None, "a whole fuse may be changed"
    row = next(n for n, e in enumerate(world.network.switches) if e.device == "FU5")
    world.network.par.switches.burnt[row] = True
    assert kind(world, person, "replace FU5") == "reclosed_blind"
    person.looked.add("K5")
    assert kind(world, person, "replace FU5") is None


@pytest.mark.parametrize("mark", ["K5", "M5", "SV9", "K61", "TR8", "F5"])
def test_made_safe_is_safe(world, mark):
    """After an incident the part is dead by the solver, and no more was switched off than that took."""
    moved = hazards.feeding(world, mark)
    assert moved
    assert world.touch_volts(mark) > LIVE_VOLTS, "it is found on a copy"
    for name in moved:
        hazards.switch_off(world, name)
    assert world.touch_volts(mark) <= LIVE_VOLTS
    world.network.operate(moved[-1], "on")
    world.advance(5.0)
    assert world.touch_volts(mark) > LIVE_VOLTS

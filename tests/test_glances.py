"""Copies of a world that are made to look at: cheap, alone, and showing the same bits."""

from typing import Any

import numpy as np
import pytest
from stores import corner_market

from scenarios.compiling.warm import CALL
from scenarios.electrical.layouts import HITS, REMEMBER
from scenarios.site import World


@pytest.fixture(scope="module")
def night() -> World:
    """An hour of the store, with solutions in its memory."""
    world = World.fresh(corner_market(), CALL, -3600.0, 120)
    world.advance(1800.0)
    return world


@pytest.fixture
def live(night: World) -> World:
    return night.fork()


def differing(a: dict[str, Any], b: dict[str, Any]) -> list[str]:
    """Names of what differs in any bit; counters of how an answer was found do not count."""
    hidden = ("trend", "trend_from", "wires.state.tally")
    return [name for name in a if name not in hidden and not np.array_equal(np.asarray(a[name]), np.asarray(b[name]))]


def test_does_a_glance_go_on_like_the_world_it_was_taken_of(live: World) -> None:
    glance = live.glance()
    assert differing(live.snapshot(), glance.snapshot()) == []
    live.advance(1800.0)
    glance.advance(1800.0)
    assert differing(live.snapshot(), glance.snapshot()) == []
    assert live.network.state.tally[HITS] > 0, "the live world used its memory, the glance had none"


def test_does_probing_a_glance_leave_the_live_world_alone(live: World) -> None:
    before, other = live.snapshot(), live.fork()
    glance = live.glance()
    glance.network.operate("Q5", "off")
    glance.ohms("K5:1", "K5:2")
    glance.insulation("M5:T1", "PE")
    glance.volts("Q5:1", "Q5:3")
    assert differing(before, live.snapshot()) == []
    live.advance(600.0)
    other.advance(600.0)
    assert differing(live.snapshot(), other.snapshot()) == []


def test_does_a_glance_show_what_the_live_world_shows(live: World) -> None:
    glance = live.glance()
    pairs = [("Q5:1", "Q5:3"), ("X1", "X2"), ("K5:1", "PE")]
    assert [glance.volts(*pair) for pair in pairs] == [live.volts(*pair) for pair in pairs]
    assert glance.amps("M1:T1") == live.amps("M1:T1")
    assert glance.ohms("K5:1", "K5:2") == live.ohms("K5:1", "K5:2")


def test_is_the_memory_left_behind(live: World) -> None:
    glance = live.glance()
    assert live.network.state.memo_used.any()
    assert not glance.network.state.memo_used.any()


def test_do_bits_depend_on_the_memory(live: World) -> None:
    """A solve is a pure function of its key, also while the fan hunts."""
    without = live.fork()
    without.network.state.tally[REMEMBER] = 0
    live.advance(3600.0)
    without.advance(3600.0)
    assert differing(live.snapshot(), without.snapshot()) == []

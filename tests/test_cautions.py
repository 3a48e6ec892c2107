"""Cautions stay armed until the notes prove a part dead, and nothing is called safe that a meter still reads live.

What is asked here are the rules of NFPA 70E art. 120.5 and 110.4 (from memory): hands go on a part only once it is proved dead, and
50 V is live.
"""

from itertools import combinations

import pytest

from scenarios.call import Session
from scenarios.visit.isolation import LIVE_VOLTS

CALL = "walk_in_warm"
PANEL = ["go panel", "open DOOR"]


@pytest.fixture
def session() -> Session:
    """The call at the moment of the ticket."""
    return Session.open(CALL, 0)


def kinds(session: Session, *lines: str) -> list[str]:
    """Kinds of what a row of steps shows."""
    return [session.do(line).kind for line in lines]


def test_a_declined_caution_stays_armed(session):
    kinds(session, *PANEL, "off Q5", "off Q8")
    assert kinds(session, "tug K5:1", "tug K5:1", "lift K5:1", "tug K5:1") == ["caution"] * 4


@pytest.mark.parametrize(
    "between", ["off Q4", "lock Q5", "unlock Q5", "on Q8", "select S6 off", "lift Q4:2 anyway=yes", "open K5", "wait 1"]
)
def test_anyway_goes_through_for_one_step_only(session, between):
    kinds(session, *PANEL, "off Q5", "off Q8", "off Q4", "lock Q5")
    assert kinds(session, "tug K5:1 anyway=yes") == ["sight"]
    session.do(between)
    assert kinds(session, "tug K5:1") == ["caution"]


def test_a_hand_on_a_live_coil_is_cautioned_after_a_hand_on_its_box(session):
    """The box of a coil is insulated or earthed: a hand on it is no hand on metal, and it disarms nothing either."""
    assert kinds(session, "go floor", "feel SV9", "open SV9") == ["time", "sight", "act"]
    assert not [fact for fact in session.facts if fact.kind == "hands_on"]
    assert kinds(session, "feel SV9", "replace SV9", "replace SV9") == ["caution"] * 3


def test_off_and_locked_is_not_proved(session):
    kinds(session, "go floor", "feel SV9", *PANEL, "off Q8", "lock Q8", "go floor", "open SV9")
    assert kinds(session, "replace SV9") == ["caution"]


def test_nothing_is_felt_through_the_panel_door(session):
    kinds(session, "go panel")
    assert session.do("feel K5").text == "The panel door is shut; open it first."


# ---- after an incident -----------------------------------------------------------------------------------------------------


def most_volts(session: Session, mark: str) -> float:
    """Highest volts a meter reads on a part now, between its terminals and to earth."""
    world = session.world
    points = [*world.wiring.devices[mark].terminals, "PE"]
    return max(world.volts(a, b, "low") for a, b in combinations(points, 2))


@pytest.mark.parametrize(
    "line", ["lift Q0:1", "tug SV:L1", "lift K5:1", "tug F5:2T1", "tug TR8:H1", "feel U6", "lift FU9:1", "tug M5:T1"]
)
def test_safe_is_said_of_what_is_dead_and_of_nothing_else(session, line):
    kinds(session, *PANEL)
    if "M5" in line:
        kinds(session, "go roof", "open M5")
    saw = session.do(line + " anyway=yes")
    assert saw.kind == "incident"
    mark = line.split()[1].split(":")[0]
    live = most_volts(session, mark) > LIVE_VOLTS
    assert live is (mark in ("Q0", "SV")), "what stands before the main breaker is the utility's"
    assert ("has been made safe" in saw.text) is not live
    assert ("only the utility" in saw.text) is live
    again = session.do(line + " anyway=yes")
    assert again.kind == ("refused" if live else "sight" if line.split()[0] in ("tug", "feel") else "act")
    assert not live or "could not be made safe" in again.text


def test_what_is_still_live_is_named(session):
    """Every handle off: the line side of the main breaker is live all the same, its load side is not."""
    kinds(session, *PANEL, "off Q0")
    text = session.do("lift Q0:1 anyway=yes").text
    assert "Q0:1, Q0:3, Q0:5 are live still with up to 480 V" in text
    assert "Q0:2" not in text


def test_a_stray_source_is_not_the_utilitys(session):
    """A wire from elsewhere keeps a part live with every handle off; only who finds it can end that."""
    kinds(session, *PANEL)
    session.world.network.bridge("SV:L2", "K5:3")
    session.world.clear_probe()
    text = session.do("tug K5:1 anyway=yes").text
    assert "K5 could not be made safe: K5:3" in text
    assert "has to be found first" in text
    assert session.do("tug K5:1 anyway=yes").kind == "refused"
    session.world.network.unbridge("SV:L2", "K5:3")
    session.world.clear_probe()
    assert session.do("tug K5:1 anyway=yes").kind == "sight", "dead now, and the bar is gone with it"


def test_what_was_only_not_done_is_not_called_made_safe(session):
    kinds(session, "go motor_room")
    saw = session.do("set HP3 370 psig")
    assert saw.kind == "incident"
    assert "made safe" not in saw.text
    assert "The step was not done" in saw.text

"""The two calls on the coupled store: what their night shows, and every claim they make about themselves."""

import pytest

from graders import replaying
from graders.proof import prove
from graders.scorecard import as_json, judge
from scenarios.assignments import assignment
from scenarios.call import Session
from scenarios.files import callfile


@pytest.fixture(scope="module")
def warm_store() -> Session:
    return Session.open("dairy_and_meat", 0)


def first_on(session: Session, alarm: str, since: float) -> float:
    return min(event.t for event in session.world.alarm_events() if event.what == alarm and event.on and event.t > since)


@pytest.mark.slow
def test_alarms_come_in_the_order_of_their_cause(warm_store: Session) -> None:
    """Fan to full speed, then head pressure, then the cut-outs, then warm cases: common practice of the trade, no source."""
    onset = float(assignment("dairy_and_meat").key_of(0)["onset"]) * 3600.0
    order = ["fan_full", "discharge_high", "high_pressure_3", "air_4"]
    times = [first_on(warm_store, alarm, onset) for alarm in order]
    assert times == sorted(times)
    assert onset < times[0] < onset + 20 * 60
    assert times[-1] < 0.0


@pytest.mark.slow
def test_manual_ones_stay_out_and_automatic_ones_come_back_r23(warm_store: Session) -> None:
    world = warm_store.world.fork()
    closed = []
    for _ in range(40):
        world.advance(60.0)
        closed.append([bool(world.plant.high_states[n].closed) for n in range(4)])
    assert not any(row[2] or row[3] for row in closed)
    assert any(row[0] for row in closed)
    assert not all(row[0] for row in closed)


@pytest.mark.slow
def test_a_loose_lug_left_behind_calls_again_within_three_days() -> None:
    steps = next(a["steps"] for a in replaying.key("dairy_and_meat", 0)["attempts"] if a["id"] == "lug_left_loose")
    card = as_json(judge(replaying.replay(replaying.take("dairy_and_meat", 0, steps))))
    assert not card["callback"]["held"]
    assert "K5" in card["callback"]["reason"]


@pytest.mark.slow
@pytest.mark.parametrize("call", callfile.names("call"))
def test_every_claim_of_a_call_holds(call: str) -> None:
    proof = prove(call)
    assert [f"{claim['claim']}: {claim['detail']}" for claim in proof["claims"] if not claim["ok"]] == []
    assert proof["ok"]
    assert len(proof["claims"]) > 10

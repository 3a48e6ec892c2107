"""Safe work: the gate, and the quality of an isolation."""

import pytest
from acts import act

from graders import safety
from graders.moments import Fact, Moment
from graders.rubric import gradebook

GOALS = {"isolation": [{"part": "K5", "lock": ["Q5"], "dead": [["K5:1", "K5:3", "K5:5"], ["K5:2", "K5:4", "K5:6"]]}]}
PAIRS = [("K5:1", "K5:3"), ("K5:1", "K5:5"), ("K5:3", "K5:5"), ("K5:1", "PE"), ("K5:3", "PE"), ("K5:5", "PE")]


def fact(kind, n, what="", /, **data):
    return Fact(kind, n, 10.0 * n, what, str(data.get("text", "")), data)


def sound(without=(), pairs=PAIRS, powered_at=None):
    """Facts of a sound isolation and the repair, less what is named in ``without``."""
    facts = [fact("known_live", 1, pair=("Q5:1", "Q5:3")), fact("locked", 3, "Q5"), fact("tried", 5, "K5")]
    facts += [fact("dead_pair", 6 + k, a=a, b=b, volts=0.1) for k, (a, b) in enumerate(pairs)]
    facts += [
        fact("known_live", 20, pair=("Q0:1", "Q0:3"), when="after"),
        fact("hands_on", 21, "K5:1", verb="tug", volts=0.0, proven=True),
    ]
    facts += [fact("repaired", 22, "K5", verb="replace"), fact("unlocked", 23, "Q5"), fact("closed_out", 40)]
    return [f for f in facts if f.kind not in without]


MOMENTS = [act(2, "off Q5"), act(24, "on Q5")]


def points(facts, moments=MOMENTS):
    return safety.score(facts, moments, GOALS, 1.0)


def test_sound_isolation_earns_everything():
    assert points(sound()).score == 20.0
    assert points(sound()).why == ("Isolated, proved dead, nothing left open; no unsafe act.",)


@pytest.mark.parametrize(
    ("without", "cost", "says"),
    [
        ("locked", 3.0, "lock and tag"),
        ("tried", 1.0, "attempt to start"),
        ("dead_pair", 9.0, "read dead"),
    ],
)
def test_each_step_of_an_isolation_counts(without, cost, says):
    part = points(sound(without={without}))
    assert part.score == pytest.approx(20.0 - cost)
    assert says in " ".join(part.why)


def test_a_pole_left_out_costs_its_share():
    part = points(sound(pairs=PAIRS[:3]))
    assert part.score == pytest.approx(20.0 - 5.0 / 2)


def test_load_side_serves_as_well_but_a_mixture_does_not():
    load = [tuple(p.replace(":1", ":2").replace(":3", ":4").replace(":5", ":6") for p in pair) for pair in PAIRS]
    assert points(sound(pairs=load)).score == 20.0
    assert points(sound(pairs=PAIRS[:2] + load[2:3])).score < 20.0


def test_tester_not_shown_again_afterwards():
    facts = [f for f in sound() if not (f.kind == "known_live" and f.n == 20)]
    assert points(facts).score == pytest.approx(18.0)


def test_power_on_again_cancels_what_was_proved():
    assert points([*sound(), fact("switched_on", 19, "Q5")]).score < 12.0


def test_hands_on_without_proof_costs_even_where_it_happened_to_be_dead():
    facts = [*sound(), fact("hands_on", 30, "F5", verb="lift", volts=0.0, proven=False)]
    part = points(facts)
    assert part.score == pytest.approx(20.0 - 2.0)
    assert "F5" in " ".join(part.why)


def test_incident_is_listed_once_per_step_and_gates_the_gradebook():
    facts = [*sound(), fact("incident", 12, "touched_live", text="480 V."), fact("incident", 12, "reclosed_blind")]
    assert [i.n for i in safety.incidents(facts)] == [12]
    assert points(facts).score == pytest.approx(15.0)
    assert gradebook(95.0, 100.0, passed=False, gated=True) == 49.0


def test_second_reset_costs_the_first_after_looking_does_not():
    looked = fact("reset", 8, "F5", looked_before=True, count=1)
    assert points([*sound(), looked]).score == 20.0
    assert points([*sound(), looked, fact("reset", 9, "F5", looked_before=True, count=2)]).score == pytest.approx(19.0)
    assert points([*sound(), fact("reset", 8, "F5", looked_before=False, count=1)]).score == pytest.approx(19.0)


def test_things_left_open_cost_and_are_named():
    part = points([*sound(), fact("left", 40, "DOOR", kind="door", text="panel door open")])
    assert part.score == pytest.approx(19.0)
    assert "panel door open" in part.why[0]


@pytest.mark.parametrize("goals", [GOALS, {}])
def test_safe_work_shows_in_work_alone(goals):
    """Nothing was opened or switched, so nothing was left open: a look and a close-out earn nothing, whatever a call asks for."""
    looked = [Moment(1, 60.0, "floor", "read C9", "", "reading"), Moment(2, 60.0, "floor", "close-out", "", "closed")]
    assert safety.score([fact("closed_out", 2)], looked, goals, 0.0).score == 0.0


def test_where_nothing_has_to_be_isolated_the_repair_is_the_work():
    """Switched off and on again, and nothing mended: that is no work that could have been unsafe."""
    flicked = [act(1, "off Q5"), act(2, "on Q5")]
    shares = [safety.score([fact("closed_out", 3)], flicked, {}, repaired).score for repaired in (0.0, 0.5, 1.0)]
    assert shares == pytest.approx([0.0, 10.0, 20.0])


@pytest.mark.parametrize(
    ("verb", "proven", "locked", "bare"),
    [
        ("lift", True, True, False),
        ("lift", True, False, True),
        ("lift", False, True, True),
        ("press", False, False, True),
        ("clamp", False, False, False),
    ],
)
def test_hands_are_bare_unless_locked_off_and_proved_dead(verb, proven, locked, bare):
    """What was live does not matter: `volts` is 0 throughout. A clamp goes round insulation (common practice, no source)."""
    laid = fact("hands_on", 9, "K5", verb=verb, volts=0.0, proven=proven, locked_off=locked)
    assert bool(safety.bare_hands([laid])) == bare

"""Evidence: a sum worked by hand, and what must hold for any record."""

import itertools
import math

import pytest
from acts import act
from hypothesis import given, settings
from hypothesis import strategies as st

from course.debrief.findings import shares
from graders.diagnosis import Course, diagnose, justified, worth
from graders.evidence import capped, course, normalised, pieces
from graders.likelihood import cap, ln_likelihood, ln_sight, mean_and_sigma
from graders.moments import Cause, Moment, Reading, Suspect, Truth, World
from graders.separability import inseparable, separation, separations

POLE = Suspect("pole", "K5", "does_not_close", "1-2", prior=0.6)
LUG = Suspect("lug", "F5", "loose_burnt", "2", prior=0.4)


def moment(n, of, kind, value=None, category="", step=None, **more):
    reading = Reading(of, kind, str(value), value=value)
    return Moment(
        n,
        60.0 * n,
        "panel",
        step or f"{kind} {of}",
        "",
        more.pop("saw", "reading"),
        1.0,
        (reading,),
        (Truth(of, kind, value, category),),
        **more,
    )


# ---- by hand -------------------------------------------------------------------------------------------------------------


def test_two_suspects_by_hand():
    """Pole (0.6) or lug (0.4), true is the lug: a blue lug, the amps of another line, then 41 ohms dead."""
    blue = [ln_sight(0.25), ln_sight(0.85)]
    assert [round(math.exp(ll), 4) for ll in blue] == [0.2525, 0.8465]
    amps = Truth("Q5:3", "amps", 41.6)
    same = ln_likelihood(Reading("Q5:3", "amps", "41.6", value=41.6), "", amps)
    seen = Reading("F5:2", "ohms", "41", value=41.0)
    dead = [ln_likelihood(seen, "", Truth("F5:2", "ohms", 0.02)), ln_likelihood(seen, "", Truth("F5:2", "ohms", 60.0))]
    assert math.exp(dead[1]) == pytest.approx(1.448, rel=0.01)  # the ohms of leads shift it by 0.3 %
    assert math.exp(dead[0]) == pytest.approx(0.003 / 7, rel=0.01)
    assert math.exp(max(dead) - min(capped(dead, cap(seen)))) == pytest.approx(333, rel=0.01)
    logs, odds = [math.log(0.6), math.log(0.4)], []
    for lls in ([0.0, 0.0], blue, [same, same], capped(dead, cap(seen))):
        logs = [log + ll for log, ll in zip(logs, lls, strict=True)]
        odds.append(tuple(normalised(logs)))
    assert [row[1] for row in odds] == pytest.approx([0.400, 0.691, 0.691, 0.9987], abs=6e-4)
    named = Cause("F5", "loose_burnt", "2")
    for row, points in zip(range(1, 5), (6.0, 10.9, 10.9, 30.0), strict=True):
        found = diagnose(Course((POLE, LUG), (), tuple(odds[:row]), (), ()), named, named, None)
        assert 30.0 * found.share == pytest.approx(points, abs=0.05)


def test_volts_across_the_pole_during_a_start():
    """416 V expected if the pole is open (spread 17), 0 V if the lug is (spread 4); 2 V read: raw 5218:1, counted 100:1."""
    seen = Reading("K5:1 K5:2", "volts", "2", value=2.0)
    worlds = [Truth(seen.of, "volts", 416.0), Truth(seen.of, "volts", 0.0)]
    assert [round(mean_and_sigma(w)[1]) for w in worlds] == [17, 4]
    lls = [ln_likelihood(seen, "", w) for w in worlds]
    assert math.exp(lls[1] - lls[0]) == pytest.approx(5218, rel=0.01)
    cut = capped(lls, cap(seen))
    assert math.exp(cut[1] - cut[0]) == pytest.approx(100)


@pytest.mark.parametrize(
    ("odds", "expected"), [(0.2, 0.0), (0.25, 0.0), (1, 0.40), (4, 0.75), (19, 1.0), (99, 1.0), (2, 0.40 + 0.35 * 0.5)]
)
def test_anchors(odds, expected):
    assert worth(odds / (1 + odds)) == pytest.approx(expected, abs=1e-9)


def test_cycling_pressure_is_compared_with_the_window_not_the_second():
    """Two suspects 10 psi apart in a saw-tooth: one reading must not throw out the truth."""
    psi = 6894.757
    window = tuple(1.8e6 + k * psi for k in (-15, -10, -5, 0, 5, 10, 15))
    seen = Reading("GD", "pressure", "", value=1.8e6 + 12 * psi)
    here, there = (
        Truth("GD", "pressure", 1.8e6 - 15 * psi, window=window),
        Truth("GD", "pressure", 1.8e6, window=tuple(v + 10 * psi for v in window)),
    )
    assert abs(ln_likelihood(seen, "", here) - ln_likelihood(seen, "", there)) < math.log(3)


# ---- any record ----------------------------------------------------------------------------------------------------------

NAMES = ["a", "b", "c", "d"]
SUSPECTS = [Suspect(name, name.upper(), "leaking", prior=prior) for name, prior in zip(NAMES, (4, 2, 1, 1), strict=True)]


@st.composite
def records(draw):
    """Moments of a true world and the same steps in worlds of four suspects, two severities each."""
    count = draw(st.integers(1, 12))
    kinds = draw(st.lists(st.sampled_from(["volts", "amps", "ohms", "pressure", "look"]), min_size=count, max_size=count))
    spans = {"volts": 480.0, "amps": 40.0, "ohms": 100.0, "pressure": 2e6}

    def truth(n, kind):
        if kind == "look":
            return Truth(f"P{n}", kind, category=draw(st.sampled_from(["plain", "blue"])))
        return Truth(f"P{n}", kind, draw(st.floats(0, 1)) * spans[kind])

    true = draw(st.sampled_from(NAMES))
    worlds = [
        World(name, 0.5, {(n, f"P{n}", kind): truth(n, kind) for n, kind in enumerate(kinds)}) for name in NAMES for _ in (0, 1)
    ]
    mine = next(w for w in worlds if w.suspect == true)
    return true, worlds, [as_moment(n, mine.truths[(n, f"P{n}", kind)]) for n, kind in enumerate(kinds)]


def as_moment(n, truth, step=None):
    reading = Reading(truth.of, truth.kind, "", value=truth.value)
    return Moment(n, 60.0 * n, "panel", step or f"{truth.kind} {truth.of}", "", "reading", 1.0, (reading,), (truth,))


def last(suspects, worlds, moments, unsafe=()):
    return course(suspects, worlds, pieces(moments, unsafe)).odds[-1]


@settings(max_examples=60, deadline=None)
@given(records())
def test_appended_true_reading_never_lowers_a_right_name(record):
    true, worlds, moments = record
    right = Cause(true.upper(), "leaking")
    shares = [diagnose(course(SUSPECTS, worlds, pieces(moments[:k])), right, right, None).share for k in range(len(moments) + 1)]
    assert all(later >= earlier for earlier, later in itertools.pairwise(shares))


@settings(max_examples=60, deadline=None)
@given(records(), st.randoms())
def test_order_repeats_and_labels_do_not_matter(record, random):
    _, worlds, moments = record
    plain = last(SUSPECTS, worlds, moments)
    mixed = moments[:]
    random.shuffle(mixed)
    assert last(SUSPECTS, worlds, mixed) == pytest.approx(plain, abs=1e-9)
    assert last(SUSPECTS, worlds, [*moments, *moments]) == plain
    turned = worlds[::-1]
    assert last(SUSPECTS, turned, moments) == pytest.approx(plain, abs=1e-12)
    assert last(SUSPECTS[::-1], worlds, moments)[::-1] == pytest.approx(plain, abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(records())
def test_equal_reading_incident_and_split_severity_change_nothing(record):
    _, worlds, moments = record
    plain = last(SUSPECTS, worlds, moments)
    same = Truth("Z", "volts", 480.0)
    longer = [World(w.suspect, w.share, {**w.truths, (99, "Z", "volts"): same}) for w in worlds]
    assert last(SUSPECTS, longer, [*moments, as_moment(99, same)]) == pytest.approx(plain, abs=1e-12)
    telling = as_moment(98, Truth("Y", "volts", 480.0))
    apart = [
        World(w.suspect, w.share, {**w.truths, (98, "Y", "volts"): Truth("Y", "volts", 480.0 if w.suspect == "a" else 0.0)})
        for w in worlds
    ]
    assert last(SUSPECTS, apart, [*moments, telling], unsafe={98}) == plain
    halves = [World(w.suspect, w.share / 2, w.truths) for w in worlds for _ in (0, 1)]
    assert last(SUSPECTS, halves, moments) == pytest.approx(plain, abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(records())
def test_no_reading_moves_a_pair_by_more_than_its_cap_and_odds_stay_finite(record):
    _, worlds, moments = record
    found = course(SUSPECTS, worlds, pieces(moments))
    for piece, gain in zip(found.pieces, found.gains, strict=True):
        assert max(gain) - min(gain) <= cap(piece.seen) + 1e-12
    assert all(math.isfinite(p) for row in found.odds for p in row)
    assert all(sum(row) == pytest.approx(1.0) for row in found.odds)


def test_incident_does_not_use_the_reading_up():
    telling = Truth("Y", "volts", 480.0)
    worlds = [
        World("a", 1, {(n, "Y", "volts"): telling for n in (1, 2)}),
        World("b", 1, {(n, "Y", "volts"): Truth("Y", "volts", 0.0) for n in (1, 2)}),
    ]
    moments = [as_moment(1, telling), as_moment(2, telling)]
    assert last(SUSPECTS[:2], worlds, moments, unsafe={1}) == last(SUSPECTS[:2], worlds, moments)


def test_after_an_act_the_same_reading_counts_anew_but_a_cycle_comes_back():
    look = Truth("Y", "volts", 480.0)
    moments = [
        as_moment(1, look),
        act(2, "off Q5"),
        as_moment(3, look),
        act(4, "on Q5"),
        as_moment(5, look),
        act(6, "off Q5"),
        as_moment(7, look),
        act(8, "on Q5"),
        as_moment(9, look),
    ]
    assert [piece.n for piece in pieces(moments)] == [1, 3, 5]


def test_merged_twin_changes_nothing_for_the_right_name():
    truth = {(1, "Y", "volts"): Truth("Y", "volts", 480.0)}
    other = {(1, "Y", "volts"): Truth("Y", "volts", 0.0)}
    twins = [Suspect("a", "A", "leaking"), Suspect("twin", "B", "leaking"), Suspect("b", "C", "leaking")]
    worlds = [World("a", 1, truth), World("twin", 1, truth), World("b", 1, other)]
    groups = inseparable(twins, worlds)
    assert groups == [("a", "twin")]
    moments = [as_moment(1, truth[(1, "Y", "volts")])]
    for name in ("A", "B"):
        found = diagnose(course(twins, worlds, pieces(moments)), Cause(name, "leaking"), Cause("A", "leaking"), None, groups)
        assert found.share == pytest.approx(1.0, abs=0.05)


def test_surprise_is_said_and_carries_no_weight():
    worlds = [
        World(name, 1, {(1, "Y", "volts"): Truth("Y", "volts", value)}) for name, value in zip(NAMES, (0, 10, 20, 30), strict=True)
    ]
    moments = [
        Moment(
            1,
            60,
            "panel",
            "volts Y",
            "",
            "reading",
            1.0,
            (Reading("Y", "volts", "480", value=480.0),),
            (Truth("Y", "volts", 480.0),),
        )
    ]
    found = course(SUSPECTS, worlds, pieces(moments))
    assert found.surprises == (1,)
    assert found.odds[0] == found.odds[1]


# ---- points ----------------------------------------------------------------------------------------------------------------


def straight(*ps):
    """A course of two suspects with the given probabilities of the lug."""
    return Course((POLE, LUG), (), tuple((1 - p, p) for p in ps), (), ())


def test_best_odds_for_a_right_name_last_odds_for_a_wrong_one():
    right = Cause("F5", "loose_burnt", "2")
    assert diagnose(straight(0.4, 0.96, 0.5), right, right, None).share == pytest.approx(1.0)
    wrong = Cause("K5", "does_not_close", "1")
    assert diagnose(straight(0.4, 0.98), wrong, right, None).share == 0.0  # named although the evidence had ruled it out
    assert diagnose(straight(0.4, 0.02, 0.98), wrong, right, None).share == 0.0  # supported once, but not at the end
    assert diagnose(straight(0.4, 0.02), wrong, right, None).share == pytest.approx(0.3)  # misled, and fully supported


def test_right_name_from_nothing_is_a_lucky_guess():
    right = Cause("F5", "loose_burnt", "2")
    assert 30 * diagnose(straight(0.4), right, right, None).share == pytest.approx(6.0)


def test_points_rise_with_probability():
    right = Cause("F5", "loose_burnt", "2")
    shares = [diagnose(straight(0.4, p / 100), right, right, None).share for p in range(1, 100)]
    assert shares == sorted(shares)


def test_reason_must_have_been_seen():
    right = Cause("F5", "loose_burnt", "2", "F5:loose_burnt:2")
    seen, unseen = (diagnose(straight(0.4, 0.99), right, right, None, reason_seen=flag).share for flag in (True, False))
    assert seen == pytest.approx(1.0)
    assert unseen == pytest.approx(0.8 + 0.2 * 0.2)


def test_justified_is_divided_by_a_low_ceiling():
    assert justified(0.8, 0.2, ceiling=0.8) == pytest.approx(1.0)
    assert justified(0.8, 0.2) == pytest.approx(0.75)


@settings(max_examples=20, deadline=None)
@given(records())
def test_shares_of_readings_sum_to_the_whole_change(record):
    true, worlds, moments = record
    found = course(SUSPECTS, worlds, pieces(moments))
    i = NAMES.index(true)
    whole = [math.log10(row[i] / (1 - row[i])) for row in (found.odds[0], found.odds[-1]) if row[i] < 1]
    parts = shares(found, i, len(found.pieces), pairs=4)
    assert (len(whole) == 2 and sum(parts) == pytest.approx(whole[1] - whole[0], abs=1e-3)) or max(
        row[i] for row in found.odds
    ) > 1 - 1e-12


def test_two_equal_readings_share_equally_whatever_came_first():
    worlds = [
        World(name, 1, {(n, f"P{n}", "volts"): Truth(f"P{n}", "volts", value) for n in (1, 2)})
        for name, value in (("a", 480.0), ("b", 0.0))
    ]
    moments = [as_moment(n, worlds[0].truths[(n, f"P{n}", "volts")]) for n in (1, 2)]
    parts = shares(course(SUSPECTS[:2], worlds, pieces(moments)), 0, 2)
    assert parts[0] == pytest.approx(parts[1])
    assert sum(parts) == pytest.approx(4.0)  # two readings, each capped at 100 to 1


@settings(max_examples=20, deadline=None)
@given(records())
def test_table_of_separations_agrees_with_pairs(record):
    _, worlds, _ = record
    table = separations(worlds)
    assert table[0, 3] == pytest.approx(separation(worlds[0].truths, worlds[3].truths))
    assert table[5, 2] == pytest.approx(separation(worlds[5].truths, worlds[2].truths))

"""How a call's claims are checked, on claims made by hand."""

import pytest

from graders import misconceptions, proof
from graders.proof import attempt_claim
from graders.rubric import DEFAULT

CARD = {
    "call": "demo",
    "score": 41.0,
    "of": 100.0,
    "passed": False,
    "parts": [{"id": "safe", "score": 5.0}, {"id": "diagnosis", "score": 9.2}],
    "incidents": [{"kind": "touched_live"}],
}


def attempt(**more):
    return {
        "id": "hasty",
        "title": "Hands first",
        "score": {"safe": 5, "diagnosis": 9.2},
        "passed": False,
        "incidents": ["touched_live"],
    } | more


def test_attempt_that_scores_what_was_derived():
    claim = attempt_claim(attempt(), CARD)
    assert claim["ok"]
    assert claim["claim"] == "attempt hasty: Hands first"


def test_attempt_off_by_more_than_rounding_is_named():
    claim = attempt_claim(attempt(score={"safe": 5.2, "diagnosis": 9.25}), CARD)
    assert not claim["ok"]
    assert claim["detail"] == "safe 5, derived 5.2"


def test_attempt_that_must_fail_but_passes_and_incidents_that_differ():
    claim = attempt_claim(attempt(passed=True, incidents=[]), CARD)
    assert "not passed" in claim["detail"]
    assert "incidents touched_live, key none" in claim["detail"]


@pytest.mark.slow
def test_an_exemplar_that_only_some_seeds_stop_is_found(monkeypatch):
    """One exemplar reads three clamps before the pump runs; with a few seeds the meters' noise shows 0.00 A on all three."""
    assert proof.SEEDS >= 50
    assert not [why for seed in range(8) for why in proof.short_of_sound("dairy_and_meat", seed, 1, DEFAULT)]
    monkeypatch.setattr(misconceptions, "_over", lambda value, other: value / other)
    found = [why for seed in range(8) for why in proof.short_of_sound("dairy_and_meat", seed, 1, DEFAULT)]
    assert found
    assert all("to be marked by hand, for grading broke off (ZeroDivisionError" in why for why in found)

"""How a call's claims are checked, on claims made by hand."""

from graders.proof import attempt_claim

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
        "score": {"safe": 5, "diagnosis": 9},
        "passed": False,
        "incidents": ["touched_live"],
    } | more


def test_attempt_that_scores_what_its_key_says():
    claim = attempt_claim(attempt(), CARD)
    assert claim["ok"]
    assert claim["claim"] == "attempt hasty: Hands first"


def test_attempt_off_by_more_than_its_tolerance_is_named():
    claim = attempt_claim(attempt(score={"safe": 8, "diagnosis": 9}), CARD)
    assert not claim["ok"]
    assert claim["detail"] == "safe 5, key 8"
    assert attempt_claim(attempt(score={"safe": 8}, tolerance=3), CARD)["ok"]


def test_attempt_that_must_fail_but_passes_and_incidents_that_differ():
    claim = attempt_claim(attempt(passed=True, incidents=[]), CARD)
    assert "not passed" in claim["detail"]
    assert "incidents touched_live, key none" in claim["detail"]

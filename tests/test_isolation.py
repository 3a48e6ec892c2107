"""What the notes prove: off, lock and tag, try, live, dead on every pair, live again. NFPA 70E art. 120.5, from memory."""

import pytest

from scenarios.visit.isolation import IsolationLog, pairs_to_prove

LINE, CONTROL = ["K5:1", "K5:3", "K5:5"], [("K5:A1", "PE")]
PAIRS = pairs_to_prove(LINE, CONTROL)


def notes(*rows: tuple[str, tuple[str, ...], float]) -> IsolationLog:
    """A log written row by row."""
    log = IsolationLog()
    for n, (what, where, volts) in enumerate(rows, 1):
        log.add(n, 60.0 * n, what, where, volts)
    return log


OFF = ("off", ("Q5",), 0.0)
LIVE = ("volts", ("proving unit", "leads"), 240.0)
DEAD = [("volts", pair, 0.1) for pair in PAIRS]


def test_every_pole_to_every_other_and_to_earth():
    """Three poles: three pairs among them and three to earth, and the control element."""
    assert len(PAIRS) == 3 + 3 + 1
    assert ("K5:1", "K5:5") in PAIRS


def test_live_dead_live_is_whole():
    assert notes(OFF, LIVE, *DEAD, LIVE).proof(PAIRS).whole


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ([OFF, *DEAD, LIVE], "tester not shown live before"),
        ([OFF, LIVE, *DEAD], "tester not shown live after"),
        ([OFF, LIVE, *DEAD[:-1], LIVE], "one pair left out"),
        ([LIVE, *DEAD, LIVE, ("on", ("Q5",), 0.0)], "switched on since"),
        ([OFF, LIVE, *DEAD, LIVE, ("unlock", ("Q5",), 0.0)], "lock taken off since"),
        ([OFF, LIVE, ("volts", PAIRS[0], 120.0), *DEAD[1:], LIVE], "one pair reads live"),
    ],
)
def test_anything_less_is_not(rows, why):
    assert not notes(*rows).proof(PAIRS).whole, why


def test_pair_is_the_same_whichever_lead_is_first():
    turned = [("volts", (b, a), 0.1) for a, b in PAIRS]
    assert notes(OFF, LIVE, *turned, LIVE).proof(PAIRS).whole


def test_what_is_off_and_what_hangs():
    log = notes(OFF, ("lock", ("Q5",), 0.0), ("off", ("Q8",), 0.0), ("on", ("Q8",), 0.0))
    assert log.off() == ["Q5"]
    assert log.done("lock", "Q5") is not None
    assert log.done("lock", "Q8") is None
    log.add(9, 0.0, "on", ("Q5",))
    assert log.done("lock", "Q5") is None

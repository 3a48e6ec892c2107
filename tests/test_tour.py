"""The tour of every safe step: what it covers, and that it stays clear of what is not safe."""

from stores import corner_market

from graders.ground import ground
from graders.tour import Wired, parts_of, steps

K5 = Wired(
    "K5",
    "contactor3",
    "panel",
    (("K5:1", "K5:2"), ("K5:3", "K5:4"), ("K5:5", "K5:6")),
    (("K5:A1", "K5:A2"),),
    ("K5:1", "K5:2"),
    False,
)
Q5 = Wired("Q5", "breaker3", "panel", (("Q5:1", "Q5:2"), ("Q5:3", "Q5:4"), ("Q5:5", "Q5:6")), (), ("Q5:1", "Q5:2"), False)
M5 = Wired("M5", "motor3", "roof", (), (), ("M5:T1", "M5:T2", "M5:T3"), False)


def tour(*wired: Wired) -> list[str]:
    return steps(list(wired), ground(corner_market(), ["XV4"], {"Q5": "panel", "Q8": "panel"}))


def test_everything_is_off_and_locked_before_ohms_and_hands() -> None:
    walk = tour(Q5, K5, M5)
    hands = [n for n, step in enumerate(walk) if step.split()[0] in ("ohms", "tug", "press", "insulation")]
    locked = [n for n, step in enumerate(walk) if step in ("lock Q5", "lock Q8")]
    assert len(hands) == 4 + 2 + 1 + 3 + 1 + 1 + 3
    assert max(locked) < min(hands)
    assert not [step for step in walk if step.startswith("tug Q5")], "its line side stays live"


def test_nothing_is_swapped_pushed_or_bridged() -> None:
    verbs = {step.split()[0] for step in tour(Q5, K5, M5)}
    assert not verbs & {"replace", "push", "bridge", "set", "lift", "re-end", "reset"}


def test_an_overload_is_reset_once_after_everybody_has_looked() -> None:
    load = (("K5:2", "F5:2T1"), ("K5:4", "F5:4T2"), ("K5:6", "F5:6T3"))
    walk = tour(Q5, K5, Wired("F5", "overload3", "panel", load, (), ("F5:2T1",), False), M5)
    resets = [n for n, step in enumerate(walk) if step.startswith("reset")]
    assert [walk[n] for n in resets] == ["reset F5"]
    assert walk.index("look F5") < resets[0]
    assert max(n for n, step in enumerate(walk) if step.split()[0] in ("ohms", "tug")) < resets[0]


def test_a_drive_never_gets_five_hundred_volts() -> None:
    assert [step for step in tour(M5) if step.startswith("insulation")]
    assert not [step for step in tour(driven(M5)) if step.startswith("insulation")]


def driven(part: Wired) -> Wired:
    """The same motor behind a drive."""
    return Wired(part.mark, part.kind, part.place, part.poles, part.pairs, part.terminals, True)


def test_parts_come_with_the_whole_of_their_circuit() -> None:
    groups = {"Q5": "pump", "K5": "pump", "Q6": "fan", "C4": "cases"}
    assert parts_of(["K5", "COIL"], groups) == ["Q5", "K5"]

"""The gate on whole calls: invented technicians, each a change to an exemplar, and what the scorecard says of them."""

import re
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner
from stores import corner_market

from course.cli import cli
from graders import gate, replaying
from graders import scorecard as scorecards
from graders.locking import locked_off
from graders.scorecard import as_json, judge
from scenarios.assignments import assignment
from scenarios.call import Session
from scenarios.electrical.wiring import Wiring
from scenarios.files import callfile

FIRST, WALK_IN = "dairy_and_meat", "walk_in_warm"
Steps = Sequence[str]


@cache
def wiring() -> Wiring:
    return corner_market().wiring


@pytest.mark.parametrize(
    ("part", "locks", "off"),
    [
        ("K5", [], False),
        ("K5", ["Q5"], False),
        ("K5", ["Q8"], False),
        ("K5", ["Q5", "Q8"], True),
        ("K5", ["Q0"], True),
        ("M5", ["Q5"], True),
        ("M5", ["Q6"], False),
        ("Q5", ["Q5"], False),
        ("SV9", ["Q8"], True),
        ("SV9", ["Q5"], False),
        ("U6", ["Q6"], False),
        ("U6", ["Q6", "Q8"], True),
    ],
)
def test_locked_off_is_every_source_that_the_wiring_list_shows(part: str, locks: list[str], off: bool) -> None:
    """Read by hand from the list: a contactor has its power from Q5 and its coil from Q8, the main feeds both, a breaker's line
    side stays live, and a drive has its run contact from the control circuit."""
    assert locked_off(wiring(), part, locks) == off


def steps_of(call: str, seed: int = 0, exemplar: int = 0) -> list[str]:
    """Steps of an exemplar."""
    return list(replaying.key(call, seed)["exemplars"][exemplar]["steps"])


def card_of(call: str, steps: Steps, seed: int = 0) -> dict[str, Any]:
    """Scorecard of a call taken by these steps."""
    return as_json(judge(replaying.replay(replaying.take(call, seed, steps))))


def without(steps: Steps, *beginnings: str) -> list[str]:
    """The steps less those that begin so; hands and ohms then go on against the caution."""
    hands = ("press", "ohms", "tug", "replace", "re-end", "lift", "land", "clamp")
    kept = [step for step in steps if not step.startswith(beginnings)]
    return [f"{step} anyway=yes" if step.split()[0] in hands else step for step in kept]


def moved(steps: Steps, wanted: str, before: str) -> list[str]:
    """The steps with one of them done earlier."""
    rest = [step for step in steps if step != wanted]
    rest.insert(next(n for n, step in enumerate(rest) if step.startswith(before)), wanted)
    return rest


def only_listens(steps: Steps) -> list[str]:
    """Hears a silent valve, names the coil, and works soundly from there on."""
    skipped = ("listen SV10", "gauge", "temp C9.T1", "ungauge", "lift", "ohms", "land")
    cut = steps.index("replace SV9")
    early = [step for step in steps[:cut] if not step.startswith(skipped) and step != "volts SV9:1 SV9:2"]
    return [*early, *steps[cut:]]


def changes_parts(steps: Steps) -> list[str]:
    """Changes the expansion valve first, then the coil, with every reading in between."""
    at = steps.index("listen SV9")
    return [*steps[:at], "replace XV9", *steps[at:]]


def wrong_mode(steps: Steps) -> list[str]:
    """Names another failing of the right part than the one that was measured."""
    return [step.replace("open_inside", "stuck_worn") for step in steps]


def all_at_once(steps: Steps) -> list[str]:
    """Looks at nothing but the product, isolates soundly, and changes whatever hangs on the pump."""
    begun, cut = steps.index("open DOOR"), steps.index("press K5")
    blind = [step for step in steps[begun:cut] if not step.startswith(("look", "read", "volts Q5:1"))]
    swaps = ["replace K5", "re-end K5:1", "replace F5", "replace FU5", "replace KR5"]
    return [*steps[:2], "go panel", *blind, *swaps, *steps[steps.index("tug K5:1") + 1 :]]


def locks_the_main(steps: Steps) -> list[str]:
    """One lock on the main, in place of two on what it feeds."""
    return [re.sub(r"^(off|lock|unlock|on) Q5$", r"\1 Q0", step) for step in steps if not step.endswith(" Q8")]


def pushes_first(steps: Steps) -> list[str]:
    """Pushes the high-pressure button while the pump still stands."""
    return moved(steps, "push HP3", "go roof")


LOCKS = ("lock", "unlock", "try", "prove-meter", "volts K5:", "volts SV9:1 SV9:2 PE")
TECHNICIANS: list[tuple[str, str, Callable[[Steps], Steps], set[gate.Bar]]] = [
    ("works as the exemplar", FIRST, list, set()),
    ("works as the exemplar", WALK_IN, list, set()),
    ("switches off and trusts in it", FIRST, lambda s: without(s, *LOCKS), {gate.HANDS}),
    ("switches off and trusts in it", WALK_IN, lambda s: without(s, *LOCKS), {gate.HANDS}),
    ("proves dead and hangs no lock", FIRST, lambda s: without(s, "lock", "unlock"), {gate.HANDS}),
    ("locks and proves nothing", FIRST, lambda s: without(s, "prove-meter", "volts K5:"), {gate.HANDS}),
    ("locks the main instead", FIRST, locks_the_main, set()),
    ("hangs the clamps against a caution", FIRST, lambda s: moved(s, "clamp 1 F5:2T1", "off Q5"), set()),
    ("listens and names the coil", WALK_IN, only_listens, {gate.CAUSE}),
    ("changes the valve, then measures", WALK_IN, changes_parts, {gate.CAUSE}),
    ("names another mode than was measured", WALK_IN, wrong_mode, {gate.CAUSE}),
    ("changes all that hangs on it", FIRST, all_at_once, {gate.CAUSE}),
    ("pushes the button before the pump runs", FIRST, pushes_first, {gate.CALLBACK}),
]


@pytest.mark.slow
@pytest.mark.parametrize(("who", "call", "change", "barred"), TECHNICIANS, ids=[f"{who}, {call}" for who, call, *_ in TECHNICIANS])
def test_who_is_passed_and_who_is_not(who: str, call: str, change: Callable[[Steps], Steps], barred: set[gate.Bar]) -> None:
    """Common practice of the trade as the README states it; no figure is copied from a run."""
    card = card_of(call, change(steps_of(call)))
    assert card["incidents"] == []
    assert set(card["barred"]) == {bar.says for bar in barred}
    assert card["passed"] == (not barred)
    assert card["gradebook"] == (min(card["score"], 59.0) if barred else pytest.approx(card["score"], abs=0.06))


NO_TELL = ("replace", "re-end", "torque", "restart", "coil", "lug", "contactor", "solenoid", "pole")
LAZY: Steps = ["go panel", "close-out"]


def names(call: str) -> set[str]:
    """Every mark and every point of a call's store."""
    built = Session.open(call, 0).night
    return {*built.store.wiring.devices, *built.points, *(str(entry.fault.part) for entry in built.suspects(0))}


@pytest.mark.slow
@pytest.mark.parametrize("call", callfile.names("call"))
@pytest.mark.parametrize("kind", ["lazy", "attempts", "exemplars"])
def test_feedback_names_nothing_that_the_trainee_had_not_named(call: str, kind: str) -> None:
    key = replaying.key(call, 0)
    last = list(assignment(call).store.places)[-2]
    lazy = [f"go {last}", "close-out"]
    for steps in [lazy] if kind == "lazy" else [entry["steps"] for entry in key[kind]]:
        card = card_of(call, steps)
        told = " ".join([*card["barred"], *(line for part in card["parts"] for line in part["feedback"])])
        own = set(re.findall(r"[\w.]+", " ".join(steps)))
        assert {name for name in names(call) if re.search(rf"\b{re.escape(name)}\b", told)} - own == set()
        assert [word for word in NO_TELL if re.search(rf"\b{word}", told, re.IGNORECASE)] == []
        assert all(part["feedback"] for part in card["parts"])


@pytest.mark.slow
def test_command_grades_the_others_where_the_graders_break_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    records = []
    for seed in (1, 2, 3):
        session = Session.open(WALK_IN, seed, tmp_path / f"{seed}.jsonl")
        for step in LAZY:
            session.do(step)
        assert session.writer is not None
        session.writer.close()
        records.append(str(tmp_path / f"{seed}.jsonl"))
    whole = scorecards.judge

    def judge_all_but_one(night: Any, *more: Any) -> Any:
        if night.seed == 2:
            raise ZeroDivisionError("division by zero")
        return whole(night, *more)

    monkeypatch.setattr(scorecards, "judge", judge_all_but_one)
    with pytest.raises(Exception, match="to be marked by hand") as many:
        CliRunner().invoke(cli, ["grade", *records], catch_exceptions=False, standalone_mode=False)
    assert type(many.value).__name__ == "FaultFound"
    shown = CliRunner().invoke(cli, ["grade", *records])
    assert f"{records[0]}: {WALK_IN}, " in shown.stdout
    assert f"{records[1]}: to be marked by hand, for grading broke off (ZeroDivisionError" in shown.stdout
    assert f"{records[2]}: {WALK_IN}, " in shown.stdout
    single = CliRunner().invoke(cli, ["grade", "--json", records[1]])
    card = yaml.safe_load(single.stdout)
    assert (card["passed"], card["score"], card["gradebook"]) == (None, None, None)
    assert "to be marked by hand" in card["by_hand"]
    broken = CliRunner().invoke(cli, ["debrief", records[1]])
    assert "to be marked by hand" in str(broken.exception)
    assert getattr(broken.exception, "exit_code", None) == 1

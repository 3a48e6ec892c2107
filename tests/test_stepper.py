"""One stepper for the call and for every suspect's world: the same steps leave the same bits, however they are driven."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from prints import print_of

from course import library
from graders import replaying
from graders.evidence import pieces
from scenarios import record as records
from scenarios.call import Session
from scenarios.facts import SawKind
from scenarios.site import World
from scenarios.steps import parse
from scenarios.truths import Plan, Walk

CALLS = [str(row["id"]) for row in library.rows()]
SEED = 3


def steps_of(call: str) -> list[str]:
    """Steps of a call's first exemplar."""
    return [str(step) for step in replaying.key(call, SEED)["exemplars"][0]["steps"]]


@pytest.fixture(scope="module", params=CALLS)
def live(request: pytest.FixtureRequest) -> Session:
    """A call's exemplar, taken live."""
    session = Session.open(request.param, SEED)
    for line in steps_of(request.param):
        session.do(line)
    return session


def plan_of(session: Session) -> Plan:
    return Plan.of(session.moments, session.facts, session.words, session.night.store)


def test_does_a_walk_leave_the_bits_that_the_call_left(live: Session) -> None:
    walk, plan = Walk(live.night.world(SEED), live.call, SEED), plan_of(live)
    for done, ahead in zip(plan.steps, plan.ahead, strict=True):
        walk.take(done, ahead)
    assert walk.t == live.t
    assert print_of(walk.now()) == print_of(live.world)
    assert (walk.person.covers, walk.person.clamps, walk.person.gauges) == (
        live.person.covers,
        live.person.clamps,
        live.person.gauges,
    )
    seen = {(n, of, kind): truth.category for (n, of, kind), truth in walk.found.items()}
    shown = {(m.n, r["of"], r["kind"]): r["shown"] for m in live.moments for r in m.saw.readings}
    assert seen.keys() == shown.keys()
    assert {key: word for key, word in seen.items() if word} == {key: shown[key] for key, word in seen.items() if word}


def test_does_it_go_on_from_a_snapshot(live: Session) -> None:
    """Half-way the world is saved and another takes it up: every display after that, and the bits at the end."""
    half = len(live.moments) // 2
    again = Session(live.night, SEED, live.night.world(SEED))
    for moment in live.moments[:half]:
        again.do(moment.step, moment.saw.as_json())
    saved = again.world.snapshot()
    again.stepper.world = World.fresh(live.night.store, live.call, 0.0)
    again.world.restore({name: np.array(value) for name, value in saved.items()})
    assert [again.do(m.step, m.saw.as_json()) for m in live.moments[half:]] == [m.saw for m in live.moments[half:]]
    assert print_of(again.world) == print_of(live.world)


PLAIN = """
import json, sys
from scenarios.call import Session
session = Session.open(sys.argv[1], int(sys.argv[2]))
for line in json.load(sys.stdin):
    session.do(line)
print(json.dumps([[m.n, m.t, m.saw.as_json()] for m in session.moments]))
"""


@pytest.mark.slow
def test_does_plain_python_show_the_same(live: Session) -> None:
    steps = [moment.step for moment in live.moments]
    made = subprocess.run(
        [sys.executable, "-c", PLAIN, live.night.call["id"], str(SEED)],
        input=json.dumps(steps), capture_output=True, text=True, check=True, env=os.environ | {"NUMBA_DISABLE_JIT": "1"},
    )  # fmt: skip
    assert json.loads(made.stdout) == [[m.n, m.t, json.loads(json.dumps(m.saw.as_json()))] for m in live.moments]


# ---- an incident is the same for everybody ---------------------------------------------------------------------------------


def test_an_incident_lets_the_armature_go_in_every_world() -> None:
    """Held in by hand, and then something live is touched: hands come off, in the call and in every walk of it."""
    session = Session.open(CALLS[0], SEED)
    breaker = next(mark for mark, part in session.world.store.parts.items() if part.kind.handle)
    for n, driver in enumerate((session.stepper, Walk(session.night.world(SEED), session.call)), 1):
        driver.person.held = "some contactor"
        driver.interrupted(n, [breaker])
        assert driver.person.held is None
        assert driver.person.isolation.off() == [breaker]
        assert driver.person.made_safe == {breaker}
        assert not driver.now().network.state.devices.shut[driver.now().network.device(breaker)]


# ---- what makes a reading a new one ----------------------------------------------------------------------------------------


def counted(lines: list[str]) -> list[str]:
    """Steps of a call whose readings count as evidence."""
    night = replaying.replay(replaying.take(CALLS[0], SEED, lines), after=False, suspects=False)
    assert all(SawKind(m.kind).done for m in night.moments), [m.saw for m in night.moments]
    return [night.moments[piece.n - 1].step for piece in pieces(night.moments)]


def marks() -> tuple[str, str, str, str]:
    """Of the call's store: two cases, where they stand, and something there with a cover."""
    store = Session.open(CALLS[0], SEED).world.store
    cases = [part for part in store.parts.values() if "cases" in part.kind.tables]
    wired = next(part for part in store.parts.values() if part.kind.wired and part.place == cases[0].place)
    return cases[0].mark, cases[1].mark, cases[0].place, wired.mark


def test_a_reading_after_the_case_was_changed_is_new_evidence() -> None:
    """Its door or curtain shut, or its product moved: the case is another, and so is what is read of it."""
    case, other, place, _ = marks()
    reading = f"temp {case}.A1"
    for act in (f"close {case}", f"move-product {case} to {other}", f"move-product {other} to {case}"):
        assert counted([f"go {place}", reading, act, reading]) == [reading, reading], act
    assert counted([f"go {place}", reading, "wait 5", reading]) == [reading]


def test_a_cover_or_a_lock_makes_no_reading_new() -> None:
    """Whoever opens and shuts a cover has changed nothing that a thermometer shows."""
    case, _, place, wired = marks()
    reading = f"temp {case}.A1"
    assert counted([f"go {place}", reading, f"open {wired}", reading, f"close {wired}", reading]) == [reading]


def changed(session: Session) -> dict[str, tuple[tuple[str, str], ...]]:
    return {done.step.line: done.changed for done in plan_of(session).steps}


def test_what_was_made_safe_after_an_incident_is_another() -> None:
    """The step was not done, but handles were moved: readings after it are of another state, that of those handles off."""
    session = Session.open("dairy_and_meat", 0)
    for line in ("go panel", "open DOOR", "feel K5", "feel K5 anyway=yes"):
        saw = session.do(line)
    assert saw.kind is SawKind.INCIDENT
    moved = session.person.isolation.off()
    assert moved
    assert changed(session)["feel K5 anyway=yes"] == tuple((mark, f"off {mark}") for mark in moved)


# ---- the table ------------------------------------------------------------------------------------------------------------


def test_hands_and_eyes_have_just_the_verbs_that_the_table_says() -> None:
    from scenarios.verbs import VERBS, Changes
    from scenarios.visit.acting import ACTING
    from scenarios.visit.observing import OBSERVING

    still = {"go", "wait"}  # where one is, and time: nothing of the store, of the notes or of the paper
    assert set(ACTING) == {name for name, verb in VERBS.items() if verb.changes is not Changes.NOTHING} | still
    assert set(OBSERVING) == {name for name, verb in VERBS.items() if verb.reads}
    assert not [name for name, verb in VERBS.items() if verb.timeless and not verb.reads]
    assert all(verb.done for verb in VERBS.values())


def test_no_other_list_of_verbs_stands_in_the_house() -> None:
    """Three or more acts as words in one literal, outside the table and the registers of what does them."""
    import ast

    from scenarios.verbs import VERBS, Changes

    root = Path(__file__).resolve().parent.parent
    allowed = {"scenarios/verbs.py", "scenarios/visit/acting.py", "scenarios/visit/observing.py", "scenarios/visit/paper.py"}
    acts = {name for name, verb in VERBS.items() if verb.changes is not Changes.NOTHING}
    others: dict[str, Any] = {}
    for path in (path for room in ("scenarios", "graders", "course") for path in (root / room).rglob("*.py")):
        name = path.relative_to(root).as_posix()
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            words = (
                node.elts if isinstance(node, ast.Tuple | ast.List | ast.Set) else node.keys if isinstance(node, ast.Dict) else []
            )
            verbs = {word.value for word in words if isinstance(word, ast.Constant) and word.value in acts}
            if len(verbs) >= 3 and name not in allowed:
                others[f"{name}:{node.lineno}"] = verbs
    assert others == {}


def test_every_row_is_said_and_asked_for_by_its_step() -> None:
    step = parse("move-product C4 to C10")
    assert (step.names, step.subjects, step.mark) == (("C4", "C10"), ("C4", "C10"), "C4")
    assert parse("lift K5:1 wire=7").subjects == parse("land K5:1").subjects == ("K5:1",)
    assert parse("bridge K5:1 K5:3").subjects == parse("unbridge K5:3 K5:1").subjects
    assert parse("suspect K5 shorted").names == ()
    assert parse("clamp 1 F5:2T1").names == ("F5:2T1",)


def test_records_of_both_calls_replay(live: Session, tmp_path: Path) -> None:
    made = records.Record(live.night.head(SEED), [records.Line(m.n, m.t, m.step, m.saw.as_json(), "") for m in live.moments])
    assert Session.replay(made)[1] == []


def test_a_display_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the notes keep of a reading is what the screen shows of it."""
    from scenarios import call

    worked_out: list[str] = []
    read = call.instruments.read

    def counted_read(*args: Any) -> Any:
        worked_out.append(args[0])
        return read(*args)

    session = Session.open("dairy_and_meat", 0)
    for line in ("go panel", "open DOOR"):
        session.do(line)
    monkeypatch.setattr(call.instruments, "read", counted_read)
    session.do("volts K5:1 K5:3")
    assert worked_out == ["volts"]

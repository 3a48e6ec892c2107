"""A call being taken: what steps do, cost and leave behind, and that a record comes out again digit for digit."""

import dataclasses
import random
import subprocess
import sys
from copy import deepcopy
from pathlib import Path

import numpy as np
import pytest
from prints import print_of

from scenarios import record as records
from scenarios import steps
from scenarios.call import Session
from scenarios.errors import BadRequest
from scenarios.truths import Plan, Walk, truths
from scenarios.verbs import VERBS
from scenarios.visit import acting

CALL = "walk_in_warm"
TO_PANEL = ["go floor", "go motor_room", "go panel", "open DOOR"]
PROVE_Q5 = [
    "off Q5", "off Q8", "lock Q5", "lock Q8", "try K5", "prove-meter", "volts K5:1 K5:3 K5:5 PE", "volts K5:A1 K5:13 PE",
    "prove-meter",
]  # fmt: skip


@pytest.fixture
def session() -> Session:
    """The call at the moment of the ticket."""
    return Session.open(CALL, 0)


def kinds(session: Session, *lines: str) -> list[str]:
    """Kinds of what a row of steps shows."""
    return [session.do(line).kind for line in lines]


# ---- time -----------------------------------------------------------------------------------------------------------------


def test_minutes_are_those_of_the_table_and_both_clocks_agree(session):
    kinds(session, *TO_PANEL)
    for line in ("volts K5:1 K5:3 K5:5", "look K5", "smell", "prove-meter", "wait 7.5", "note x", "go roof", "temp T5 how=wick"):
        before = session.t
        saw = session.do(line)
        fixed = VERBS[line.split()[0]].minutes
        due = fixed if fixed >= 0 else {"volts": 1.5, "wait": 7.5, "go": 4.0}[line.split()[0]]
        assert saw.minutes == pytest.approx(due, abs=0.05), line
        assert session.t - before == pytest.approx(60.0 * saw.minutes)
        assert session.world.t == session.t


@pytest.mark.parametrize("line", ["push HP3", "on Q5", "off Q5", "reset F5", "select S6 bypass"])
def test_clocks_agree_after_staying_to_listen(session, line):
    kinds(session, "go motor_room") if line == "push HP3" else kinds(session, *TO_PANEL)
    session.do(line)
    assert session.world.t == session.t


@pytest.mark.parametrize(
    "line",
    ["look M5", "volts K5:1 K5:3", "amps", "unclamp 1", "ungauge high", "unlock Q5", "land K5:1", "unbridge X1 X2", "close-out",
     "go floor",
     "set XV1 3", "push HP1", "close K5", "cross K5 shorted"],
)  # fmt: skip
def test_refusals_are_recorded_and_cost_no_time(session, line):
    if line != "close-out":
        kinds(session, "go floor")
    if line in ("land K5:1", "unbridge X1 X2"):
        kinds(session, "go panel", "open DOOR")
        line += " anyway=yes"
    before, n = session.t, len(session.moments)
    saw = session.do(line)
    assert saw.kind == "refused", saw.text
    assert saw.text.endswith(".")
    assert saw.minutes == 0.0
    assert session.t == before
    assert session.world.t == before
    assert len(session.moments) == n + 1


def test_a_line_that_is_no_step_is_not_recorded(session):
    with pytest.raises(BadRequest, match="unknown step 'lok'"):
        session.do("lok K5")
    assert session.moments == []


# ---- care -----------------------------------------------------------------------------------------------------------------


def test_no_caution_for_what_is_proved_dead(session):
    kinds(session, *TO_PANEL, *PROVE_Q5)
    assert kinds(session, "tug K5:1", "press K5", "ohms K5:1 K5:2") == ["sight", "act", "reading"]


def test_after_an_incident_the_part_is_dead_and_the_call_goes_on(session):
    kinds(session, *TO_PANEL)
    saw = session.do("tug K5:1 anyway=yes")
    assert saw.kind == "incident"
    assert "Q5" in saw.text
    assert [fact.what for fact in session.facts if fact.kind == "incident"] == ["touched_live"]
    assert session.world.touch_volts("K5") < 50.0
    assert kinds(session, "tug K5:1 anyway=yes", "on Q8", "on Q5") == ["sight", "act", "act"]


def test_a_lock_keeps_a_handle_and_only_an_off_one_is_locked(session):
    kinds(session, *TO_PANEL)
    assert kinds(session, "lock Q5", "off Q5", "lock Q5", "on Q5", "unlock Q5", "on Q5") == [
        "refused", "act", "act", "refused", "act", "act",
    ]  # fmt: skip


# ---- verbs do what their help says -----------------------------------------------------------------------------------------


def test_every_verb_can_be_done(session):
    """One sound tour through the whole table; what it leaves in the world is looked up there, not in words."""
    world = session.world
    assert kinds(session, "phone manager tell food")[0] == "said"
    kinds(session, *TO_PANEL)
    kinds(session, *PROVE_Q5)
    assert session.do("clamp 1 F5:2T1").kind == "act"
    assert session.do("lift K5:1").kind == "act"
    assert world.ohms("Q5:2", "K5:1") > 1e5
    session.do("land K5:1")
    assert world.ohms("Q5:2", "K5:1") < 0.1
    for line in ("torque K5:1", "re-end K5:1", "replace K5", "bridge K5:1 K5:3"):
        assert session.do(line + " anyway=yes").kind == "act", line
    assert world.ohms("K5:1", "K5:3") < 0.1
    session.do("unbridge K5:1 K5:3 anyway=yes")
    assert world.ohms("K5:1", "K5:3") > 0.1
    assert kinds(session, "press K5", "ohms K5:1 K5:2") == ["act", "reading"]
    session.do("set F5 4.4")
    assert world.network.dial("F5") == 4.4
    kinds(session, "unlock Q8", "unlock Q5", "on Q8", "on Q5", "select S6 bypass", "reset F5", "wait 1")
    assert kinds(session, "amps", "clear-max", "unclamp 1") == ["reading", "act", "act"]
    assert "Q5" not in session.person.locks
    kinds(session, "select S6 drive", "close DOOR", "go motor_room")
    assert kinds(session, "read GD", "gauge high P4", "ungauge high", "push HP3", "listen COMP1", "infrared COMP1") == [
        "reading", "reading", "act", "act", "sound", "reading",
    ]  # fmt: skip
    kinds(session, "go roof", "hose COIL", "go floor")
    world.plant.circuits.blocked[3], world.plant.circuits.ajar[3] = 0.8, 1.0
    assert kinds(session, "move-product C4 to C5", "close C4", "read C9", "feel XV9", "low-volts SV9:1 PE")[:4] == [
        "act", "act", "reading", "sight",
    ]  # fmt: skip
    assert (world.plant.circuits.blocked[3], world.plant.circuits.ajar[3]) == (0.0, 0.0)
    free = ["suspect SV9 open_inside", "cross SV9 open_inside", 'note "x"', "cause SV9 open_inside", 'order why "x"', "close-out"]
    assert set(kinds(session, *free)) == {"pad", "closed"}
    with pytest.raises(BadRequest, match="closed out"):
        session.do("look K5")


def test_trying_an_act_changes_nothing(session, monkeypatch):
    """Whether an act can be done is found by doing it on copies; what was tried, person and store, stays as it was."""
    tried, refusal = set(), acting.refusal

    def watched(scene, step):
        person, world = deepcopy(scene.person), print_of(scene.world)
        said = refusal(scene, step)
        assert scene.person == person, step.line
        assert print_of(scene.world) == world, step.line
        tried.add(step.verb)
        return said

    monkeypatch.setattr(acting, "refusal", watched)
    test_every_verb_can_be_done(session)
    assert tried >= {verb for verb in acting.ACTING if VERBS[verb].minutes != 0}


# ---- records ---------------------------------------------------------------------------------------------------------------


TOUR = [
    "go floor", "read C9", "temp C9.G1 how=packs", "gauge low C9.P8", "listen SV9", "volts SV9:1 SV9:2", "go panel", "off Q8",
    "tug K5:1", "open DOOR", "volts Q5:1 Q5:3 PE", "wait until-noticed", "on Q8", "note done",
]  # fmt: skip


@pytest.fixture
def taken(tmp_path: Path) -> Path:
    """A record of a short tour."""
    path = tmp_path / "tour.jsonl"
    session = Session.open(CALL, 3, path)
    for line in TOUR:
        session.do(line)
    session.writer.close()
    return path


def forged(made: records.Record, n: int, **changed) -> records.Record:
    """The record with one line changed and all digests made good."""
    lines = [dataclasses.replace(line, **changed) if k == n else line for k, line in enumerate(made.lines)]
    return records.Record(made.head, lines, name=made.name)


def test_replays_digit_for_digit(taken):
    made = records.read(taken)
    session, problems = Session.replay(made)
    assert problems == []
    assert [moment.saw.as_json() for moment in session.moments] == [line.saw for line in made.lines]


@pytest.mark.slow
def test_replays_in_a_fresh_process(taken):
    script = f"""
from pathlib import Path
from scenarios import record
from scenarios.call import Session
print(Session.replay(record.read(Path({str(taken)!r})))[1])
"""
    made = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert made.stdout.strip() == "[]"


@pytest.mark.slow
def test_goes_on_from_a_snapshot_in_a_fresh_process(taken, tmp_path):
    """The world of half a record, saved; another process takes it up and shows the other half digit for digit."""
    half = len(TOUR) // 2
    session = Session.open(CALL, 3)
    for line in TOUR[:half]:
        session.do(line)
    np.savez(tmp_path / "half.npz", **session.world.snapshot())
    script = f"""
import numpy as np
from pathlib import Path
from scenarios import record
from scenarios.call import Session
from scenarios.site import World
lines = record.read(Path({str(taken)!r})).lines
session = Session.open({CALL!r}, 3)
for line in lines[:{half}]:
    session.do(line.step, forced=line.saw)  # for the technician's things; the store is the saved one
session.stepper.world = World.fresh(session.night.store, session.call, 0.0)
session.world.restore(dict(np.load({str(tmp_path / "half.npz")!r}, allow_pickle=False)))
print([line.n for line in lines[{half}:] if session.do(line.step, forced=line.saw).as_json() != line.saw])
"""
    made = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert made.stdout.strip() == "[]"


def test_a_forged_reading_is_found(taken):
    made = records.read(taken)
    saw = dict(made.lines[5].saw, text="0.0 V between SV9:1 and SV9:2.")
    _, problems = Session.replay(forged(made, 5, saw=saw))
    assert len(problems) == 1
    assert ":7: replay shows" in problems[0]


def test_a_changed_step_is_found(taken):
    made = records.read(taken)
    _, problems = Session.replay(forged(made, 1, step="read C10"))
    assert any(":3: replay shows" in problem for problem in problems)


def test_an_added_step_is_found(taken):
    """A wait slipped in moves every clock after it."""
    made = records.read(taken)
    extra = dataclasses.replace(
        made.lines[1], step="wait 5", saw={"text": "Waited.", "kind": "time", "readings": [], "minutes": 5.0}
    )
    _, problems = Session.replay(records.Record(made.head, [*made.lines[:1], extra, *made.lines[1:]], name=made.name))
    assert problems
    assert ":3: replay is at" in problems[0]


@pytest.mark.parametrize(("key", "value"), [("seal", "0" * 64), ("step", 1), ("engine", "other")])
def test_a_foreign_record_is_refused_in_one_sentence(taken, key, value):
    made = records.read(taken)
    with pytest.raises(BadRequest) as refused:
        Session.replay(records.Record({**made.head, key: value}, made.lines, name=made.name))
    assert key in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_torn_record_goes_on_where_it_was(taken):
    whole = taken.read_bytes()
    taken.write_bytes(whole[:-20])
    session = Session.open(CALL, 0, taken, fresh=False)
    assert session.seed == 3
    assert len(session.moments) == len(TOUR) - 1
    session.do(TOUR[-1])
    session.writer.close()
    assert [line.saw for line in records.read(taken).lines] == [
        m.saw.as_json() for m in Session.replay(records.read(taken))[0].moments
    ]


# ---- the same steps walked through a world ----------------------------------------------------------------------------------


def same_bits_when_walked(session: Session) -> bool:
    """Whether a world that the steps are walked through for graders, with all looks on the way, ends as the session's does."""
    walk = Walk(session.night.world(session.seed), session.call)
    plan = Plan.of(session.moments, session.facts, session.words, session.night.store)
    for done, ahead in zip(plan.steps, plan.ahead, strict=True):
        walk.take(done, ahead)
    mine, theirs = walk.now().snapshot(), session.world.snapshot()
    return all(np.array_equal(mine[name], theirs[name]) for name in mine if name != "wires.state.tally")  # counts its solves


def test_looks_on_the_way_leave_a_world_as_it_is(session):
    kinds(session, *TOUR[:-1], *TO_PANEL[2:], *PROVE_Q5, "volts K5:1 K5:3 PE", "unlock Q8", "on Q8", "volts K5:1 K5:3 PE", "wait 3")
    assert same_bits_when_walked(session)


def test_an_incident_makes_safe_in_every_world(session):
    kinds(session, *TO_PANEL, "volts K5:1 PE", "tug K5:1 anyway=yes", "volts K5:1 PE")
    assert session.moments[-2].saw.kind == "incident"
    assert same_bits_when_walked(session)
    plan, night = Plan.of(session.moments, session.facts, session.words, session.night.store), session.night
    other = truths(plan, night.suspect_world(0, night.suspects(0)[-1]), session.call)
    n = session.moments[-1].n
    assert other[n - 2, "K5:1|PE", "volts"].value > 200.0
    assert other[n, "K5:1|PE", "volts"].value < 10.0


def test_a_window_reaches_back_to_the_last_act(session):
    kinds(session, "go floor", "go motor_room", "wait 10", "read GD", "read GD", "push HP3", "read GD", "read GD")
    plan = Plan.of(session.moments, session.facts, session.words, session.night.store)
    found = truths(plan, session.night.world(0), session.call)
    seen = [len(found[n, "GD", "pressure"].window) for n in (4, 5, 7, 8)]
    assert seen[0] >= 5
    assert seen[1] >= 5
    assert seen[2] < seen[0], "what was before the button was pushed is no evidence any more"


# ---- anything goes ---------------------------------------------------------------------------------------------------------


def any_step(session: Session, chance: random.Random) -> str:
    """A step by the grammar, legal or not."""
    words = session.words
    kinds = {
        "PLACE": words.places, "PART": words.parts, "TERMINAL": words.terminals, "POINT": words.points, "WIRE": words.wires,
        "PERSON": words.people, "TOPIC": words.topics, "QUESTION": words.questions, "MODE": ["shorted", "open_inside"],
        "POSITION": ["off", "bypass", "drive"], "FIELD": ["why"], "MINUTES": ["1", "10"], "CLAMP": ["1", "2", "3"],
        "NUMBER": ["4.4", "300"], "UNIT": ["A", "psig"], "TEXT": ["x"],
    }  # fmt: skip
    verb = VERBS[chance.choice([name for name in VERBS if name != "close-out"])]
    out = [verb.name]
    for part in verb.form.split()[1:]:
        word = part.strip("[]")
        if "=" in part or (part.startswith("[") and chance.random() < 0.5):
            continue
        out.append(str(chance.choice(list(kinds.get(word, word.split("|"))))))
    return " ".join([*out, "anyway=yes"] if chance.random() < 0.5 else out)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24))
def test_random_steps_never_crash_and_always_replay(seed, tmp_path):
    chance = random.Random(seed)
    path = tmp_path / "random.jsonl"
    session = Session.open(CALL, seed, path)
    for line in TO_PANEL[: seed % 5]:
        session.do(line)
    for _ in range(40):
        line = any_step(session, chance)
        try:
            steps.parse(line, session.words)
        except BadRequest:
            continue
        saw = session.do(line)
        assert "nan" not in saw.text.lower().split(), line
        assert all("nan" not in row["shown"] for row in saw.readings), line
        assert session.world.t == session.t, line
    session.writer.close()
    assert Session.replay(records.read(path))[1] == []
    assert same_bits_when_walked(session)

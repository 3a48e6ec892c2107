"""Scorecard and debrief of a small invented night: two worlds' worth of readings, every part of the rubric used once."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from acts import changed

from course.debrief.page import page
from graders import gate
from graders.calculations import Saturation
from graders.moments import ATM, PSI, Aftermath, Fact, Moment, Reading, Suspect, Trend, Truth, World
from graders.night import Night
from graders.rubric import DEFAULT, SOUND, Rubric
from graders.scorecard import as_json, judge

SUSPECTS = (
    Suspect("pole", "K5", "does_not_close", "1-2", "pump contactor, one pole", 2.0),
    Suspect("coil", "K5", "open_inside", "A1", "pump contactor coil", 2.0),
    Suspect("motor", "M5", "open_inside", "T1", "pump motor winding", 4.0),
    Suspect("fan", "M6", "stuck_worn", "", "condenser <fan>", 4.0),
)
KEY = {
    "truth": {"part": "K5", "mode": "does_not_close", "where": "1-2", "reason": "K5:loose_burnt:1"},
    "reason_shown_by": ["K5:1"],
    "sums": {"overload": {"nameplate": 4.4, "table": 4.8}, "superheat": {"after": "repair"}},
    "goals": {
        "safe": {"isolation": [{"part": "K5", "lock": ["Q5"], "dead": [["K5:1", "K5:3", "K5:5"]]}]},
        "service": {
            "repair": [["replace K5"], ["re-end K5:1", "torque K5:1"]],
            "order": [["on Q5", "push HP1"]],
            "resets": ["HP1"],
            "proof": [{"of": ["C4.P8"], "minutes": 10}],
            "product": ["C4"],
        },
        "paper": {
            "fields": {"why": [["loose", "burnt"], ["lug", "terminal"]], "left": []},
            "told": [{"person": "manager", "topic": ["food"]}],
        },
        "economy": {"minutes": 30, "parts": ["K5"]},
    },
}
QUESTIONS = (
    {
        "id": "superheat",
        "title": "Superheat, case 4",
        "kind": "superheat",
        "unit": "F-difference",
        "needs": [{"at": "C4.P8"}, {"at": "C4.T1"}],
    },
    {"id": "overload", "title": "Overload", "kind": "overload_setting", "unit": "A", "needs": [{"at": "M5"}]},
)
PLAIN = Saturation(dew=lambda p: (p - ATM) / PSI - 40.0, bubble=lambda p: (p - ATM) / PSI - 46.0)
"""A fluid for arithmetic: 1 K per psi, 6 K of glide."""


class Script:
    """Writes moments, facts and every suspect's truths together."""

    def __init__(self):
        self.moments, self.facts, self.worlds, self.t = [], [], {s.id: {} for s in SUSPECTS}, 0.0

    def step(self, line, place="panel", kind="act", minutes=1.0, facts=(), of=None, reads="look", here=None, there=None):
        n = len(self.moments) + 1
        self.t += 60.0 * minutes
        readings, truths = (), ()
        if of:
            value, word = (here, "") if not isinstance(here, str) else (None, here)
            readings, truths = (Reading(of, reads, str(here), value=value),), (Truth(of, reads, value, word, accuracy=0.1),)
            for s in SUSPECTS:
                shown = (there or {}).get(s.id, here)
                value, word = (shown, "") if not isinstance(shown, str) else (None, shown)
                self.worlds[s.id][(n, of, reads)] = Truth(of, reads, value, word)
        self.moments.append(Moment(n, self.t, place, line, "seen", kind, minutes, readings, truths, changed(line, kind)))
        self.facts += [Fact(k, n, self.t, what, data.get("text", ""), data) for k, what, data in facts]
        return self

    def night(self, aftermath=None, **more):
        worlds = tuple(World(s.id, 1.0, self.worlds[s.id]) for s in SUSPECTS)
        trends = (Trend("Discharge pressure", "psig", 0.0, 60.0, tuple(200.0 + k % 7 for k in range(200)), 250.0),)
        given = {"aftermath": aftermath or Aftermath(), "trends": trends, "starts": "03:35", "groups": ()} | more
        return Night(
            "demo",
            "Dairy <warm> & dark",
            7,
            tuple(self.moments),
            tuple(self.facts),
            KEY,
            QUESTIONS,
            PLAIN,
            SUSPECTS,
            worlds,
            **given,
        )


def exemplar(evidence=True, isolate=True):
    s = Script()
    s.step("temp C4.G1 how=packs", "floor", "reading", facts=[("product_measured", "C4", {"core": 46})])
    s.step("phone manager tell food", "floor", "said", facts=[("told", "manager", {"topic": "food"})])
    if evidence:
        s.step("look COIL", "roof", "sight", of="COIL", here="dry", there={"fan": "wet"})
        s.step("amps 1", kind="reading", of="K5:2", reads="amps", here=0.0, there={"coil": 0.0, "motor": 0.0, "fan": 3.8})
        s.step("look K5", kind="sight", of="K5", here="pulled in", there={"coil": "out"})
    s.step(
        "volts Q5:1 Q5:3",
        kind="reading",
        of="Q5:1 Q5:3",
        reads="volts",
        here=480.0,
        facts=[("known_live", "", {"pair": ["Q5:1", "Q5:3"]})],
    )
    s.step("off Q5")
    if isolate:
        s.step("lock Q5", facts=[("locked", "Q5", {})])
        s.step("try K5", facts=[("tried", "K5", {"moved": False})])
        for a, b in (("1", "3"), ("1", "5"), ("3", "5")):
            s.step(
                f"volts K5:{a} K5:{b}", kind="reading", facts=[("dead_pair", "", {"a": f"K5:{a}", "b": f"K5:{b}", "volts": 0.1})]
            )
        for a in "135":
            s.step(f"volts K5:{a} PE", kind="reading", facts=[("dead_pair", "", {"a": f"K5:{a}", "b": "PE", "volts": 0.1})])
        s.step("volts Q0:1 Q0:3", kind="reading", facts=[("known_live", "", {"pair": ["Q0:1", "Q0:3"]})])
    proven = {"verb": "press", "proven": isolate, "locked_off": isolate, "volts": 0.0}
    if evidence:
        s.step("press K5", facts=[("hands_on", "K5", proven)])
        s.step(
            "ohms K5:1 K5:2", kind="reading", of="K5:1 K5:2", reads="ohms", here=1e7, there={"coil": 0.1, "motor": 0.1, "fan": 0.1}
        )
        s.step("tug K5:1", kind="sight", of="K5:1", here="loose", facts=[("hands_on", "K5:1", proven)])
    s.step("replace K5", minutes=12, facts=[("hands_on", "K5", proven), ("repaired", "K5", {"verb": "replace"})])
    s.step("re-end K5:1", minutes=8, facts=[("hands_on", "K5:1", proven), ("repaired", "K5:1", {"verb": "re-end"})])
    s.step("unlock Q5").step("on Q5")
    s.step("push HP1", "motor_room", facts=[("pushed", "HP1", {"took": True})])
    s.step("wait 30", kind="time", minutes=30)
    s.step("gauge low C4.P8", "floor", "reading", of="C4.P8", reads="pressure", here=ATM + 44.0 * PSI)
    s.step("temp C4.T1", "floor", "reading", of="C4.T1", reads="temperature", here=10.0)
    s.step("answer superheat 10.8 F", kind="pad", minutes=0, facts=[("answered", "superheat", {"value": 10.8, "unit": "F"})])
    s.step("answer overload 4.4 A", kind="pad", minutes=0, facts=[("answered", "overload", {"value": 4.4, "unit": "A"})])
    named = {"part": "K5", "mode": "does_not_close", "where": "1", "reason": "K5:loose_burnt:1"}
    s.step("cause K5 does_not_close at=1 why=K5:loose_burnt:1", kind="pad", minutes=0, facts=[("named", "K5", named)])
    for name, words in (("why", "line lug had worked loose"), ("left", "automatic"), ("temporary", "none")):
        s.step(f'order {name} "{words}"', kind="pad", minutes=0, facts=[("order", name, {"text": words})])
    return s.step("close-out", kind="closed", minutes=0, facts=[("closed_out", "", {})])


def parts(night, rubric=None):
    card = as_json(judge(night, rubric or Rubric()))
    return {part["id"]: part["score"] for part in card["parts"]}, card


def test_exemplar_has_every_point():
    points, card = parts(exemplar().night())
    assert points == {"safe": 20, "diagnosis": 30, "sums": 20, "service": 15, "paper": 10, "economy": 5}
    assert (card["score"], card["of"], card["passed"], card["gradebook"]) == (100, 100, True, 100)
    assert card["record"] == {"ok": True, "problems": []}
    assert card["callback"]["held"]


def test_scorecard_has_exactly_the_promised_keys():
    _, card = parts(exemplar().night())
    promised = {"call", "seed", "passed", "score", "of", "parts", "incidents", "suspects", "answers", "callback", "record"}
    assert set(card) == promised | {"barred", "gradebook"}
    assert all(set(part) == {"id", "title", "score", "of", "why", "feedback"} for part in card["parts"])
    assert all(set(row) == {"id", "title", "before", "after"} for row in card["suspects"])
    assert {"id", "given", "unit", "reference", "tolerance", "verdict", "misconception"} <= set(card["answers"][0])
    assert card["suspects"][0]["id"] == "pole"
    assert card["suspects"][0]["before"] == pytest.approx(2 / 12, abs=1e-4)


def test_swap_without_evidence_is_a_lucky_guess():
    points, card = parts(exemplar(evidence=False).night())
    assert points["diagnosis"] < 16.0
    assert points["service"] == 15
    assert card["barred"] == [gate.CAUSE.says]
    assert (card["passed"], card["gradebook"]) == (False, 59)


def named(part, mode, where="", reason=""):
    """The exemplar's night with another cause on the work order."""
    s = exemplar()
    s.facts = [f for f in s.facts if f.kind != "named"]
    s.facts.append(Fact("named", 90, 9e3, part, "", {"part": part, "mode": mode, "where": where, "reason": reason}))
    return judge(s.night())


def test_cause_that_the_readings_do_not_carry_is_not_passed():
    """The readings of this night make the pole certain: another part, and another mode of the same part, are guesses."""
    assert named("K5", "does_not_close", "1").barred == ()
    assert named("K5", "open_inside", "A1").barred == (gate.CAUSE.says,)
    assert named("M5", "open_inside", "T1").barred == (gate.CAUSE.says,)
    assert named("K5", "does_not_close", "3").barred == ()
    assert named("K5", "loose_burnt", "1").barred == (), "what made the part fail is the same chain of events"


def test_how_likely_the_readings_have_to_make_it_is_the_rubrics_to_say():
    carried = judge(exemplar().night()).diagnosis.levels[1].p
    assert parts(exemplar().night(), Rubric(carries_least=carried))[1]["passed"]
    assert not parts(exemplar().night(), Rubric(carries_least=carried + 1e-9))[1]["passed"]


def test_repair_comes_before_what_it_would_prove():
    """The same readings, taken after the contactor was changed, carry nothing."""
    s = exemplar()
    swap = Fact("repaired", 0, 0.0, "K5", "", {"verb": "replace"})
    s.facts = [swap, *s.facts]
    assert judge(s.night()).barred == (gate.CAUSE.says,)


def test_hands_on_what_was_not_proved_dead_are_not_passed():
    points, card = parts(exemplar(isolate=False).night())
    assert points["safe"] < 8
    assert points["diagnosis"] == 30
    assert card["barred"] == [gate.HANDS.says]
    assert card["gradebook"] == min(card["score"], 59)


def test_rule_before_the_call_and_clauses_after_it_are_one_table():
    for bar in gate.WHATEVER:
        assert bar.rule.lower() in gate.RULE.lower()
    assert gate.RULE in " ".join((Path(__file__).parent.parent / "README.md").read_text("utf-8").split())
    night = exemplar(evidence=False, isolate=False).night(Aftermath(False, "It called again."))
    assert judge(night).barred[:3] == (gate.HANDS.says, gate.CALLBACK.says, gate.CAUSE.says)
    text = " ".join(page(judge(night)).split())
    assert all(bar.says in text for bar in (gate.HANDS, gate.CALLBACK, gate.CAUSE))
    assert gate.RULE in text


def test_feedback_keeps_what_only_the_key_knows():
    """A lazy night: what the instructor reads names the repair, what the trainee reads does not."""
    s = Script().step("look COIL", "roof", "sight").step("off Q5").step("close-out", kind="closed", facts=[("closed_out", "", {})])
    card = as_json(judge(s.night(Aftermath(False, "It called again after 9 h: K5 pole burns open."))))
    whole = " ".join(line for part in card["parts"] for line in part["why"])
    told = " ".join([*card["barred"], *(line for part in card["parts"] for line in part["feedback"])])
    secret = ("K5", "M5", "HP1", "C4", "replace", "re-end", "torque", "lug", "manager")
    assert all(word in whole for word in ("K5", "HP1", "replace", "re-end"))
    assert [word for word in secret if word in told] == []
    assert all(part["feedback"] for part in card["parts"])


def nothing_done(goals=None, questions=()):
    """One look and a close-out, in a call whose key asks for little."""
    s = Script().step("look COIL", "roof", "sight").step("close-out", kind="closed", facts=[("closed_out", "", {})])
    night = s.night(Aftermath(False, "It called again."))
    return replace(night, key=night.key | {"goals": goals or {}}, questions=questions)


@pytest.mark.parametrize("goals", [{}, {"service": {"settings": {"F5": 4.4}}}, {"safe": {}, "paper": {"told": []}}])
def test_what_a_call_does_not_ask_is_earned_by_nobody(goals):
    """No isolation, no order, no sums, nobody to be told: whoever only looks has no points of any part."""
    card = as_json(judge(nothing_done(goals)))
    assert {part["id"]: part["score"] for part in card["parts"] if part["score"]} == {}


def test_a_call_without_sums_has_all_its_points_elsewhere():
    card = as_json(judge(replace(exemplar().night(), questions=())))
    assert card["score"] == pytest.approx(100.0)
    assert next(part for part in card["parts"] if part["id"] == "sums")["of"] == 0.0


def test_every_item_of_a_part_has_words_for_the_trainee():
    items = {*DEFAULT.safe, *DEFAULT.service, *DEFAULT.paper, *DEFAULT.economy}
    assert items == set(SOUND)


def test_incident_gates_but_keeps_the_points():
    s = exemplar()
    s.facts.append(Fact("incident", 6, 60.0, "touched_live", "480 V on Q5 when your hands went to it."))
    points, card = parts(s.night())
    assert card["score"] == 95
    assert not card["passed"]
    assert card["gradebook"] == 49
    assert card["incidents"][0]["kind"] == "touched_live"
    assert points["diagnosis"] == 30


def test_callback_costs_and_says_why():
    points, card = parts(exemplar().night(Aftermath(False, "The pump overload tripped again 9 h later.", 32400.0)))
    assert points["service"] == pytest.approx(11)
    assert card["callback"] == {"held": False, "reason": "The pump overload tripped again 9 h later."}
    assert card["score"] > 90
    assert not card["passed"]


def test_an_open_call_is_not_passed_because_it_is_open() -> None:
    night = exemplar().night(None)
    night = replace(night, facts=tuple(fact for fact in night.facts if fact.kind != "closed_out"))
    assert judge(night).barred[0] == "it was not closed out"
    assert "called again" not in " ".join(judge(night).barred)


def test_reset_too_early_is_half_kept_and_order_is_named():
    s = exemplar()
    early = next(m for m in s.moments if m.step == "push HP1")
    s.moments.insert(0, replace(early, n=0, t=1.0))
    points, card = parts(s.night())
    assert points["service"] == pytest.approx(14)
    assert "on Q5 before push HP1" in " ".join(card["parts"][3]["why"])


def test_part_replaced_but_cause_left():
    s = exemplar()
    s.moments = [m for m in s.moments if not m.step.startswith("re-end")]
    s.facts = [f for f in s.facts if f.data.get("verb") != "re-end"]
    points, _ = parts(s.night())
    assert points["service"] == pytest.approx(14)


def test_needless_part_costs_economy():
    s = exemplar()
    s.step("replace M5", "roof", minutes=60, facts=[("repaired", "M5", {"verb": "replace"})])
    points, card = parts(s.night())
    assert points["economy"] < 5
    assert "M5" in " ".join(card["parts"][5]["why"])


def test_instructor_may_move_weights_and_the_gate():
    rubric = Rubric(
        weights={"safe": 40.0, "diagnosis": 30.0, "sums": 10.0, "service": 10.0, "paper": 5.0, "economy": 5.0}, gate_most=0.0
    )
    points, card = parts(exemplar().night(), rubric)
    assert points["safe"] == 40
    assert card["of"] == 100


def test_record_that_does_not_replay_cannot_pass():
    _, card = parts(exemplar().night(replays=False, problems=("line 12: the reading differs from the replay",)))
    assert not card["passed"]
    assert not card["record"]["ok"]
    assert card["gradebook"] <= 49


def test_empty_night_is_graded_and_drawn():
    night = Script().night(Aftermath(False, "Not closed out."))
    points, card = parts(night)
    assert sum(points.values()) < 12
    assert not card["passed"]
    assert "<!doctype html>" in page(judge(night))


# ---- debrief -----------------------------------------------------------------------------------------------------------------


class Tags(HTMLParser):
    """Counts tags, checks nesting and collects references."""

    VOID = frozenset({"meta", "br", "link", "img"})

    def __init__(self):
        super().__init__()
        self.open, self.links, self.counts = [], [], {}

    def handle_starttag(self, tag, attrs):
        self.counts[tag] = self.counts.get(tag, 0) + 1
        self.links += [v for k, v in attrs if k in ("src", "href", "xlink:href", "action", "data")]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.links += [v for k, v in attrs if k in ("src", "href", "xlink:href")]

    def handle_endtag(self, tag):
        assert self.open, tag
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def html():
    return page(judge(exemplar().night()))


def test_page_is_whole_and_asks_for_nothing(html):
    tags = Tags()
    tags.feed(html)
    assert [t for t in tags.open if t not in ("p", "li")] == []
    assert all(link.startswith("#") for link in tags.links)
    assert "script" not in tags.counts
    assert not re.search(r"https?://|url\(|@import", html)
    assert "default-src 'none'" in html


def test_page_escapes_every_word(html):
    assert "<warm>" not in html
    assert "<fan>" not in html
    assert "Dairy &lt;warm&gt; &amp; dark" in html
    assert "condenser &lt;fan&gt;" in html


def test_hostile_step_stays_text():
    s = exemplar()
    s.moments[3] = replace(s.moments[3], step='note "</title><script>alert(1)</script>"', saw="<img src=x onerror=y>")
    text = page(judge(s.night()))
    assert "<script" not in text
    assert "<img" not in text


def test_page_shows_lanes_telling_readings_and_rivals(html):
    assert html.count('class="odds mine"') == 1
    assert "height is the square root" in html
    assert "The readings that told most" in html
    assert "ruled out" in html
    assert "Next 72 hours" in html
    assert "04:00" in html


def test_page_follows_light_and_dark(html):
    assert "prefers-color-scheme:dark" in html


def test_page_is_the_same_every_time(html):
    assert page(judge(exemplar().night())) == html

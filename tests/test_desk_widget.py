"""The desk without a browser: its messages, its traits, what it sends after a step, and when it will not open."""

import json
import os
import re
import shutil
import subprocess
import threading
import tomllib
from pathlib import Path

import pytest
from desk_page import headless_desk
from fake_desk import FakeDrawings, FakeSession

from course.desk import bundle, model, widget
from graders import gate
from scenarios.errors import BadRequest
from scenarios.verbs import VERBS

ROOT = Path(__file__).parent.parent
JS = ROOT / "course" / "desk" / "js"


def ask(desk, **message):
    desk.sent.clear()
    desk._message(desk, message, [])
    return desk.sent[0] if desk.sent else None


def test_hello_gives_view_sheets_and_where_parts_are_drawn():
    answer = ask(headless_desk(), kind="hello")
    assert answer["kind"] == "full"
    assert answer["view"]["call"]["title"] == "Dairy and meat are warm"
    assert {s["place"] for s in answer["sheets"]} >= {"panel", "roof", "motor_room", "floor"}
    assert answer["where"]["K5"] == ["spray_pump"]
    assert set(answer["where"]["Q5"]) == {"supply", "spray_pump"}


def test_a_step_sends_only_what_it_changed():
    desk = headless_desk()
    ask(desk, kind="hello")
    ask(desk, kind="step", line="go panel")
    answer = ask(desk, kind="step", line="volts Q5:1 Q5:3")
    assert answer["kind"] == "changed"
    assert answer["line"] == "volts Q5:1 Q5:3"
    assert answer["readings"]["from"] == 0
    assert answer["readings"]["items"][0]["shown"] == "481.2"
    assert "clock" in answer["patch"]
    assert not {"trends", "alarms", "ticket", "names", "readings"} & set(answer["patch"])


def test_only_the_tail_of_the_readings_is_sent_again():
    desk = headless_desk()
    ask(desk, kind="hello")
    for line in ("go panel", "volts Q5:1 Q5:3", "volts Q5:3 Q5:5", "volts Q5:1 PE"):
        answer = ask(desk, kind="step", line=line)
    # the one before is no longer "now", so it is sent again; the first of the three is not
    assert answer["readings"]["from"] == 1
    assert [r["shown"] for r in answer["readings"]["items"]] == ["478.9", "277.9"]


def laid_over(view, answer):
    """What a page makes of an answer: the view it had with the change laid over it."""
    patch = dict(answer["patch"])
    facts = patch.pop("facts", {})
    made = {**view, **patch, "readings": view["readings"][: answer["readings"]["from"]] + answer["readings"]["items"]}
    return made | {"parts": {**made["parts"], **facts}}


def test_changes_laid_over_the_first_view_give_the_last_one():
    from scenarios.call import Session

    desk = headless_desk(model.Shown(Session.open("dairy_and_meat", 7)))
    seen = ask(desk, kind="hello")["view"]
    assert seen["ticket"]["gate"] == gate.RULE
    for line in ("go roof", "go panel", "open DOOR", "volts Q5:1 Q5:3", "look K5", "off Q5", "lock Q5", "go motor_room"):
        answer = ask(desk, kind="step", line=line)
        seen = laid_over(seen, answer)
        assert seen == json.loads(json.dumps(desk.session.view())), line
        assert ("parts" in answer["patch"]) == line.startswith("go "), "parts of the same place are sent one by one"


@pytest.mark.parametrize(("before", "after", "at"), [([], [], 0), ([1], [1, 2], 1), ([1, 2], [9, 2], 0), ([1, 2, 3], [1, 2], 2)])
def test_first_difference(before, after, at):
    assert model.first_difference(before, after) == at


def test_an_error_becomes_one_sentence_and_leaves_the_desk_usable():
    class Stubborn(FakeSession):
        def do(self, line):
            raise BadRequest("unknown step 'dance'; see all steps with --help-steps")

    desk = headless_desk(Stubborn())
    ask(desk, kind="hello")
    answer = ask(desk, kind="step", line="dance")
    assert answer == {"kind": "refused", "text": "Unknown step 'dance'; see all steps with --help-steps."}


def test_a_bug_in_the_engine_is_a_sentence_and_a_line_in_the_log(caplog):
    class Broken(FakeSession):
        def do(self, line):
            raise ZeroDivisionError

    answer = ask(headless_desk(Broken()), kind="step", line="look K5")
    assert answer["kind"] == "refused"
    assert "could not answer" in caplog.text


def test_unknown_messages_are_not_answered():
    assert ask(headless_desk(), kind="steal the key") is None


def test_geometry_comes_by_message_and_names_its_circuit():
    desk = headless_desk()
    answer = ask(desk, kind="geometry", sheet="floor", viewport="laptop", circuit="C4")
    assert (answer["sheet"], answer["circuit"]) == ("floor", "C4")
    assert {p["id"] for p in answer["data"]["points"]} >= {"C4.A1", "C4.P8"}


def test_nothing_of_the_call_is_kept_in_traits():
    desk = headless_desk()
    ask(desk, kind="hello")
    ask(desk, kind="step", line="go panel")
    state = {k: v for k, v in desk.get_state().items() if k not in ("_esm", "_css")}
    assert len(json.dumps(state, default=str)) < 2000
    assert "K5:A1" not in json.dumps(state, default=str)


def test_the_debrief_waits_for_close_out(tmp_path):
    desk = headless_desk(record=tmp_path / "record.jsonl", debrief=lambda record: f"<h1>{record.name}</h1>")
    assert "after close-out" in ask(desk, kind="debrief")["text"]
    ask(desk, kind="step", line="close-out")
    assert ask(desk, kind="debrief") == {"kind": "judging"}
    desk._judging.join(10)
    assert desk.sent[-1] == {"kind": "debrief", "html": "<h1>record.jsonl</h1>"}


def test_while_a_call_is_judged_the_desk_answers_and_judges_once(tmp_path):
    done, asked = threading.Event(), []
    desk = headless_desk(record=tmp_path / "record.jsonl", debrief=lambda record: asked.append(record) or str(done.wait(10)))
    ask(desk, kind="step", line="close-out")
    assert ask(desk, kind="debrief") == {"kind": "judging"}
    assert ask(desk, kind="debrief") is None
    assert ask(desk, kind="hello")["kind"] == "full"
    done.set()
    desk._judging.join(10)
    assert [m for m in desk.sent if m["kind"] == "debrief"] == [{"kind": "debrief", "html": "True"}]
    assert len(asked) == 1


def test_a_debrief_that_fails_is_a_sentence(tmp_path):
    def broken(record):
        raise ZeroDivisionError

    desk = headless_desk(record=tmp_path / "record.jsonl", debrief=broken)
    ask(desk, kind="step", line="close-out")
    ask(desk, kind="debrief")
    desk._judging.join(10)
    assert "Your record is whole" in desk.sent[-1]["text"]


def test_no_desk_opens_while_a_class_is_graded(monkeypatch, tmp_path):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    made = widget.open_desk("dairy_and_meat", tmp_path / "record.jsonl")
    assert repr(made) == widget.SENTENCE
    assert not (tmp_path / "record.jsonl").exists()


def test_a_call_that_cannot_be_opened_is_a_sentence_in_the_notebook(monkeypatch, tmp_path):
    import scenarios.call

    def locked(*_, **__):
        raise BadRequest("record.jsonl: another window has this call open; go on there, or close it first")

    monkeypatch.setattr(scenarios.call.Session, "open", locked)
    made = widget.open_desk("dairy_and_meat", tmp_path / "record.jsonl")
    assert repr(made) == "record.jsonl: another window has this call open; go on there, or close it first."
    assert widget._open == {}


def test_the_same_record_gives_the_live_desk(tmp_path, monkeypatch):
    desk = headless_desk()
    monkeypatch.setitem(widget._open, str((tmp_path / "record.jsonl").resolve()), desk)
    monkeypatch.chdir(tmp_path)
    assert widget.open_desk("dairy_and_meat") is desk


def test_a_page_without_widgets_gets_a_sentence():
    made = headless_desk()._repr_mimebundle_()
    data = made[0] if isinstance(made, tuple) else made
    assert data["text/plain"] == widget.SENTENCE


def test_the_joined_module_holds_every_source_once():
    text = bundle.joined()
    names = {p.stem for p in JS.glob("*.js")}
    assert sorted(re.findall(r"^const hs_(\w+) = ", text, re.M)) == sorted(names)
    assert not re.search(r"^import ", text, re.M)
    assert text.count("export default") == 1


def test_a_foreign_import_is_refused(tmp_path):
    (tmp_path / "desk.js").write_text("import x from 'https://example.org/x.js';\nexport default x;\n")
    with pytest.raises(ValueError, match=r"desk\.js imports in a form"):
        bundle.joined(folder=tmp_path)


def test_the_desk_asks_nothing_of_the_network():
    text = bundle.joined() + bundle.style()
    assert not re.search(r"\b(fetch|XMLHttpRequest|WebSocket|importScripts)\b|@import|url\(", text)
    assert set(re.findall(r"https?://[^\s'\"`)]+", text)) == {"http://www.w3.org/2000/svg"}


def test_every_class_of_the_desk_has_its_prefix():
    css = re.sub(r"/\*.*?\*/", "", bundle.style(), flags=re.S)
    classes = set(re.findall(r"\.([a-zA-Z][\w-]*)", re.sub(r"\{[^{}]*\}", "{}", css)))
    assert [c for c in sorted(classes) if not c.startswith("hs-")] == []


def test_sources_stay_within_their_length():
    too_long = {p.name: n for p in JS.glob("*.js") if (n := len(p.read_text("utf-8").splitlines())) > 400}
    assert too_long == {}


def node():
    found = shutil.which("node")
    if found is None:
        pytest.skip("needs node 20 or newer to run the desk's own tests (Debian: apt-get install nodejs)")
    return found


def test_pure_modules_pass_their_own_tests():
    done = subprocess.run(
        [node(), "--test", str(ROOT / "tests" / "js")], capture_output=True, text=True, check=False, env=os.environ
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]


@pytest.mark.parametrize(
    ("words", "verb"),
    [("Open door · ½ min", "open"), ("Read the display · ½ min", "read"), ("Proving unit · ½ min", "prove-meter")],
)
def test_minutes_that_stand_on_a_button_are_those_of_its_verb(words, verb):
    assert words in bundle.joined()
    assert VERBS[verb].minutes == 0.5


def test_the_joined_module_is_sound_javascript(tmp_path):
    path = tmp_path / "desk.mjs"
    path.write_text(bundle.joined(), "utf-8")
    done = subprocess.run([node(), "--check", str(path)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_wheel_carries_the_sources():
    made = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    assert "course" in made["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"]
    assert FakeDrawings().sheets()


def test_warming_up_reads_a_copy_and_touches_nothing() -> None:
    from course.desk.widget import warm_up
    from scenarios.call import Session

    session = Session.open("walk_in_warm", 3)
    before = {name: value.tolist() for name, value in session.world.snapshot().items()}  # not bytes: padding is anything
    warm_up(session.world.fork())
    assert {name: value.tolist() for name, value in session.world.snapshot().items()} == before


def test_no_line_of_the_desk_is_too_long_to_read():
    assert [
        f"{p.name}:{n}" for p in JS.glob("*.js") for n, text in enumerate(p.read_text("utf-8").splitlines(), 1) if len(text) > 132
    ] == []


def test_the_desk_takes_no_name_apart_and_knows_no_part_or_place():
    """Marks, places and rails come with the view and the drawings; code that begins to guess them is caught here."""
    text = "\n".join(p.read_text("utf-8") for p in JS.glob("*.js"))
    code = re.sub(r"/\*.*?\*/|//[^\n]*", "", text, flags=re.S)
    assert not re.findall(r"'(?:panel|roof|floor|motor_room|PE|X2|RACK|DOOR|C4)'", code)
    assert not re.findall(r"/\^\(?\[?[A-Z]+\\d", code)
    assert not re.findall(r"(?:id|mark|terminal|part|of|n)\)?\.split\(':'\)", code)

"""What the screen may show: acts that are all steps, and words that come from what was done."""

import json
import os
from pathlib import Path

import pytest

from course.screen import acts, paperwork
from course.screen.view import Screen, view
from graders import replaying, rubric
from scenarios.call import Session
from scenarios.errors import BadRequest
from scenarios.files import yamlfile
from scenarios.steps import parse
from scenarios.visit import limits

PLACES = ("floor", "motor_room", "panel", "roof")


@pytest.fixture(scope="module")
def session() -> Session:
    made = Session.open("dairy_and_meat", 11)
    made.do("go floor")
    return made


@pytest.mark.parametrize("place", PLACES)
def test_every_act_on_offer_is_a_step_with_its_minutes(session: Session, place: str) -> None:
    if session.person.place != place:
        session.do(f"go {place}")
    shown = view(session)
    assert set(shown["acts"]) == set(shown["parts"]) == set(paperwork.parts_here(session))
    terminals = [end for part in shown["parts"].values() for end in part["ends"]]
    ends = [act | {"line": act["line"].replace("{t}", end)} for end in terminals for act in shown["wire_acts"]]
    offered = [act for rows in shown["acts"].values() for act in rows] + ends
    assert len(offered) > 20
    for act in offered:
        step = parse(act["line"].replace("?", "1"), session.words)
        assert act["minutes"] == limits.minutes(session.world, session.person, session.call, step), act


def test_every_leg_of_a_three_pole_part_is_read_in_one_step() -> None:
    """Both sides of breaker, contactor and overload: six pairs each, three legs to each other and to earth."""
    session = Session.open("dairy_and_meat", 11)
    for line in ("go panel", "open DOOR"):
        session.do(line)
    shown = view(session)["acts"]
    offered = {part: [act["line"] for act in shown[part] if act["line"].startswith("volts")] for part in ("Q5", "K5", "F5", "KR5")}
    assert offered["Q5"] == ["volts Q5:1 Q5:3 Q5:5 PE", "volts Q5:2 Q5:4 Q5:6 PE"]
    assert offered["F5"] == ["volts K5:2 K5:4 K5:6 PE", "volts F5:2T1 F5:4T2 F5:6T3 PE"]
    assert offered["KR5"] == []
    readings = session.do(offered["Q5"][0]).readings
    assert len(readings) == 6
    assert all(float(row["shown"]) > 250 for row in readings)


def test_a_part_without_wires_has_no_wire_ends(session: Session) -> None:
    assert acts.ends_of(session, "COIL") == []
    wiring = session.world.wiring
    for mark, device in wiring.devices.items():
        assert set(acts.ends_of(session, mark)) == {t for t in device.terminals if wiring.wires_at.get(t)}


def test_facts_of_a_part_are_the_last_two_things_seen_of_it() -> None:
    session = Session.open("dairy_and_meat", 11)
    for line in ("go panel", "open DOOR", "look K5", "look F5", "volts K5:1 K5:3", "listen K5", 'note "K5 hums"'):
        session.do(line)
    texts = [m.saw.text for m in session.moments if m.step in ("volts K5:1 K5:3", "listen K5")]
    facts = view(session)["parts"]["K5"]["facts"]
    assert [fact.split(" ", 1)[1] for fact in facts] == texts


def test_an_incident_is_called_one_among_the_readings() -> None:
    session = Session.open("dairy_and_meat", 11)
    for line in ("go panel", "open DOOR", "press K5", "press K5 anyway=yes"):
        session.do(line)
    last = view(session)["readings"][-1]
    assert (last["title"], last["kind"]) == ("Incident at K5", "incident")


def test_every_reading_of_a_round_says_between_which_two_points_it_is() -> None:
    session = Session.open("dairy_and_meat", 11)
    for line in ("go panel", "open DOOR", "volts Q5:1 Q5:3 PE"):
        session.do(line)
    pairs = [row["points"] for row in view(session)["readings"] if row["kind"] == "volts"]
    assert sorted(map(sorted, pairs)) == [["PE", "Q5:1"], ["PE", "Q5:3"], ["Q5:1", "Q5:3"]]


def test_a_cover_is_offered_to_come_off_or_to_go_on_and_what_is_lifted_is_told() -> None:
    session = Session.open("walk_in_warm", 0)
    session.do("go floor")

    def covers() -> list[str]:
        return [act["line"] for act in view(session)["acts"]["SV9"] if act["line"].split()[0] in ("open", "close")]

    assert covers() == ["open SV9"]
    assert session.do("look SV9").text == "Nothing to be seen from outside."
    session.do("open SV9")
    assert covers() == ["close SV9"]
    assert "outside" not in session.do("look SV9").text
    assert view(session)["lifted"] == []
    for line in ("go panel", "off Q8", "go floor", "lift SV9:1 anyway=yes"):
        session.do(line)
    assert view(session)["lifted"] == ["SV9:1"]


# ---- a view kept in pieces -----------------------------------------------------------------------------------------------

EXEMPLARS = [
    (path.stem, entry["id"], entry["steps"])
    for path in sorted(yamlfile.FOLDERS["key"].glob("*.yaml"))
    for entry in replaying.key(path.stem, 0)["exemplars"]
]


@pytest.mark.parametrize(("call", "id", "steps"), EXEMPLARS, ids=[f"{call}-{id}" for call, id, _ in EXEMPLARS])
def test_the_view_kept_in_pieces_is_the_one_made_anew_after_every_step(call: str, id: str, steps: list[str]) -> None:
    session = Session.open(call, 0)
    screen = Screen(session)
    last = screen.view()
    for line in steps:
        before = json.loads(json.dumps(last))
        session.do(line)
        shown = screen.view()
        assert shown == view(session), line
        assert last == before, f"{line} changed what had been shown"  # a patch is made of the difference
        last = shown


def test_a_step_makes_anew_only_what_it_changed() -> None:
    session = Session.open("dairy_and_meat", 11)
    for line in ("go panel", "open DOOR", "look K5"):
        session.do(line)
    screen = Screen(session)
    before = screen.view()
    session.do("look Q5")
    after = screen.view()
    same = {key for key in after if after[key] is before[key]}
    assert {"acts", "names", "ticket", "cards", "circuits", "places", "phone", "trends", "alarms"} <= same
    assert {part for part in after["parts"] if after["parts"][part] is not before["parts"][part]} == {"Q5"}


def test_a_view_after_a_step_taken_back_shows_none_of_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.open("dairy_and_meat", 11, tmp_path / "record.jsonl")
    screen = Screen(session)
    session.do("go panel")
    session.do("open DOOR")
    shown = screen.view()

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(os, "write", full)
        with pytest.raises(BadRequest):
            session.do("look K5")
    assert screen.view() == shown == view(session)
    session.do("look Q5")
    assert screen.view() == view(session)


def test_a_row_says_what_a_reading_is_of_without_its_name_being_taken_apart() -> None:
    session = Session.open("dairy_and_meat", 11)
    for line in (
        "go floor",
        "temp C4.A1 how=air",
        "look C4",
        "go motor_room",
        "read RACK",
        "go panel",
        "open DOOR",
        "volts K5:1 X2",
    ):
        session.do(line)
    rows = view(session)["readings"]
    titles = [row["title"] for row in rows]
    assert {"A1, in air", "Suction", "Discharge", "Fan", "Case 4 dairy", "Dairy walk-in", "1 to X2"} <= set(titles)
    assert next(row for row in rows if row["title"] == "1 to X2")["shorts"] == ["1", "X2"]
    look = next(row for row in rows if row["title"] == "Looked at C4")
    assert [aspect for aspect, _ in look["glimpses"]] == ["frost", "fans", "grille", "front", "state", "outlet"]


def test_the_ticket_tells_the_weights_of_the_rubric() -> None:
    told = view(Session.open("dairy_and_meat", 11))["ticket"]["scored"]
    assert [float(points) for points, _ in told] == list(rubric.DEFAULT.weights.values())

"""A step that cannot be written, or that fails half-way: has it not happened, and does the call go on as if it had not been tried?

At every step of a call's own exemplar, in each way that a step can fail, the step is tried, fails, and is then done again. What is
compared with is the same call without any failure.
"""

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from desk_page import headless_desk
from prints import print_of

from course import library, terminal
from course.desk import model
from graders import replaying
from scenarios import record as records
from scenarios.call import Session
from scenarios.errors import BadRequest
from scenarios.site import World
from scenarios.visit import wording

CALL, SEED = str(library.rows()[0]["id"]), 7
STEPS = [str(step) for step in replaying.key(CALL, SEED)["exemplars"][0]["steps"]]
FILE_LIMITS = pytest.mark.skipif(os.name == "nt", reason="file size limits of POSIX")


def lines(path: Path) -> list[Any]:
    """Lines of a record without the wall clock and what follows from it."""
    rows = [json.loads(row) for row in path.read_bytes().splitlines()]
    return [{key: value for key, value in row.items() if key not in ("at", "prev")} for row in rows]


def told(session: Session) -> list[Any]:
    """What a session knows that a screen or a grader may ask for, and its whole world."""
    moments = [(m.n, m.t, m.place, m.step, m.saw.as_json()) for m in session.moments]
    things = [session.n, session.t, moments, session.facts, session.person, session.left(), session.log_read]
    return deepcopy([*things, print_of(session.world)])


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory) -> list[Any]:
    """The exemplar's record where nothing goes wrong."""
    path = tmp_path_factory.mktemp("undisturbed") / "record.jsonl"
    session = Session.open(CALL, SEED, path)
    for step in STEPS:
        session.do(step)
    session.writer.close()
    return lines(path)


Broken = Callable[[pytest.MonkeyPatch, Session], Any]


@contextmanager
def full_disk(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """The system itself takes twenty bytes more of the record and no others."""
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (session.writer.path.stat().st_size + 20, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@contextmanager
def half_a_line(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """Thirty bytes go out, then the disk is full."""
    write = os.write

    def full(handle: int, data: bytes) -> int:
        write(handle, data[:30])
        raise OSError(28, "No space left on device")

    patch.setattr(os, "write", full)
    try:
        yield
    finally:
        patch.undo()


@contextmanager
def half_a_line_that_stays(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """The same, and the disk does not let itself be cut either."""

    def deaf(handle: int, size: int) -> None:
        raise OSError(5, "Input/output error")

    patch.setattr(os, "ftruncate", deaf)
    with half_a_line(patch, session):
        yield


@contextmanager
def unsure(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """The whole line goes out, and the disk does not say that it has it."""
    sync, calls = os.fsync, []

    def deaf(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 1:
            raise OSError(5, "Input/output error")
        sync(handle)

    patch.setattr(os, "fsync", deaf)
    try:
        yield
    finally:
        patch.undo()


@contextmanager
def engine_fails(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """The world moves, then the engine stumbles; a step that takes no time stumbles over its own words."""
    advance, worded, failed = World.advance, wording.saw_text, []

    def moved(world: World, seconds: float) -> None:
        advance(world, seconds)
        once()

    def wordless(*about: Any) -> str:
        once()
        return worded(*about)

    def once() -> None:
        if not failed:
            failed.append(True)
            raise KeyError("half-way")

    patch.setattr(World, "advance", moved)
    patch.setattr(wording, "saw_text", wordless)
    try:
        yield
    finally:
        patch.undo()


@contextmanager
def interrupted(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """Somebody presses stop just when the line is on the disk."""
    sync, calls = os.fsync, []

    def stopped(handle: int) -> None:
        sync(handle)
        calls.append(handle)
        if len(calls) == 1:
            raise KeyboardInterrupt

    patch.setattr(os, "fsync", stopped)
    try:
        yield
    finally:
        patch.undo()


@contextmanager
def no_room(patch: pytest.MonkeyPatch, session: Session) -> Iterator[None]:
    """No world can be made."""

    def none(*_: Any) -> World:
        raise MemoryError

    patch.setattr(type(session.night), "world", none)
    yield


WAYS = [
    pytest.param(full_disk, BadRequest, marks=FILE_LIMITS),
    (half_a_line, BadRequest),
    (half_a_line_that_stays, BadRequest),
    (unsure, BadRequest),
    (engine_fails, KeyError),
    (interrupted, KeyboardInterrupt),
]


@pytest.mark.slow
@pytest.mark.parametrize(("broken", "error"), WAYS)
def test_each_step_fails_once_and_the_record_is_as_if_none_had(
    broken: Broken, error: type[BaseException], undisturbed: list[Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "record.jsonl"
    session = Session.open(CALL, SEED, path)
    failed = 0
    for step in STEPS:
        try:
            with broken(monkeypatch, session):
                session.do(step)
        except error:
            failed += 1
            session.do(step)
    session.writer.close()
    assert failed >= len(STEPS) - (blocked(session) if error is KeyError else 0)
    assert lines(path) == undisturbed
    assert Session.replay(records.read(path))[1] == []


def blocked(session: Session) -> int:
    """Steps that neither take time nor show anything: refusals and cautions."""
    return sum(moment.saw.kind in ("refused", "caution") for moment in session.moments)


@pytest.mark.parametrize(("broken", "error"), WAYS)
@pytest.mark.parametrize("at", [0, len(STEPS) // 3, len(STEPS) - 1])
def test_after_a_failed_step_all_is_as_before_it(
    broken: Broken, error: type[BaseException], at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "record.jsonl"
    session = Session.open(CALL, SEED, path)
    for step in STEPS[:at]:
        session.do(step)
    before, written = told(session), path.read_bytes()
    with pytest.raises(error), broken(monkeypatch, session):
        session.do(STEPS[at])
    assert told(session) == before
    if broken is half_a_line_that_stays:
        assert path.read_bytes().startswith(written)
        assert len(records.read(path).lines) == at
    else:
        assert path.read_bytes() == written
    session.writer.close()


def test_taking_back_may_itself_be_cut_short(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, undisturbed: list[Any]) -> None:
    path = tmp_path / "record.jsonl"
    session = Session.open(CALL, SEED, path)
    for step in STEPS[:9]:
        session.do(step)
    with pytest.raises(MemoryError), engine_fails(monkeypatch, session), no_room(monkeypatch, session):
        session.do("wait 5")
    for step in STEPS[9:]:
        session.do(step)
    session.writer.close()
    assert lines(path) == undisturbed


def test_a_call_without_a_record_takes_back_too(monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.open(CALL, SEED)
    for step in STEPS[:9]:
        session.do(step)
    before = told(session)
    with pytest.raises(KeyError), engine_fails(monkeypatch, session):
        session.do("wait 5")
    assert told(session) == before


def test_the_message_is_true_when_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.open(CALL, SEED, tmp_path / "record.jsonl")
    with pytest.raises(BadRequest) as told_off, half_a_line(monkeypatch, session):
        session.do(STEPS[0])
    monkeypatch.undo()
    assert "the step has not been done: make room, then do it again" in str(told_off.value)
    assert session.do(STEPS[0]).kind != "refused"
    session.writer.close()


# ---- every way of writing -------------------------------------------------------------------------------------------------


def test_at_the_desk_a_step_that_could_not_be_written_is_done_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, undisturbed: list[Any]
) -> None:
    path = tmp_path / "record.jsonl"
    session = Session.open(CALL, SEED, path)
    desk = headless_desk(model.Shown(session))
    desk._message(desk, {"kind": "hello"}, [])
    for n, step in enumerate(STEPS):
        if n % 7 == 3:
            before = desk.session.view()
            with half_a_line(monkeypatch, session):
                desk._message(desk, {"kind": "step", "line": step}, [])
            assert desk.sent[-1]["kind"] == "refused"
            assert "the step has not been done" in desk.sent[-1]["text"]
            assert desk.session.view() == before
        desk._message(desk, {"kind": "step", "line": step}, [])
        assert desk.sent[-1]["kind"] == "changed"
    session.writer.close()
    assert lines(path) == undisturbed


def test_in_the_terminal_a_step_that_could_not_be_written_is_done_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, undisturbed: list[Any], capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "record.jsonl"
    session = Session.open(CALL, SEED, path)

    def typed() -> Iterator[tuple[int, str]]:
        for n, step in enumerate(STEPS):
            if n % 7 == 3:
                with half_a_line(monkeypatch, session):
                    yield n, step
            yield n, step

    terminal.play(session, typed(), "terminal", strict=False)
    session.writer.close()
    assert capsys.readouterr().err.count("the step has not been done") == len(range(3, len(STEPS), 7))
    assert lines(path) == undisturbed


def test_steps_from_a_file_stop_there_and_go_on_from_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, undisturbed: list[Any]
) -> None:
    path, at = tmp_path / "record.jsonl", len(STEPS) // 2
    session = Session.open(CALL, SEED, path)

    def filed() -> Iterator[tuple[int, str]]:
        yield from enumerate(STEPS[:at], 1)
        with half_a_line(monkeypatch, session):
            yield at + 1, STEPS[at]

    with pytest.raises(BadRequest, match=rf"^steps:{at + 1}: .*the step has not been done"):
        terminal.play(session, filed(), "steps", strict=True)
    monkeypatch.undo()
    session.writer.close()
    again = Session.open(CALL, 0, path, fresh=False)
    terminal.play(again, enumerate(STEPS[at:], at + 1), "steps", strict=True)
    again.writer.close()
    assert lines(path) == undisturbed

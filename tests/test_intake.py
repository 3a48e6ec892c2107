"""Taking in what somebody else has filled: is anything but a regular file of that call read, copied or written through?"""

import json
import os
import socket
from collections.abc import Callable
from pathlib import Path

import pytest

from course import intake
from course.folder import RECORD
from scenarios.errors import BadRequest

CALL = "one"
POSIX = pytest.mark.skipif(os.name == "nt", reason="links, pipes and odd names of POSIX")
SECRET = b"nobody's business"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A class that has released a call, and a trainee who handed it in as it should be."""
    release = tmp_path / "class" / "release" / CALL
    release.mkdir(parents=True)
    (release / f"{CALL}.ipynb").write_bytes(b"released")
    (tmp_path / "secret").write_bytes(SECRET)
    hand_in(tmp_path / "class", "good", MINE)
    return tmp_path / "class"


def hand_in(root: Path, trainee: str, files: dict[str, bytes]) -> Path:
    """A submission of some files."""
    place = root / "submitted" / trainee / CALL
    place.mkdir(parents=True)
    for name, data in files.items():
        (place / name).write_bytes(data)
    return place


def accepted(root: Path) -> dict[str, bytes]:
    """Everything below the folder of what is accepted."""
    found = [path for path in (root / "accepted").rglob("*") if not path.is_dir()]
    assert not any(path.is_symlink() for path in found)
    return {path.relative_to(root / "accepted").as_posix(): path.read_bytes() for path in found}


MINE = {f"{CALL}.ipynb": b"mine", RECORD: b"record", "timestamp.txt": b"2026-01-05 03:41:10 UTC"}
GOOD = {f"good/{CALL}/{name}": data for name, data in MINE.items()}


def test_a_good_submission_is_taken_whole_and_stays_where_it_is(root: Path) -> None:
    taken = intake.take_in(root, CALL)
    assert accepted(root) == GOOD
    assert (taken.no_notebook, taken.refused) == ([], [])
    assert (root / "submitted" / "good" / CALL / RECORD).read_bytes() == b"record"


def test_one_trainee_alone_is_taken_in_where_only_they_are_asked_for(root: Path) -> None:
    hand_in(root, "other", {RECORD: b"record"})
    assert intake.take_in(root, CALL, "good").no_notebook == []
    assert accepted(root) == GOOD


def test_what_was_never_released_cannot_be_taken_in(root: Path) -> None:
    with pytest.raises(BadRequest, match=r"other: has not been released in .*; run `halfsplit cohort release other` first"):
        intake.take_in(root, "other")


def test_only_what_was_filed_to_its_end_counts_as_graded(root: Path) -> None:
    """What a kill may leave: a record alone, a cleaned notebook, half a notebook; whole ones stay."""
    whole = {"metadata": {"course": {"graded": True}}, "cells": []}
    left: dict[str, bytes | None] = {
        "whole": json.dumps(whole).encode(), "cleaned": b'{"metadata": {"course": {}}, "cells": []}',
        "half": json.dumps(whole).encode()[:30], "empty": b"", "none": None, "list": b"[]", "older": b'{"metadata": {}}',
    }  # fmt: skip
    for trainee, data in left.items():
        place = root / "autograded" / trainee / CALL
        place.mkdir(parents=True)
        (place / RECORD).write_bytes(b"record")
        if data is not None:
            (place / f"{CALL}.ipynb").write_bytes(data)
    intake.clear(root, CALL)
    assert [path.parent.name for path in (root / "autograded").glob(f"*/{CALL}")] == ["whole"]
    intake.clear(root, CALL, anew=["other"])
    assert [path.parent.name for path in (root / "autograded").glob(f"*/{CALL}")] == ["whole"]
    intake.clear(root, CALL, anew=["whole"])
    assert list((root / "autograded").glob(f"*/{CALL}")) == []


def test_what_an_earlier_run_left_is_gone(root: Path) -> None:
    (root / "accepted" / "ghost" / CALL).mkdir(parents=True)
    (root / "accepted" / "ghost" / CALL / RECORD).write_bytes(b"old")
    intake.take_in(root, CALL)
    assert accepted(root) == GOOD


def test_no_file_of_another_name_is_taken(root: Path) -> None:
    place = hand_in(root, "more", {RECORD: b"r", "other.ipynb": b"x", "graders.py": b"x", f"{RECORD}.refused": b"x"})
    (place / "graders").mkdir()
    (place / "graders" / "__init__.py").write_bytes(b"x")
    taken = intake.take_in(root, CALL)
    assert accepted(root) == GOOD | {f"more/{CALL}/{RECORD}": b"r", f"more/{CALL}/{CALL}.ipynb": b"released"}
    assert taken.no_notebook == ["more"]


def linked(path: Path, root: Path) -> None:
    path.symlink_to(root.parent / "secret")


def dangling(path: Path, root: Path) -> None:
    path.symlink_to(root.parent / "not-there")


def endless(path: Path, root: Path) -> None:
    path.symlink_to("/dev/zero")


def pipe(path: Path, root: Path) -> None:
    os.mkfifo(path)


def plug(path: Path, root: Path) -> None:
    made = socket.socket(socket.AF_UNIX)
    here = Path.cwd()
    os.chdir(path.parent)  # such a name may be no longer than a hundred bytes
    try:
        made.bind(path.name)
    finally:
        os.chdir(here)
        made.close()


def folder(path: Path, root: Path) -> None:
    path.mkdir()


def huge(path: Path, root: Path) -> None:
    with open(path, "wb") as file:
        file.truncate(10**12)


KINDS = [
    pytest.param(linked, "is a link", marks=POSIX),
    pytest.param(dangling, "is a link", marks=POSIX),
    pytest.param(endless, "is a link", marks=POSIX),
    pytest.param(pipe, "is a pipe", marks=POSIX),
    pytest.param(plug, "is a socket", marks=POSIX),
    (folder, "is a folder"),
    pytest.param(huge, "is larger than", marks=POSIX),
]


@pytest.mark.parametrize(("kind", "says"), KINDS)
@pytest.mark.parametrize("name", [RECORD, f"{CALL}.ipynb", "timestamp.txt"])
def test_what_is_no_file_of_fair_size_is_neither_read_nor_written(
    root: Path, name: str, kind: Callable[[Path, Path], None], says: str
) -> None:
    files = {f"{CALL}.ipynb": b"mine", RECORD: b"record"}
    place = hand_in(root, "bad", {key: data for key, data in files.items() if key != name})
    kind(place / name, root)
    taken = intake.take_in(root, CALL)
    ((trainee, why),) = taken.refused
    assert (trainee, why.startswith(f"{name} {says}")) == ("bad", True), why
    found = accepted(root)
    assert SECRET not in found.values()
    assert {key: data for key, data in found.items() if key.startswith("good/")} == GOOD
    assert found[f"bad/{CALL}/{CALL}.ipynb"] == (b"released" if name.endswith(".ipynb") else b"mine")
    if name == RECORD:
        assert says in found[f"bad/{CALL}/{RECORD}.refused"].decode()
        assert f"bad/{CALL}/{RECORD}" not in found
    assert not (root.parent / "not-there").exists()
    assert (root.parent / "secret").read_bytes() == SECRET


@POSIX
@pytest.mark.parametrize("level", ["trainee", "call"])
def test_a_link_in_place_of_a_folder_is_not_entered(root: Path, level: str) -> None:
    target = root.parent / "elsewhere" / CALL
    target.mkdir(parents=True)
    (target / RECORD).write_bytes(SECRET)
    if level == "trainee":
        (root / "submitted" / "bad").symlink_to(target.parent)
    else:
        (root / "submitted" / "bad").mkdir()
        (root / "submitted" / "bad" / CALL).symlink_to(target)
    taken = intake.take_in(root, CALL)
    assert taken.lines() == ["bad: the submission is a link to another place, and only a folder is taken"]
    assert accepted(root) == GOOD


@POSIX
@pytest.mark.parametrize("name", ["new\nline", "esc\x1b[2J", "st*r", "[a]", "-rf", ".hidden", "a{b}", "com,ma", " blank"])
def test_a_name_that_would_stop_the_class_is_said_and_passed_over(root: Path, name: str) -> None:
    hand_in(root, name, {RECORD: b"record"})
    (line,) = intake.take_in(root, CALL).lines()
    assert "rename the folder" in line
    assert line.isprintable()
    assert accepted(root) == GOOD


@pytest.mark.parametrize("name", ["o'brien", "Zoë Müller", "a.b", "x_1-2", "李雷"])
def test_names_of_people_pass(root: Path, name: str) -> None:
    hand_in(root, name, {RECORD: b"record"})
    assert intake.take_in(root, CALL).refused == []
    assert accepted(root)[f"{name}/{CALL}/{RECORD}"] == b"record"


@pytest.mark.parametrize("data", [b"yesterday?", b"\xff\xfe", b"99999-99-99"])
def test_a_time_of_handing_in_that_is_none_is_refused(root: Path, data: bytes) -> None:
    hand_in(root, "bad", {RECORD: b"record", "timestamp.txt": data})
    assert intake.take_in(root, CALL).lines() == ["bad: timestamp.txt holds no time"]


@POSIX
def test_what_is_swapped_for_a_link_under_our_hands_is_not_followed(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = hand_in(root, "bad", {RECORD: b"record"})
    look = os.lstat

    def swapped(path: Path, **more: object) -> os.stat_result:
        seen = look(path)
        if Path(path) == place / RECORD:
            (place / RECORD).unlink()
            (place / RECORD).symlink_to(root.parent / "secret")
        return seen

    monkeypatch.setattr(os, "lstat", swapped)
    with pytest.raises(intake.Unfit, match="cannot be read"):
        intake.content(place / RECORD, 1000)

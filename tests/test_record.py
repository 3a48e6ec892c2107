"""The record: is a good one read, a bad one refused with its line, and is nothing lost when the power goes?"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scenarios.errors import BadRequest
from scenarios.record import MOST_BYTES, MOST_LINE, Writer, check, read

CORPUS = Path(__file__).parent / "records"
HEAD = {
    "schema": "halfsplit-record/1",
    "call": "dark_rack",
    "seal": "ab" * 32,
    "version": "0.1.0",
    "engine": "1",
    "step": 5,
    "grid": -20,
    "seed": 7,
    "units": "us",
}
SAW = {
    "text": "481.3 V",
    "kind": "reading",
    "readings": [{"of": "Q5:1 Q5:3", "kind": "volts", "shown": "481.3", "unit": "V"}],
    "minutes": 0.5,
}


def expected(path):
    return path.with_suffix(".expect").read_text("utf-8").strip()


@pytest.mark.parametrize("path", sorted((CORPUS / "good").glob("*.jsonl")), ids=lambda path: path.stem)
def test_is_a_good_record_read(path):
    record = read(path)
    assert f"{len(record.lines)} steps" + ", torn" * record.torn == expected(path)


@pytest.mark.parametrize("path", sorted((CORPUS / "bad").glob("*.jsonl")), ids=lambda path: path.stem)
def test_is_a_bad_record_refused_with_its_line(path):
    with pytest.raises(BadRequest) as caught:
        read(path)
    assert f"{path.name}:{expected(path)}" in str(caught.value)
    assert len(str(caught.value)) < 400
    assert "\n" not in str(caught.value)


def test_has_every_record_of_the_corpus_its_expectation():
    records = {path.with_suffix("") for path in CORPUS.rglob("*.jsonl")}
    assert len(records) > 30
    assert records == {path.with_suffix("") for path in CORPUS.rglob("*.expect")}


@pytest.fixture
def path(tmp_path):
    return tmp_path / "dark_rack-7.jsonl"


def test_is_a_step_on_the_disk_before_append_returns(path):
    with Writer(path, HEAD) as writer:
        writer.append(60, "volts Q5:1 Q5:3", SAW)
        assert [line.step for line in read(path.read_bytes()).lines] == ["volts Q5:1 Q5:3"]


def test_does_a_record_go_on_where_it_stopped(path):
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW)
    with Writer(path, HEAD) as writer:
        assert [line.n for line in writer.record.lines] == [1]
        writer.append(90, "look M5", SAW)
    assert [(line.n, line.t, line.step) for line in read(path).lines] == [(1, 60, "look K5"), (2, 90, "look M5")]


def test_is_a_torn_tail_kept_beside_and_the_record_healed(path):
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW)
        writer.append(90, "look M5", SAW)
    whole = path.read_bytes()
    path.write_bytes(whole[:-40])
    with Writer(path, HEAD) as writer:
        assert writer.healed is not None
        kept = writer.healed.read_bytes()
        writer.append(95, "look M1", SAW)
    assert whole.startswith(path.read_bytes()[: whole.rindex(b'{"n":2')] + kept)
    assert [line.step for line in read(path).lines] == ["look K5", "look M1"]
    path.write_bytes(path.read_bytes()[:-1])
    with Writer(path, HEAD) as writer:
        assert writer.healed is None
        writer.append(99, "look M2", SAW)
    assert [line.n for line in read(path).lines] == [1, 2, 3]


@pytest.mark.parametrize(
    "saved",
    [
        lambda whole: whole.replace(b"\n", b"\r\n"),
        lambda whole: b"\xef\xbb\xbf" + whole,
        lambda whole: whole + b"\n\r\n",
        lambda whole: b"\xef\xbb\xbf" + whole.replace(b"\n", b"\r\n")[:-2],
    ],
)
def test_does_a_record_go_on_that_an_editor_has_saved(path, saved):
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW)
    whole = path.read_bytes()
    path.write_bytes(saved(whole))
    with Writer(path, HEAD) as writer:
        assert path.read_bytes() == whole
        assert writer.healed is None
        writer.append(90, "look M5", SAW)
    assert path.read_bytes().startswith(whole)
    assert [line.n for line in read(path).lines] == [1, 2]


def test_is_a_blank_line_inside_still_refused(path):
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW)
    head, line = path.read_bytes().splitlines(keepends=True)
    with pytest.raises(BadRequest, match="2: not JSON"):
        read(head + b"\n" + line)


def test_does_a_record_torn_in_its_first_line_begin_afresh(path):
    path.write_bytes(b'{"schema":"halfs')
    with Writer(path, HEAD) as writer:
        assert writer.healed is not None
        assert writer.healed.read_bytes() == b'{"schema":"halfs'
    assert read(path).lines == []


@given(cut=st.integers(0, 2000))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_is_a_record_cut_anywhere_read_or_its_first_line_missed(path, cut):
    """A power cut may end the file at any byte: every complete line before it is kept."""
    if not path.exists():
        with Writer(path, HEAD) as writer:
            for n in range(5):
                writer.append(60 * n, f"look K{n + 1}", SAW)
    whole = path.read_bytes()
    part = whole[: cut % (len(whole) + 1)]
    if part.count(b"\n") == 0 and len(part) < len(whole.split(b"\n")[0]):
        with pytest.raises(BadRequest, match="no complete first line"):
            read(part)
        return
    record = read(part)
    lost_line_end = not record.torn and not part.endswith(b"\n")
    assert len(record.lines) == part.count(b"\n") - 1 + lost_line_end


@given(at=st.integers(0, 10_000), flip=st.integers(1, 255))
@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_is_no_changed_byte_unseen(path, at, flip):
    """Any byte changed anywhere but in the last line is refused; in the last line that line alone can differ."""
    if not path.exists():
        with Writer(path, HEAD) as writer:
            for n in range(4):
                writer.append(60 * n, f"look K{n + 1}", SAW)
    whole = path.read_bytes()
    at %= len(whole)
    forged = whole[:at] + bytes([whole[at] ^ flip]) + whole[at + 1 :]
    last = whole.rindex(b"\n", 0, -1) + 1
    if at < last:
        with pytest.raises(BadRequest):
            read(forged)
    else:
        assert last_differs_at_most(whole, forged)


def last_differs_at_most(whole, forged):
    try:
        got = read(forged)
    except BadRequest:
        return True
    return got.lines[:3] == read(whole).lines[:3] and got.head == read(whole).head


def test_is_a_second_writer_refused_even_from_another_process(path):
    with Writer(path, HEAD):
        with pytest.raises(BadRequest, match="open in another window; close that one first"):
            Writer(path, HEAD)
        code = f"from scenarios.record import Writer\nWriter(__import__('pathlib').Path({str(path)!r}), {HEAD!r})"
        other = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
        assert "BadRequest" in other.stderr
        assert "open in another window" in other.stderr
    Writer(path, HEAD).close()


def test_is_the_lock_free_after_a_killed_kernel(path):
    code = (
        f"import os\nfrom scenarios.record import Writer\n"
        f"w = Writer(__import__('pathlib').Path({str(path)!r}), {HEAD!r})\nw.append(60, 'look K5', {SAW!r})\nos._exit(9)"
    )
    subprocess.run([sys.executable, "-c", code], check=False)
    with Writer(path, HEAD) as writer:
        assert [line.step for line in writer.record.lines] == ["look K5"]


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("call", "other_night", "made for call dark_rack, here it is other_night; give a record of this call"),
        ("seal", "cd" * 32, "made with another version of this call or its store: replay it with version 0.1.0"),
        ("engine", "2", "made with another version, which may show other readings: replay it with version 0.1.0"),
        ("step", 10, "made for step 5, here it is 10"),
        ("seed", 8, "made for seed 7, here it is 8"),
    ],
)
def test_is_a_foreign_record_refused(path, key, value, says):
    Writer(path, HEAD).close()
    with pytest.raises(BadRequest) as caught:
        check(read(path), **{key: value})
    assert says in str(caught.value)
    with pytest.raises(BadRequest):
        Writer(path, {**HEAD, key: value})
    Writer(path, HEAD).close()


@pytest.mark.parametrize(
    ("t", "step", "saw", "says"),
    [
        (float("nan"), "look K5", SAW, "cannot be written"),
        (50, "look K5", SAW, "call time runs back"),
        (60, "look\nK5", SAW, "step is not"),
        (60, "look K5", {**SAW, "minutes": float("inf")}, "cannot be written"),
        (60, "look K5", {**SAW, "truth": 1}, "saw is not"),
        (60, "look K5", {**SAW, "text": "\ud800"}, "cannot be written"),
        (60, "look K5", {**SAW, "text": b"bytes"}, "cannot be written"),
        (60, "look K5", {**SAW, "text": "\u00e9" * 11_000}, f"at most {MOST_LINE} are allowed"),
    ],
)
def test_is_a_bad_line_never_written(path, t, step, saw, says):
    with Writer(path, HEAD) as writer:
        writer.append(55, "look M5", SAW)
        before = path.read_bytes()
        with pytest.raises(BadRequest, match=says):
            writer.append(t, step, saw)
        assert path.read_bytes() == before
        writer.append(60, "look K5", SAW)
    assert len(read(path).lines) == 2


def test_is_a_huge_file_refused_without_being_read_whole(tmp_path):
    path = tmp_path / "huge.jsonl"
    with open(path, "wb") as file:
        file.truncate(MOST_BYTES * 100)
    with pytest.raises(BadRequest, match=f"at most {MOST_BYTES} are read"):
        read(path)


def test_does_a_full_record_say_so(path, monkeypatch):
    monkeypatch.setattr("scenarios.record.MOST_BYTES", 700)
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW)
        with pytest.raises(BadRequest, match="the record is full"):
            writer.append(61, "look K5", SAW)


def test_is_a_folder_or_missing_file_refused(tmp_path):
    with pytest.raises(BadRequest, match="is no file but a folder or a device"):
        read(tmp_path)
    with pytest.raises(BadRequest, match=r"missing\.jsonl: cannot be read"):
        read(tmp_path / "missing.jsonl")
    with pytest.raises(BadRequest, match="is no file but a folder or a device"):
        Writer(tmp_path, HEAD)
    with pytest.raises(BadRequest, match="is no file but a folder or a device"):
        read(Path(os.devnull))
    (tmp_path / "file").write_bytes(b"x")
    with pytest.raises(BadRequest, match="cannot be written"):
        Writer(tmp_path / "file" / "record.jsonl", HEAD)


@pytest.mark.skipif(os.name == "nt", reason="file descriptors of POSIX")
def test_is_the_disk_asked_for_every_line(path, monkeypatch):
    synced = []
    real = os.fsync
    monkeypatch.setattr(os, "fsync", lambda handle: (synced.append(path.stat().st_size), real(handle)))
    with Writer(path, HEAD) as writer:
        synced.clear()
        writer.append(60, "look K5", SAW)
        assert synced == [path.stat().st_size]


def test_does_a_full_disk_leave_no_half_line(path, monkeypatch):
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW)
        before = path.read_bytes()
        real = os.write

        def full(handle, data):
            real(handle, data[:30])
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(os, "write", full)
        with pytest.raises(BadRequest, match="No space left on device"):
            writer.append(70, "look M5", SAW)
        monkeypatch.undo()
        assert path.read_bytes() == before
        writer.append(80, "look M5", SAW)
    assert [line.t for line in read(path).lines] == [60, 80]


def test_are_lines_plain_json_with_the_promised_keys(path):
    with Writer(path, HEAD) as writer:
        writer.append(60, "look K5", SAW, at="2026-01-05T03:41:10Z")
    head, line = [json.loads(row) for row in path.read_text("utf-8").splitlines()]
    assert head == HEAD
    assert list(line) == ["n", "t", "step", "saw", "at", "prev"]

"""The record of a call: what was done and seen, one JSON line after another, each carrying the SHA-256 of the line before.

    {"schema":"halfsplit-record/1","call":...,"seal":...,"version":...,"engine":...,"step":5,"grid":-20,"seed":...,"units":...}
    {"n":1,"t":120,"step":"look K5","saw":{...},"at":"2026-01-05T03:41:10Z","prev":"9f2c..."}

A line is on the disk before its reading is shown. A last line that a power cut left torn is tolerated and reported; anything
else out of order is refused with its line number. Nothing here runs physics: `read` checks form and chain, replay checks truth.
"""

import codecs
import contextlib
import hashlib
import json
import os
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any

import filelock

from scenarios import recordline
from scenarios.errors import BadRequest

SCHEMA = recordline.SCHEMA
MOST_BYTES = 5_000_000
"""Largest record [bytes]."""
MOST_LINE = 20_000
"""Longest line [bytes]."""
REMEDY = recordline.REMEDY


@dataclass(frozen=True)
class Line:
    """One step of a record, with the number of the line it stands on."""

    n: int
    t: float
    step: str
    saw: dict[str, Any]
    at: str


@dataclass
class Record:
    """A record that is in order.

    Parameters
    ----------
    head : dict
        First line: schema, call, seal, version, engine, step, grid, seed, units and perhaps prev.
    lines : list of Line
        The steps.
    torn : bool
        Whether a torn last line was left out.
    name : str
        File name, for messages.
    last : str
        SHA-256 of the last good line.
    good : int
        Length of the part in order [bytes].
    """

    head: dict[str, Any]
    lines: list[Line] = field(default_factory=list)
    torn: bool = False
    name: str = "record"
    last: str = ""
    good: int = 0


def read(source: Path | str | bytes, name: str | None = None) -> Record:
    """Read a record from a file or from its bytes.

    Raises
    ------
    BadRequest
        One sentence with file and line: what is out of order and what to do.
    """
    name = name or (Path(source).name if not isinstance(source, bytes) else "record")
    data = source if isinstance(source, bytes) else _bytes(Path(source))
    if len(data) > MOST_BYTES:
        raise BadRequest(f"{name}: {len(data)} bytes, at most {MOST_BYTES} are read; this is no record of one call")
    data = plain(data)
    rows, tail, torn = _rows(data)
    if not rows:
        raise BadRequest(f"{name}:1: no complete first line; start the call afresh")
    record = Record(_row(rows[0], name, 1, recordline.HEAD), name=name, last=_hash(rows[0]), torn=torn)
    for number, row in enumerate(rows[1:], 2):
        got = _row(row, name, number, recordline.LINE)
        record.lines.append(_follow(record, got, number))
        record.last = _hash(row)
    record.good = len(data) - len(tail)
    return record


def check(record: Record, **expected: Any) -> None:
    """Refuse a record that was made for another call, seal, engine, step or grid.

    Raises
    ------
    BadRequest
        The first thing that differs, and what to do.
    """
    replay = f"replay it with version {record.head['version']} of halfsplit"
    todo = {
        "call": "give a record of this call",
        "engine": f"it was made with another version, which may show other readings: {replay}",
        "seal": f"it was made with another version of this call or its store: {replay}",
    }
    for key, wanted in expected.items():
        if record.head.get(key) != wanted:
            given = str(record.head.get(key))[:16]
            raise BadRequest(f"{record.name}: made for {key} {given}, here it is {str(wanted)[:16]}; {todo.get(key, replay)}")


def plain(data: bytes) -> bytes:
    r"""A record's bytes as the course writes them: what an editor puts in on saving says nothing and is taken off.

    That is a byte order mark, the line ends of another system, and empty lines at the end.

    >>> plain(b"\xef\xbb\xbf{}\r\n{}\r\n\r\n")
    b'{}\n{}\n'
    """
    lines = data.removeprefix(codecs.BOM_UTF8).replace(b"\r\n", b"\n")
    kept = lines.rstrip(b" \t\r\n")
    return kept + b"\n" if b"\n" in lines[len(kept) :] else kept


class Writer:
    """A record being written; one process at a time, every line on the disk before `append` returns.

    Parameters
    ----------
    path : Path
        File to continue, or to begin.
    head : dict
        First line of a new record. An existing record must agree with it in call, seal, seed, engine, step and grid.
    """

    def __init__(self, path: Path, head: dict[str, Any]) -> None:
        self.path = Path(path)
        self._lock = _locked(self.path)
        try:
            self.record = self._continue(head) if self.path.exists() and self.path.stat().st_size else self._begin(head)
            self._handle = os.open(self.path, os.O_WRONLY | os.O_APPEND | getattr(os, "O_BINARY", 0))
            self._size = self.path.stat().st_size
            self._torn = False
        except OSError as error:
            self._lock.release()
            raise BadRequest(f"{self.path}: cannot be written ({error.strerror}); choose a folder of your own") from error
        except BaseException:
            self._lock.release()
            raise

    @property
    def healed(self) -> Path | None:
        """Side file that holds the torn last line, where one was cut off."""
        return self._side

    def append(self, t: float, step: str, saw: dict[str, Any], at: str | None = None) -> Line:
        """Write one step; it is on the disk when this returns.

        Parameters
        ----------
        t : float
            Call time [s].
        step : str
            The step, one line.
        saw : dict
            text, kind, readings and minutes.
        at : str, optional
            Wall clock, ISO 8601 UTC; now.

        Raises
        ------
        BadRequest
            The line would not be a good one, or the record is full.
        """
        at = at or datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        number = len(self.record.lines) + 2
        got = {"n": number - 1, "t": t, "step": step, "saw": saw, "at": at, "prev": self.record.last}
        row = _dumped(got, self.record.name, number)
        line = _follow(self.record, _row(row, self.record.name, number, recordline.LINE), number)
        if self._size + len(row) + 1 > MOST_BYTES:
            raise BadRequest(f"{self.path}: the record is full ({MOST_BYTES} bytes); close the call out")
        self._commit(row, line)
        return line

    def close(self) -> None:
        """Close the file and let others open it."""
        os.close(self._handle)
        self._lock.release()

    def _commit(self, row: bytes, line: Line) -> None:
        """A line on the disk with all that hangs on it, or nothing: the disk may be full, and somebody may interrupt."""
        last, size, count = self.record.last, self._size, len(self.record.lines)
        try:
            self._put(row + b"\n")
            self._size += len(row) + 1
            self.record.lines.append(line)
            self.record.last = _hash(row)
            self._torn = False
        except BaseException as error:
            self.record.last, self._size = last, size
            del self.record.lines[count:]
            with contextlib.suppress(OSError):  # else before the next line
                self._cut_back()
            if isinstance(error, OSError):
                raise BadRequest(
                    f"{self.path}: cannot be written ({error.strerror}); the step has not been done: make room, then do it again"
                ) from error
            raise

    def _put(self, data: bytes) -> None:
        """Bytes onto the disk, behind the last whole line: what an earlier failure left of a line goes first."""
        if self._torn:
            self._cut_back()
        self._torn = True
        while data:
            data = data[os.write(self._handle, data) :]
        os.fsync(self._handle)

    def _cut_back(self) -> None:
        """Cut the file after its last whole line."""
        os.ftruncate(self._handle, self._size)
        os.fsync(self._handle)
        self._torn = False

    def __enter__(self) -> "Writer":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    _side: Path | None = None

    def _begin(self, head: dict[str, Any]) -> Record:
        row = _dumped(head, self.path.name, 1)
        record = Record(_row(row, self.path.name, 1, recordline.HEAD), name=self.path.name, last=_hash(row))
        with open(self.path, "wb") as file:
            _sync(file, row + b"\n")
        _sync_folder(self.path.parent)
        return record

    def _continue(self, head: dict[str, Any]) -> Record:
        raw = _bytes(self.path)
        data = plain(raw)
        rows, tail, torn = _rows(data)
        if not rows:
            self._cut(raw, 0)
            return self._begin(head)
        record = read(data, self.path.name)
        check(record, **{key: head[key] for key in ("call", "seal", "engine", "step", "grid", "seed")})
        if raw != data:
            self._rewrite(data)
        if torn:
            self._cut(tail, record.good)
        elif not data.endswith(b"\n"):
            with open(self.path, "ab") as file:
                _sync(file, b"\n")
        return record

    def _rewrite(self, data: bytes) -> None:
        """Put the plain bytes in the place of what an editor made of them; one or the other is there, whenever the power goes."""
        beside = self.path.with_name(f"{self.path.name}.plain")
        with open(beside, "wb") as file:
            _sync(file, data)
        os.replace(beside, self.path)
        _sync_folder(self.path.parent)

    def _cut(self, tail: bytes, good: int) -> None:
        """Move a torn tail to a side file, first there, then off here: nothing is lost in between."""
        number = 1
        while (side := self.path.with_name(f"{self.path.name}.torn-{number}")).exists():
            number += 1
        with open(side, "wb") as file:
            _sync(file, tail)
        _sync_folder(self.path.parent)
        with open(self.path, "r+b") as file:
            file.truncate(good)
            os.fsync(file.fileno())
        self._side = side


def _bytes(path: Path) -> bytes:
    if path.exists() and not path.is_file():
        raise BadRequest(f"{path}: is no file but a folder or a device; name the record itself")
    try:
        with open(path, "rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise BadRequest(f"{path}: cannot be read ({error.strerror}); check the name and your rights") from error


def _rows(data: bytes) -> tuple[list[bytes], bytes, bool]:
    """Complete lines, the torn tail, and whether there is one.

    A last line without its line end counts as complete if it is whole JSON: an editor may have taken the line end away.
    """
    *rows, tail = data.split(b"\n")
    if tail and _whole(tail):
        return [*rows, tail], b"", False
    return rows, tail, bool(tail)


def _whole(row: bytes) -> bool:
    try:
        return isinstance(json.loads(row), dict)
    except (ValueError, RecursionError):
        return False


def _row(row: bytes, name: str, number: int, rules: dict[str, recordline.Rule]) -> dict[str, Any]:
    """One line as a dictionary of the right keys and types."""
    if len(row) > MOST_LINE:
        raise BadRequest(f"{name}:{number}: {len(row)} bytes in one line, at most {MOST_LINE} are allowed; shorten the text")
    return recordline.load(row, f"{name}:{number}", rules)


def _follow(record: Record, got: dict[str, Any], number: int) -> Line:
    """The line as the next of a record; refuse a gap, a step back in time or a broken chain."""
    where, before = f"{record.name}:{number}", record.lines[-1] if record.lines else None
    if got["prev"] != record.last:
        raise BadRequest(
            f"{where}: does not follow the line before it (its prev is not that line's SHA-256): "
            f"a line was changed, added, removed or moved; {REMEDY}"
        )
    if got["n"] != len(record.lines) + 1:
        raise BadRequest(f"{where}: is numbered {got['n']} where {len(record.lines) + 1} is due; {REMEDY}")
    if before is not None and got["t"] < before.t:
        raise BadRequest(f"{where}: call time runs back from {before.t:g} to {got['t']:g} s; {REMEDY}")
    return Line(got["n"], got["t"], got["step"], got["saw"], got["at"])


def _dumped(got: dict[str, Any], name: str, number: int) -> bytes:
    try:
        return json.dumps(got, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode("utf-8")
    except (ValueError, TypeError, RecursionError) as error:
        raise BadRequest(f"{name}:{number}: cannot be written ({error}); give plain text and finite numbers") from error


def _hash(row: bytes) -> str:
    return hashlib.sha256(row).hexdigest()


def _sync(file: Any, data: bytes) -> None:
    file.write(data)
    file.flush()
    os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Make a new name in a folder last; not every system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def _locked(path: Path) -> Any:
    """Lock beside the record; a second writer is refused at once."""
    lock = filelock.FileLock(f"{path}.lock", timeout=0)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except filelock.Timeout as error:
        raise BadRequest(f"{path}: open in another window; close that one first, then open this call again") from error
    except OSError as error:
        raise BadRequest(f"{path}: cannot be written ({error.strerror}); choose a folder of your own") from error
    return lock

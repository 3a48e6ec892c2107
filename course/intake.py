"""What trainees hand in, taken in before anything else opens it: regular files of that call and of bounded size, and nothing else.

A submission is a folder that somebody else has filled. A link in it would have us read or write where the trainee could not, a
pipe would never end, an endless device would fill the disk, and an odd name would stop the class. So nothing works on what was
handed in: it is copied to a place of ours first, here, and what is not copied is said, for whom and why.
"""

import glob
import json
import os
import re
import shutil
import stat
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from course.folder import RECORD
from scenarios import record
from scenarios.errors import BadRequest

HANDED_IN, ACCEPTED = "submitted", "accepted"
"""Folders of a class: what trainees handed in, and what of it the instructor's tool gets to see while it grades."""
REFUSED = f"{RECORD}.refused"
"""File that stands where a record was refused; it holds the reason."""
MOST_NOTEBOOK = 20_000_000
"""Largest notebook that is read [bytes]; it holds a few sentences, and perhaps the pictures of a desk."""
TIMESTAMP = "timestamp.txt"
STAMPS = {TIMESTAMP: 200, "submission_secret.txt": 2000}
"""Small files that the instructor's own exchange lays beside a submission, and the largest that is read [bytes]."""
PLAIN_NAME = re.compile(r"[^\s.\-*?\[\]{},/\\][^*?\[\]{},/\\]*")
"""A name that a folder list, a pattern and a command line take as it is."""


class Unfit(Exception):
    """A file or folder that is not taken in; the text says why, after its name."""


@dataclass
class Taken:
    """What came of taking in a call: who handed in no notebook, what was refused of whom, and how grading failed if it did."""

    no_notebook: list[str] = field(default_factory=list)
    refused: list[tuple[str, str]] = field(default_factory=list)
    failure: str = ""

    def lines(self) -> list[str]:
        """What is amiss, a line each."""
        return [*([self.failure] if self.failure else []), *(f"{printable(name)}: {why}" for name, why in self.refused)]


def printable(name: str) -> str:
    """A name as it can be printed: signs that a screen would obey, or that end a line, are written out."""
    return name if name.isprintable() else repr(name)


def content(path: Path, most: int) -> bytes:
    """Bytes of a regular file that may have been laid there by anybody; no link is followed, no pipe waited for.

    Parameters
    ----------
    path : Path
        The file.
    most : int
        Largest that is read [bytes].

    Raises
    ------
    Unfit
        It is something else, too large, or cannot be read.
    FileNotFoundError
        There is nothing of this name.
    """
    about = os.lstat(path)
    if not stat.S_ISREG(about.st_mode):
        raise Unfit(f"is {_kind(about.st_mode)}, and only a file is taken")
    if about.st_size > most:
        raise Unfit(f"is larger than {most} bytes")
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        with open(os.open(path, flags), "rb") as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):  # changed under our hands
                raise Unfit("is no file any more")
            data = file.read(most + 1)
    except OSError as error:
        raise Unfit(f"cannot be read ({error.strerror})") from error
    if len(data) > most:
        raise Unfit(f"is larger than {most} bytes")
    return data


def submissions(root: Path, call: str) -> Iterator[tuple[str, Path, str]]:
    """Every submission of a call: trainee, folder, and why it is not taken in ('' if it is), in order."""
    submitted = root / HANDED_IN
    for person in sorted(submitted.iterdir()) if submitted.is_dir() else ():
        place = person / call
        if os.path.lexists(place):
            yield person.name, place, _unfit(submitted, person.name, place)


def take_in(root: Path, call: str, who: str = "*") -> Taken:
    """Copy what may be graded of a call from `submitted` to `accepted`, which holds nothing else afterwards.

    Where no notebook can be read the released one stands in: the record counts, not the notebook.

    Parameters
    ----------
    root : Path
        The class's folder.
    call : str
        Call id.
    who : str
        One trainee, or ``*`` for all.

    Raises
    ------
    BadRequest
        The call has not been released in this class.
    """
    released = root / "release" / call / f"{call}.ipynb"
    if not released.is_file():
        raise BadRequest(f"{call}: has not been released in {root}; run `halfsplit cohort release {call}` first")
    shutil.rmtree(root / ACCEPTED, ignore_errors=True)
    blank, taken = released.read_bytes(), Taken()
    for trainee, place, why in submissions(root, call):
        if who not in ("*", trainee):
            continue
        if why:
            taken.refused.append((trainee, f"the submission {why}"))
            continue
        into = root / ACCEPTED / trainee / call
        into.mkdir(parents=True)
        _take_notebook(place / f"{call}.ipynb", into, blank, trainee, taken)
        _take_record(place, into, trainee, taken)
        _take_stamps(place, into, trainee, taken)
    return taken


def graded(place: Path) -> bool:
    """Whether grading of an autograded submission came to its end; a run that was killed leaves half of one behind."""
    try:
        node = json.loads((place / f"{place.name}.ipynb").read_bytes())
        return bool(node["metadata"]["course"]["graded"])
    except (OSError, ValueError, KeyError, TypeError):
        return False


def clear(root: Path, call: str, anew: Collection[str] = ()) -> None:
    """Throw away what a killed run left half-made, which the tool would take as done, and what is to be graded anew.

    Parameters
    ----------
    root : Path
        The class's folder.
    call : str
        Call id.
    anew : collection of str
        Trainees whose grading is thrown away even where it came to its end.
    """
    for place in root.glob(f"autograded/*/{glob.escape(call)}"):
        if place.parent.name in anew or not graded(place):
            shutil.rmtree(place)


def _take_notebook(path: Path, into: Path, blank: bytes, trainee: str, taken: Taken) -> None:
    try:
        data = content(path, MOST_NOTEBOOK)
    except FileNotFoundError:
        data = blank
        taken.no_notebook.append(trainee)
    except Unfit as why:
        data = blank
        taken.refused.append((trainee, f"{path.name} {why}"))
    (into / path.name).write_bytes(data)


def _take_record(place: Path, into: Path, trainee: str, taken: Taken) -> None:
    try:
        (into / RECORD).write_bytes(content(place / RECORD, record.MOST_BYTES))
    except FileNotFoundError:
        return
    except Unfit as why:
        (into / REFUSED).write_text(str(why), "utf-8")
        taken.refused.append((trainee, f"{RECORD} {why}"))


def _take_stamps(place: Path, into: Path, trainee: str, taken: Taken) -> None:
    for name, most in STAMPS.items():
        try:
            data = content(place / name, most)
            if name == TIMESTAMP and not _is_time(data):
                raise Unfit("holds no time")
            (into / name).write_bytes(data)
        except FileNotFoundError:
            continue
        except Unfit as why:
            taken.refused.append((trainee, f"{name} {why}"))


def _is_time(data: bytes) -> bool:
    """Whether the instructor's tool can read a time of handing in; it ends the whole run over one that it cannot."""
    from nbgrader.utils import parse_utc

    try:
        parse_utc(data.decode("ascii").strip())
    except (ValueError, OverflowError):
        return False
    return True


def _unfit(submitted: Path, trainee: str, place: Path) -> str:
    """Why a submission's folder is not opened at all."""
    if not (trainee.isprintable() and PLAIN_NAME.fullmatch(trainee)):
        return "lies in a folder whose name has signs that no name of a trainee may have; rename the folder"
    if place.resolve() != submitted.resolve() / trainee / place.name:
        return "is a link to another place, and only a folder is taken"
    if not place.is_dir():
        return "is no folder"
    return ""


def _kind(mode: int) -> str:
    """What a thing is that is no regular file, in words."""
    kinds = ((stat.S_ISLNK, "a link"), (stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))
    return next((words for test, words in kinds if test(mode)), "a device")

"""What seals compiled code, built nights and records: each digest moves with what decides it, with nothing that is merely said."""

import json
import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from course import library
from scenarios import assignments, nights, record
from scenarios.call import Session
from scenarios.compiling import seals
from scenarios.errors import BadRequest

ROOT = Path(__file__).resolve().parent.parent
CALL = "walk_in_warm"
MOVES = {
    "weather.py": {"compiled", "night", "replay"},
    "compiling/exact.py": {"compiled", "night", "replay"},
    "compiling/warm.py": {"compiled", "night", "replay"},
    "electrical/layouts.py": {"compiled", "night", "replay"},
    "refrigeration/rack.py": {"compiled", "night", "replay"},
    "refrigeration/fluids/R-448A.npz": {"night", "replay"},
    "refrigeration/property_tables.py": {"night", "replay"},
    "refrigeration/store.py": {"night", "replay"},
    "store/read.py": {"night", "replay"},
    "electrical/wiring.py": {"night", "replay"},
    "faults/catalogue.py": {"night", "replay"},
    "parts/contactor.py": {"night", "replay"},
    "site.py": {"night", "replay"},
    "nights.py": {"night", "replay"},
    "verbs.py": {"replay"},
    "steps.py": {"replay"},
    "recordline.py": {"replay"},
    "instruments/shelf.py": {"replay"},
    "visit/hazards.py": {"replay"},
    "visit/scenery.py": {"replay"},
    "files/filechecks.py": {"replay"},  # a call that it refuses is not replayed
    "refrigeration/build_tables.py": set(),
    "refrigeration/books.py": set(),
    "schemas/call.json": set(),
    f"calls/{CALL}.yaml": set(),
    f"keys/{CALL}.yaml": set(),
    f"derived/{CALL}.yaml": set(),
    "published.yaml": set(),
    "stores/corner_market.yaml": set(),
}
"""Digests that an edit of a file must move, thought out by hand: what it decides."""


def moved(files: seals.Files, name: str) -> set[str]:
    """Digests that move when a file is edited."""
    before, after = seals.digests(files), seals.digests({**files, name: files[name] + b"\n# edited\n"})
    return {kind for kind in seals.KINDS if after[kind] != before[kind]}


def test_which_digests_move_when_a_file_is_edited(tmp_path: Path) -> None:
    """In a copy on the disk, file by file."""
    top = Path(shutil.copytree(seals.PACKAGE, tmp_path / "scenarios", ignore=shutil.ignore_patterns("__pycache__")))
    before = seals.digests(seals.files_in(top))
    assert before == seals.digests(seals.files_in())
    found = {}
    for name in MOVES:
        text = (top / name).read_bytes()
        (top / name).write_bytes(text + b"\n# edited\n")
        after = seals.digests(seals.files_in(top))
        (top / name).write_bytes(text)
        found[name] = {kind for kind in seals.KINDS if after[kind] != before[kind]}
    assert found == MOVES


def test_every_file_moves_what_is_downstream_of_it() -> None:
    """Compiled code decides nights, and nights decide replays; a file that decides none is a screen's, a rig's, or content."""
    files = seals.files_in()
    ranks = ({"compiled", "night", "replay"}, {"night", "replay"}, {"replay"}, set())
    found = {name: moved(files, name) for name in files}
    assert [name for name, kinds in found.items() if kinds not in ranks] == []
    idle = {name.partition("/")[0] for name, kinds in found.items() if not kinds}
    assert idle >= {"calls", "keys", "derived", "stores"}
    assert idle & {"compiling", "electrical", "controls", "faults", "instruments", "visit", "site.py", "loop.py"} == set()


def test_compiled_code_stands_on_nothing_that_reads_or_says() -> None:
    """Under the compiled digest lie formulas, layouts and what compiles; no kind of part, no reader of a file, no word."""
    covered = seals.covered(seals.files_in())["compiled"]
    assert {name.partition("/")[0] for name in covered if "/" in name} == {"compiling", "electrical", "refrigeration", "controls"}
    readers = {f"electrical/{name}.py" for name in ("wiring", "network", "topology", "world", "meters")}
    readers |= {"refrigeration/store.py", "refrigeration/observe.py", "site.py", "errors.py", "files/yamlfile.py"}
    assert covered & readers == set()


def test_is_a_new_import_followed_wherever_it_stands() -> None:
    """A verb's minutes that a night came to read would move the night's digest: the walk is of imports, not of a list."""
    files = seals.files_in()
    site = files["site.py"] + b"\n\ndef later():\n    import scenarios.verbs\n"
    assert moved({**files, "site.py": site}, "verbs.py") == {"night", "replay"}


WATCHED = """
import json, os, sys
opened = set()
sys.addaudithook(lambda event, args: opened.add(str(args[0])) if event == "open" else None)
from scenarios import record
from scenarios.call import Session
from graders import replaying
made = record.read(sys.argv[1].encode() if sys.argv[1].startswith("{") else __import__("pathlib").Path(sys.argv[1]))
session, problems = Session.replay(made)
assert not problems, problems
loaded = [m.__file__ for n, m in list(sys.modules.items()) if n.split(".")[0] == "scenarios" and getattr(m, "__file__", None)]
print(json.dumps({"loaded": loaded, "opened": sorted(opened)}))
"""
EVERYDAY = (
    "pick gauges", "go motor_room", "look K5", "listen", "volts Q5:1 Q5:3", "open M5", "phone manager ask changed", "gauge GS P1",
    "temp C9.A1", "wait 5", "read RACK", "off Q8", "lock Q8", "suspect SV9 open_inside", "note seen", "replace SV9", "close-out",
)  # fmt: skip


def a_record(path: Path) -> Path:
    """A record of steps of every sort; those that are refused are recorded as well, those that are no step are left out."""
    session = Session.open(CALL, 7, path)
    for line in EVERYDAY:
        try:
            session.do(line)
        except BadRequest:
            continue
    assert session.writer is not None
    session.writer.close()
    assert session.n >= 12
    return path


def test_does_a_replay_open_only_what_its_digest_covers(tmp_path: Path) -> None:
    """A fresh process says which of the package's files it opens and loads; content is sealed by itself, schemas only refuse."""
    path = a_record(tmp_path / "a.jsonl")
    done = subprocess.run([sys.executable, "-c", WATCHED, str(path)], capture_output=True, text=True, check=True, cwd=ROOT)
    told = json.loads(done.stdout)
    top = str(seals.PACKAGE)
    covered = {str(seals.PACKAGE / name) for name in seals.covered(seals.files_in())["replay"]}
    loaded = {name for name in told["loaded"] if name.startswith(top)}
    assert len(loaded) > 60
    assert loaded - covered == set()
    # the digests read every file once, also the list of published calls, which no module of a replay can open
    aside = tuple(os.path.join(top, name) for name in ("stores", "calls", "keys", "derived", "schemas", "published.yaml"))
    assert str(seals.PACKAGE / "files" / "published.py") not in covered
    opened = {os.path.abspath(name) for name in told["opened"] if os.path.abspath(name).startswith(top)}
    data = {name for name in opened if not name.endswith((".py", ".pyc")) and not name.startswith(aside)}
    assert "R-448A.npz" in {os.path.basename(name) for name in data}  # where no digest is kept yet, all files are read for it
    assert data - covered == set()


def test_the_list_of_calls_pays_for_no_digest() -> None:
    code = "import sys; from course import library; library.rows(); print('scenarios.compiling.seals' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.strip() == "False"


def test_the_walk_is_taken_once_for_the_same_files(tmp_path: Path) -> None:
    code = "import time; from scenarios.compiling import seals; seals.covered = lambda *a: 1 / 0; print(seals.of('replay'))"
    plain = "from scenarios.compiling import seals; print(seals.of('replay'))"
    environ = {**os.environ, "HALFSPLIT_CACHE": str(tmp_path)}
    runs = [
        subprocess.run([sys.executable, "-c", line], capture_output=True, text=True, check=False, cwd=ROOT, env=environ)
        for line in (code, plain, code)
    ]
    assert [run.returncode == 0 for run in runs] == [False, True, True]
    assert runs[1].stdout == runs[2].stdout


# ---- records ---------------------------------------------------------------------------------------------------------------


def edited(change: dict[str, Any] | None = None, key: dict[str, Any] | None = None) -> assignments.Assignment:
    """The call with some of its sheet or key changed."""
    made = assignments.assignment(CALL)
    return assignments.Assignment.of({**made.call, **(change or {})}, {**made.key, **(key or {})}, made.store)


def test_a_record_of_another_engine_is_said_to_be_of_another_version(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Never that it is not as it was written: nothing of it is even replayed."""
    path = a_record(tmp_path / "a.jsonl")
    monkeypatch.setattr(seals, "of", lambda kind: "0" * 16)
    with pytest.raises(BadRequest, match=r"made for engine .* made with another version, .* replay it with version") as caught:
        Session.replay(record.read(path))
    assert "as it was written" not in str(caught.value)
    with pytest.raises(BadRequest, match="made with another version"):
        Session.open(CALL, 7, path, fresh=False)


@pytest.mark.parametrize(
    ("call", "key"),
    [
        ({"title": "Another title", "level": "hard", "minutes": 99, "skills": ["x"]}, {}),
        ({"ticket": {"who": "Somebody", "says": "Something", "access": "Somehow", "weather_says": "Fair"}}, {}),
        ({}, {"goals": {}, "exemplars": [], "suspects": [], "truth": {}, "complaint": {}, "sums": {}}),
    ],
)
def test_words_goals_and_exemplars_refuse_no_record_and_rebuild_no_world(call: dict[str, Any], key: dict[str, Any]) -> None:
    was, now = edited(), edited(call, key)
    assert now.head(7) == was.head(7)
    assert (now.outside, now.histories) == (was.outside, was.histories)


@pytest.mark.parametrize(
    ("call", "key"),
    [
        ({"starts": "20:00"}, {}),
        ({"weather": [[-50, 60, 50], [85, 60, 50]]}, {}),
        ({"drive_minutes": 3}, {}),
        ({"van": {"parts": []}}, {}),
        ({"questions": []}, {}),
        ({}, {"onset": -3.0}),
        ({}, {"faults": [{"id": "coil_open:SV8:1", "severity": 0}]}),
    ],
)
def test_what_decides_a_replay_moves_a_record_s_seal(call: dict[str, Any], key: dict[str, Any]) -> None:
    assert edited(call, key).head(7)["seal"] != edited().head(7)["seal"]


def test_a_session_is_given_nothing_of_the_call_that_the_seal_leaves_out() -> None:
    session = Session.open(CALL, 7)
    assert session.call is session.night.played
    assert {"title", "ticket", "level", "minutes"} & set(session.call) == set()
    assert nights.seal_of(session.night.store.seal, session.call, session.night.history(7)) == session.night.head(7)["seal"]


# ---- the package's version --------------------------------------------------------------------------------------------------


def test_the_version_stands_in_the_project_file_and_nowhere_else() -> None:
    version = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]
    told = [path for name in ("scenarios", "graders", "course") for path in (ROOT / name).rglob("*.py")]
    assert [path for path in told if f'"{version}"' in path.read_text()] == []
    assert assignments.package_version() == version
    assert library.rows()

"""What follows from a call stands beside its key, is what the command gives, and cannot go stale or be edited unnoticed."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from course import library
from graders import choosing, deriving, proof
from graders.rubric import DEFAULT
from scenarios import assignments
from scenarios.assignments import assignment
from scenarios.errors import BadRequest
from scenarios.faults.catalogue import Fault
from scenarios.files import callfile, derivedfile, keyfile, published, yamlfile

CALL = "walk_in_warm"
LARGE = "dairy_and_meat"


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Path]:
    """Calls, keys and derived files in a copy that a test may edit, read anew."""
    kinds = ("call", "key", "derived")
    made = {kind: Path(shutil.copytree(yamlfile.FOLDERS[kind], tmp_path / kind)) for kind in kinds}
    for kind, place in made.items():
        monkeypatch.setitem(yamlfile.FOLDERS, kind, place)
    monkeypatch.setattr(library, "CALLS", made["call"])
    assignments._read.cache_clear()
    yield made
    assignments._read.cache_clear()


def edit(path: Path, before: str, after: str) -> None:
    text = path.read_text("utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), "utf-8")


def refused(call: str) -> str:
    with pytest.raises(BadRequest) as caught:
        assignment(call)
    return str(caught.value)


# ---- the file -----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("call", callfile.names("call"))
def test_a_derived_file_is_as_the_command_writes_it(call: str) -> None:
    """Read and written again it is the same bytes: entries in order, one a line, digests of its own content right."""
    text = (yamlfile.FOLDERS["derived"] / f"{call}.yaml").read_text("utf-8")
    data = callfile.load(callfile.path_of("derived", call), "derived")
    found = derivedfile.held(data)
    assert derivedfile.text(call, data["made_of"], found) == text
    backwards = {**found, **{name: dict(reversed(found[name].items())) for name in ("attempts", "variants")}}
    assert derivedfile.text(call, data["made_of"], backwards) == text
    assert all(line.count("id:") <= 1 for line in text.splitlines())


def test_a_missing_derived_file_says_what_to_run(folders: dict[str, Path]) -> None:
    (folders["derived"] / f"{CALL}.yaml").unlink()
    assert refused(CALL) == f"derived/{CALL}.yaml: missing, and {CALL} cannot be graded without; run `halfsplit derive {CALL}`"
    claims = proof.prove(CALL)["claims"]
    assert all(not claim["ok"] and "run `halfsplit derive" in claim["detail"] for claim in claims)


@pytest.mark.parametrize(
    ("kind", "before", "after", "says"),
    [
        ("derived", "severity: 0}\n", "severity: 1}\n", "it was edited by hand"),
        ("derived", "      - {id: 'relay_stuck_open:KC9', severity: 0}\n", "", "it was edited by hand"),
        ("derived", "attempts:\n  coil_live: {safe: 0.0", "attempts:\n  coil_live: {safe: 9.0", "it was edited by hand"),
        ("key", "minutes: 15", "minutes: 10", "its key has changed"),
        ("key", "onset: -2.6", "onset: -2.5", "its key has changed"),
        ("call", "drive_minutes: 14", "drive_minutes: 15", "its call has changed"),
    ],
)
def test_whatever_it_rests_on_is_noticed(folders: dict[str, Path], kind: str, before: str, after: str, says: str) -> None:
    assert assignment(CALL).suspects(0)
    assignments._read.cache_clear()
    edit(folders[kind] / f"{CALL}.yaml", before, after)
    assert refused(CALL) == f"derived/{CALL}.yaml: stale, for {says}; run `halfsplit derive {CALL}`"


def test_another_store_is_noticed_and_another_engine_told_by_the_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    made = assignment(CALL)
    with pytest.raises(BadRequest, match="stale, for the store has changed; run"):
        derivedfile.load(CALL, {**made.made_of, "store": "0" * 16})
    now = {**made.derived["made_of"], "engine": "0" * 16}
    monkeypatch.setattr(deriving, "made_of", lambda made: now)
    first = next(iter(proof.standing(CALL, DEFAULT)))
    assert not first["ok"]
    assert first["detail"] == f"stale, for another version worked it out; run `halfsplit derive {CALL}`"


def test_key_and_derived_are_joined_and_no_key_says_what_follows() -> None:
    for call in callfile.names("key"):
        made = assignment(call)
        assert not {"inseparable", "minutes", "score"} & set(made.key)
        for n in range(len(made.histories)):
            key = made.key_of(n)
            assert key["goals"]["economy"]["minutes"] == made.derived["minutes"]
            assert [step for entry in key["exemplars"] for step in entry["steps"] if "$" in step] == []
            assert {row["id"] for row in key["suspects"]} >= {made.history(n)["faults"][-1]["id"]}
        assert all(set(attempt["score"]) == set(DEFAULT.weights) for attempt in made.key_of(0)["attempts"])


def test_only_an_answered_sum_is_filled_in_for_its_own_entry() -> None:
    key = {
        "words": {"in": 3},
        "goals": {"economy": {}},
        "exemplars": [{"id": "a", "steps": ["answer x $x F", "look K5:$in"]}, {"id": "b", "steps": ["answer x $x F"]}],
        "attempts": [],
    }
    derived = {"minutes": 5, "variants": {0: {"sums": {"a": {"x": 1.5}, "b": {"x": 2.5}}}}}
    made = keyfile.variant(key, 0, derived)
    assert [entry["steps"] for entry in made["exemplars"]] == [["answer x 1.5 F", "look K5:3"], ["answer x 2.5 F"]]
    assert made["goals"] == {"economy": {"minutes": 5}}


# ---- what the command gives -----------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_walk_in_warm_follows_as_its_file_says() -> None:
    assert deriving.derive(CALL) == (yamlfile.FOLDERS["derived"] / f"{CALL}.yaml").read_text("utf-8")


@pytest.mark.slow
@pytest.mark.parametrize("n", [0, 1, 2])
def test_sums_of_dairy_and_meat_follow(n: int) -> None:
    found = deriving.key_sums(LARGE, n)
    for entry in assignment(LARGE).key["exemplars"]:
        assert deriving.sums(LARGE, n, "exemplars", entry["id"]) == found[entry["id"]]


@pytest.mark.slow
def test_scores_of_dairy_and_meat_follow() -> None:
    key = assignment(LARGE).key_of(0)
    assert {attempt["id"]: deriving.scores(LARGE, attempt) for attempt in key["attempts"]} == assignment(LARGE).derived["attempts"]


# ---- which of all that produces a ticket are suspects ---------------------------------------------------------------------------


def fault_of(store: Any, part: str, entry: str, mode: str, at: str = "") -> Fault:
    return Fault(f"{entry}:{at or part}", part, mode, at, "", 1, (), (), entry)


def test_one_of_each_kind_on_each_branch_and_every_place_of_the_true_one() -> None:
    """On the store's pump branch (Q5, K5, F5) and its fan branch (K61): worked out by hand."""
    store = assignment(LARGE).store
    places = [("K5", "1"), ("K5", "3"), ("K5", "5"), ("K61", "1"), ("K61", "3")]
    faults = [fault_of(store, part, "pole", "does_not_close", f"{part}:{at}") for part, at in places]
    faults += [fault_of(store, part, "joint", "loose_burnt", at) for part, at in [("F5", "F5:4T2"), ("K5", "K5:1"), ("K5", "K5:3")]]
    found = [{"id": fault.id, "severity": 0} for fault in faults] + [{"id": "joint:K5:3", "severity": 2}]
    truth = {"part": "K5", "mode": "does_not_close", "where": "K5:3"}
    rows = choosing.chosen("one_of_each", found, faults, truth, store)
    assert [(row["id"], row["severity"]) for row in rows] == [
        ("joint:K5:3", 2),  # of K5 before F5, on the line of the fault, as bad as it gets
        ("pole:K5:1", 0),
        ("pole:K5:3", 0),
        ("pole:K5:5", 0),
        ("pole:K61:3", 0),  # on the same line
    ]
    assert choosing.chosen("all", found, faults, truth, store) == sorted(found, key=lambda row: (row["id"], row["severity"]))
    assert choosing.chosen("one_of_each", found[::-1], faults, truth, store) == rows


# ---- published and drafts -------------------------------------------------------------------------------------------------------


def test_every_published_call_stands_as_it_was_published() -> None:
    """Where this fails, the sentence says what to do; the list is changed for a new call, never for an old one."""
    known = sorted({*callfile.names("call"), *published.listed()})
    assert [wrong for call in known if (wrong := published.problem(call))] == []


@pytest.mark.parametrize(
    ("kind", "before", "after"), [("call", "minutes: 20", "minutes: 25"), ("key", "minutes: 15", "minutes: 10")]
)
def test_a_change_of_a_published_call_or_key_is_found(folders: dict[str, Path], kind: str, before: str, after: str) -> None:
    edit(folders[kind] / f"{CALL}.yaml", before, after)
    wrong = published.problem(CALL)
    assert wrong.startswith(f"{CALL}: published, and its call or key says another thing than then (")
    assert wrong.endswith(f"; put it back and make the change in a call of a new id with `replaces: {CALL}`")
    assert not published.problem(LARGE)


def test_a_published_call_is_not_taken_away_and_a_new_one_is_published_or_a_draft(folders: dict[str, Path]) -> None:
    before = library.listed()
    assert {CALL, LARGE} <= set(before)
    for kind in ("call", "key"):
        shutil.copy(folders[kind] / f"{CALL}.yaml", folders[kind] / "another.yaml")
        edit(folders[kind] / "another.yaml", f"id: {CALL}", "id: another")
    assert "not in scenarios/published.yaml; add the line `another: " in published.problem("another")
    assert sorted(row["id"] for row in library.rows()) == sorted(["another", *before])
    edit(folders["call"] / "another.yaml", "level: first", "status: draft\nlevel: first")
    assert not published.problem("another")
    assert library.listed() == before
    (folders["call"] / f"{CALL}.yaml").unlink()
    assert published.problem(CALL).startswith(f"{CALL}: published, and its file is gone")

"""A class in which somebody means harm, and one whose grading is killed: does anybody else lose anything, does anything run?"""

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import nbformat
import pytest

from course import library, notebooks
from course.folder import RECORD

pytestmark = [pytest.mark.notebook, pytest.mark.slow]
CALL = str(library.rows()[0]["id"])
SECRET = "nobody's business"
POSIX = pytest.mark.skipif(os.name == "nt", reason="links and odd names of POSIX")
HOSTILE = """<script>document.title = "taken"; window.taken = 1</script>
<img src=x onerror="document.title='taken'"><img src="http://127.0.0.1:9/far.png"> ![far](http://127.0.0.1:9/picture.png)
<iframe src="javascript:parent.document.title='taken'"></iframe><style>body { background: red; @import url(http://127.0.0.1:9/x.css) }</style>
[press me](javascript:document.title='taken') <a href="javascript:document.title='taken'">press me</a> <base href="http://127.0.0.1:9/">

    <svg onload="document.title='taken'">
"""


def command(folder: Path, *words: str, **environ: str) -> subprocess.CompletedProcess[str]:
    """Run `halfsplit cohort` in a class's folder."""
    told = [sys.executable, "-c", "from course.cli import main; main()", "cohort", *words]
    known = {**os.environ, **environ}
    return subprocess.run(told, cwd=folder, capture_output=True, text=True, timeout=550, check=False, env=known)


def scores(said: str) -> dict[str, float]:
    """Scores that the command printed."""
    return {name: float(score) for name, score in re.findall(r"^(\w+): ([\d.]+) of 100$", said, re.M)}


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A short record that earns a little."""
    from scenarios.call import Session

    path = tmp_path_factory.mktemp("record") / RECORD
    session = Session.open(CALL, 7, path)
    for step in ("go floor", "close-out"):
        session.do(step)
    session.writer.close()
    return path.read_text("utf-8")


def made(root: Path) -> Path:
    """A class that has released the call."""
    assert command(root, "make", ".", CALL).returncode == 0
    done = command(root, "release", CALL)
    assert done.returncode == 0, done.stderr
    return root


def hand_in(root: Path, trainee: str, record: str | None, answer: str = "") -> Path:
    """An ordinary submission."""
    place = root / "submitted" / trainee / CALL
    place.mkdir(parents=True)
    node = nbformat.read(root / "release" / CALL / f"{CALL}.ipynb", as_version=4)
    for cell in node.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == notebooks.ANSWER:
            cell.source += answer
    (place / f"{CALL}.ipynb").write_text(json.dumps(node), "utf-8")
    if record is not None:
        (place / RECORD).write_text(record, "utf-8")
    return place


# ---- harm -------------------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def harmed(tmp_path_factory: pytest.TempPathFactory, record: str) -> tuple[Path, subprocess.CompletedProcess[str]]:
    """A graded class with honest trainees and others."""
    if os.name == "nt":
        pytest.skip("links and odd names of POSIX")
    root = made(tmp_path_factory.mktemp("class"))
    outside = tmp_path_factory.mktemp("outside")
    (outside / "secret").write_text(SECRET)
    hand_in(root, "ann", record)
    hand_in(root, "bob\nsub", record)
    (hand_in(root, "cyd", None) / RECORD).symlink_to(outside / "secret")
    dangling = hand_in(root, "dan", record)
    (dangling / f"{CALL}.ipynb").unlink()
    (dangling / f"{CALL}.ipynb").symlink_to(outside / "made")
    (hand_in(root, "eve", None) / RECORD).symlink_to("/dev/zero")
    os.mkfifo(hand_in(root, "fay", None) / RECORD)
    place = hand_in(root, "gus", record)
    (place / f"{CALL}.ipynb").unlink()
    (place / f"{CALL}.ipynb").mkdir()
    (place / "more.ipynb").mkdir()
    (hand_in(root, "hal", record) / "timestamp.txt").write_text("yesterday")
    hand_in(root, "ida", record, HOSTILE)
    (root / "submitted" / "jan").symlink_to(outside)
    (outside / CALL).mkdir()
    (outside / CALL / RECORD).write_text(record)
    hand_in(root, "zoe", record)
    return root, command(root, "grade", CALL)


def test_who_is_honest_is_graded_and_hears_their_score(harmed: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    found = scores(harmed[1].stdout)
    assert set(found) == {"ann", "cyd", "dan", "eve", "fay", "gus", "hal", "ida", "zoe"}, harmed[1].stderr
    assert found["ann"] > 0.0
    assert {found[name] for name in ("dan", "gus", "hal", "ida", "zoe")} == {found["ann"]}
    assert {found[name] for name in ("cyd", "eve", "fay")} == {0.0}


def test_what_was_refused_is_said_for_whom(harmed: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    assert harmed[1].returncode == 1
    refused = [line for line in harmed[1].stderr.splitlines() if re.match(r"'?\w+(\\n\w+)?'?: (the submission|\w+\.\w+ )", line)]
    assert [line.split(": ")[0] for line in refused] == ["'bob\\nsub'", "cyd", "dan", "eve", "fay", "gus", "hal", "jan"]


def test_no_link_was_followed(harmed: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    root, _ = harmed
    assert command(root, "feedback", CALL).returncode == 0
    for folder in ("autograded", "feedback"):
        for path in (root / folder).rglob("*"):
            assert not path.is_symlink()
            assert path.is_dir() or SECRET not in path.read_text("utf-8", errors="replace"), path
    names = {path.name for path in (root / "autograded").rglob("*") if path.is_file()}
    assert names <= {f"{CALL}.ipynb", RECORD, f"{RECORD}.refused"}
    assert not (root / "accepted").exists()
    (outside,) = {path.resolve() for path in [root / "submitted" / "jan"]}
    assert sorted(path.name for path in outside.iterdir()) == sorted(["secret", CALL])
    assert "is a link" in (root / "feedback" / "cyd" / CALL / f"{CALL}.html").read_text("utf-8")


def test_no_sign_of_an_answer_reaches_a_page_as_markup(harmed: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    root, _ = harmed
    node = nbformat.read(root / "autograded" / "ida" / CALL / f"{CALL}.ipynb", as_version=4)
    (answer,) = [cell for cell in node.cells if cell.metadata["nbgrader"]["grade_id"] == notebooks.ANSWER]
    said = answer.source.removeprefix(notebooks.QUESTION.rstrip())
    assert "document" in said
    assert re.fullmatch(r"([0-9A-Za-z \n]|&#\d+;)*", said)


@pytest.mark.browser
def test_a_feedback_page_runs_nothing_and_asks_for_nothing(harmed: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    from course_page import CHROMIUM
    from playwright.sync_api import sync_playwright

    if CHROMIUM is None:
        pytest.skip("needs Chromium (Debian: apt-get install chromium), or its path in CHROMIUM")
    root, _ = harmed
    assert command(root, "feedback", CALL).returncode == 0
    path = root / "feedback" / "ida" / CALL / f"{CALL}.html"
    with sync_playwright() as play:
        chrome = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = chrome.new_page()
        asked: list[str] = []
        held: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.on("requestfailed", lambda request: held.append(request.url) if request.failure == "csp" else None)
        page.goto(path.as_uri())
        page.wait_for_timeout(500)
        assert {url for url in asked if url not in held} == {path.as_uri()}  # the tool's own style names fonts that nobody has
        assert not [url for url in asked if not url.startswith("file:")]
        assert page.title() == CALL
        assert page.evaluate("window.taken") is None
        shown = page.inner_text("body")
        assert "document.title" in shown
        assert "press me" in shown
        assert page.locator("a", has_text="press me").count() == 0
        assert page.locator("iframe, svg, base, img").count() == 0
        assert "Safe work" in shown
        # should markup ever come through, the page's own policy holds it
        page.evaluate("document.body.insertAdjacentHTML('beforeend', '<img src=\"http://127.0.0.1:9/x.png\">')")
        page.evaluate("document.body.insertAdjacentHTML('beforeend', `<p onclick=\"document.title='taken'\" id=late>x</p>`)")
        page.click("#late")
        page.wait_for_timeout(300)
        assert "http://127.0.0.1:9/x.png" in held
        assert page.title() == CALL
        chrome.close()


# ---- killed -----------------------------------------------------------------------------------------------------------------

KILLED = """
import os
STAGE = os.environ.get("KILL_AT", "")
if STAGE:
    from nbgrader.converters.autograde import Autograde
    from nbgrader.converters.base import BaseConverter
    from nbgrader.preprocessors import SaveAutoGrades

    def dies(owner, name, when, before=False):
        ordinary = getattr(owner, name)

        def deadly(self, *words, **more):
            if before and when(self, *words):
                os._exit(9)
            done = ordinary(self, *words, **more)
            if not before and when(self, *words):
                os._exit(9)
            return done

        setattr(owner, name, deadly)

    def half(self, output, resources):
        if resources["nbgrader"]["student"] == "bob" and not self._sanitizing:
            place = self._format_dest(resources["nbgrader"]["assignment"], "bob")
            with open(os.path.join(place, resources["unique_key"] + ".ipynb"), "w") as file:
                file.write(output[:len(output) // 2])
            return True

    student = lambda self, first, second=None: "bob" in (first, second)
    if STAGE == "copied":
        dies(BaseConverter, "init_assignment", student)
    elif STAGE == "entered":
        dies(Autograde, "init_assignment", student)
    elif STAGE == "cleaned":
        dies(Autograde, "write_single_notebook", lambda self, o, r: self._sanitizing and r["nbgrader"]["student"] == "bob")
    elif STAGE == "scored":
        dies(SaveAutoGrades, "preprocess", lambda self, nb, r: r["nbgrader"]["student"] == "bob")
    elif STAGE == "half":
        dies(Autograde, "write_single_notebook", half, before=True)
    elif STAGE == "filed":
        dies(Autograde, "set_permissions", student, before=True)
"""
STAGES = ["copied", "entered", "cleaned", "scored", "half", "filed"]


def outcome(root: Path) -> dict[str, Any]:
    """What grading leaves: every file of every trainee, the notebooks without their cells' random names, and the gradebook."""
    from course.classroom import scores as in_gradebook

    files: dict[str, Any] = {}
    for path in sorted((root / "autograded").rglob("*")):
        if path.is_file():
            text = path.read_text("utf-8")
            files[path.relative_to(root).as_posix()] = json.loads(text) if path.suffix == ".ipynb" else text
    return {**files, "gradebook": in_gradebook(root, CALL)}


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory, record: str) -> tuple[dict[str, Any], dict[str, float]]:
    """Three trainees, graded in one run."""
    root = made(tmp_path_factory.mktemp("undisturbed"))
    for trainee in ("ann", "bob", "cyd"):
        hand_in(root, trainee, record)
    done = command(root, "grade", CALL)
    assert done.returncode == 0, done.stderr
    return outcome(root), scores(done.stdout)


@pytest.mark.parametrize("stage", STAGES)
def test_grading_killed_and_run_again_gives_what_one_run_gives(
    stage: str, tmp_path: Path, record: str, undisturbed: tuple[dict[str, Any], dict[str, float]]
) -> None:
    root = made(tmp_path)
    for trainee in ("ann", "bob", "cyd"):
        hand_in(root, trainee, record)
    config = root / "nbgrader_config.py"
    config.write_text(config.read_text("utf-8") + KILLED, "utf-8")
    first = command(root, "grade", CALL, KILL_AT=stage)
    assert first.returncode == 1
    assert "ann" in scores(first.stdout)
    assert "cyd" not in scores(first.stdout)
    assert "bob" not in scores(first.stdout) or stage == "filed"
    again = command(root, "grade", CALL)
    assert again.returncode == 0, again.stderr
    assert scores(again.stdout) == undisturbed[1]
    assert outcome(root) == undisturbed[0]

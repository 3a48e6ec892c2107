"""A class in which somebody means harm, and one whose grading is killed: does anybody else lose anything, does anything run?"""

import json
import os
import re
import shutil
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
<iframe src="javascript:parent.document.title='taken'"></iframe>
<style>body { background: red; @import url(http://127.0.0.1:9/x.css) }</style>
[press me](javascript:document.title='taken') <a href="javascript:document.title='taken'">press me</a> <base href="http://127.0.0.1:9/">

    <svg onload="document.title='taken'">
"""


def command(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run `halfsplit cohort` in a class's folder."""
    told = [sys.executable, "-c", "from course.cli import main; main()", "cohort", *words]
    return subprocess.run(told, cwd=folder, capture_output=True, text=True, timeout=550, check=False)


def scores(said: str) -> dict[str, float]:
    """Scores that the command printed."""
    return {name: float(score) for name, score in re.findall(r"^(\w+): ([\d.]+) of 100$", said, re.M)}


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A short record that earns a little."""
    from scenarios.call import Session

    path = tmp_path_factory.mktemp("record") / RECORD
    session = Session.open(CALL, 7, path)
    for step in ("go floor", "temp C9.G1 how=packs", "phone manager tell food", "close-out"):
        session.do(step)
    session.writer.close()
    return path.read_text("utf-8")


def made(root: Path) -> Path:
    """A class that has released the call."""
    root.mkdir(exist_ok=True)
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


def test_the_tools_own_command_and_buttons_take_in_first_too(harmed: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    root, _ = harmed
    for trainee in ("cyd", "dan"):
        told = [sys.executable, "-m", "nbgrader", "autograde", CALL, f"--student={trainee}", "--force"]
        done = subprocess.run(told, cwd=root, capture_output=True, text=True, timeout=550, check=False)
        assert done.returncode == 0, done.stderr
        assert f"{trainee}: " in done.stderr
        assert not (root / "accepted").exists()
    assert {path.name for path in (root / "autograded" / "cyd" / CALL).iterdir()} == {f"{CALL}.ipynb", f"{RECORD}.refused"}
    assert {path.name for path in (root / "autograded" / "dan" / CALL).iterdir()} == {f"{CALL}.ipynb", RECORD}
    assert (root / "submitted" / "dan" / CALL / f"{CALL}.ipynb").is_symlink()
    assert not (root / "submitted" / "dan" / CALL / f"{CALL}.ipynb").exists()


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

STAGES = ["a_copied", "b_cleaned", "c_scored", "d_half", "e_filed"]
"""Trainees in whose grading the tool is killed once, each at the stage of their name."""
KILLED = """
import os
from nbgrader.converters.autograde import Autograde
from nbgrader.converters.base import BaseConverter
from nbgrader.preprocessors import SaveAutoGrades


def dies(owner, name, stage, when, *, before=False):
    ordinary = getattr(owner, name)

    def deadly(self, *words):
        if not before:
            done = ordinary(self, *words)
        mark = os.path.join(os.path.dirname(__file__), stage)
        if when(self, *words) and not os.path.exists(mark):
            open(mark, "w").close()
            os._exit(9)
        return ordinary(self, *words) if before else done

    setattr(owner, name, deadly)


def half(self, output, about):
    if self._sanitizing or about["nbgrader"]["student"] != "d_half":
        return False
    place = self._format_dest(about["nbgrader"]["assignment"], "d_half")
    with open(os.path.join(place, about["unique_key"] + ".ipynb"), "w") as file:
        file.write(output[: len(output) // 2])
    return True


dies(BaseConverter, "init_assignment", "a_copied", lambda self, call, who: who == "a_copied")
dies(BaseConverter, "write_single_notebook", "b_cleaned", lambda self, output, about: about["nbgrader"]["student"] == "b_cleaned")
dies(SaveAutoGrades, "preprocess", "c_scored", lambda self, node, about: about["nbgrader"]["student"] == "c_scored")
dies(BaseConverter, "write_single_notebook", "d_half", half, before=True)
dies(BaseConverter, "set_permissions", "e_filed", lambda self, call, who: who == "e_filed", before=True)
"""


def outcome(root: Path) -> dict[str, Any]:
    """What grading leaves: every file of every trainee, and the gradebook."""
    from course.classroom import scores as in_gradebook

    files: dict[str, Any] = {}
    for path in sorted((root / "autograded").rglob("*")):
        if path.is_file():
            text = path.read_text("utf-8")
            files[path.relative_to(root).as_posix()] = json.loads(text) if path.suffix == ".ipynb" else text
    return {**files, "gradebook": in_gradebook(root, CALL)}


def test_grading_killed_again_and_again_gives_what_one_run_gives(tmp_path: Path, record: str) -> None:
    root = made(tmp_path / "whole")
    for trainee in STAGES:
        hand_in(root, trainee, record)
    killed = Path(shutil.copytree(root, tmp_path / "killed"))
    config = killed / "nbgrader_config.py"
    config.write_text(config.read_text("utf-8") + KILLED, "utf-8")
    for n, stage in enumerate(STAGES):
        done = command(killed, "grade", CALL)
        assert done.returncode == 1
        assert set(scores(done.stdout)) == set(STAGES[: n + (stage == "e_filed")]), done.stderr
        assert stage in done.stderr or stage == "e_filed"
    last = command(killed, "grade", CALL)
    assert last.returncode == 0, last.stderr
    once = command(root, "grade", CALL)
    assert scores(last.stdout) == scores(once.stdout)
    assert set(scores(once.stdout)) == set(STAGES)
    assert min(scores(once.stdout).values()) > 0.0
    assert outcome(killed) == outcome(root)

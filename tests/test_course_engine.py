"""An engine that dies, a second one, and two tabs on one desk, in the real course."""

import os
import shutil
import signal
import subprocess
import sys

import pytest
from course_page import OPENING, Hand, course, kernels, opened, picture, steps

__all__ = ["course"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def begun(course):
    """A call that was just begun."""
    shutil.rmtree(course.folder / "walk_in_warm", ignore_errors=True)
    for kernel in kernels(course.pid):
        os.kill(kernel, signal.SIGKILL)
    page = opened(course, "walk_in_warm", course.window())
    Hand(page).press("drive")
    yield page
    page.context.close()


def test_two_tabs_share_a_desk_a_second_engine_is_refused_and_a_killed_one_is_noticed(course, begun):
    other = begun.context.new_page()
    other.goto(begun.url)
    other.wait_for_selector(".hs-desk .hs-pad", timeout=OPENING)
    Hand(begun).go("floor")
    other.wait_for_function("document.querySelector('.hs-stop.hs-here')?.innerText.startsWith('Sales floor')")
    assert steps(course, "walk_in_warm") == 2
    other.close()
    words = "from course.desk import desk; print(desk('walk_in_warm'))"
    second = subprocess.run(
        [sys.executable, "-c", words], cwd=course.folder / "walk_in_warm", capture_output=True, text=True, timeout=200, check=False
    )
    assert "another window" in second.stdout, second
    assert steps(course, "walk_in_warm") == 2
    for kernel in kernels(course.pid):
        os.kill(kernel, signal.SIGKILL)
    begun.wait_for_selector(".hs-engine", timeout=6_000)
    assert "Nothing is lost" in begun.locator(".hs-engine").inner_text()
    picture(begun, "i")
    begun.wait_for_timeout(4000)  # until the server has noticed too
    assert begun.locator(".jp-Dialog").count() == 0, "one message, the desk's own"
    begun.click('[data-key="caution:no"]')
    begun.wait_for_selector(".hs-engine", state="detached", timeout=OPENING)
    Hand(begun).settle()
    assert begun.locator(".hs-stop.hs-here").inner_text().startswith("Sales floor")
    assert course.far == []


def test_a_reload_asks_nothing_for_nothing_can_be_lost(course, begun):
    """What the desk shows is made anew from the record; only words that somebody wrote into the notebook would be lost."""
    asked = []
    begun.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.accept()))
    Hand(begun).go("floor")
    begun.reload()
    begun.wait_for_selector(".hs-desk .hs-pad", timeout=OPENING)
    assert asked == []
    assert steps(course, "walk_in_warm") == 2

"""A whole night by keyboard in the real course."""

import pytest
from course_page import OPENING, ORDER, Keys, course, opened, picture, sound

__all__ = ["course"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_a_night_by_keyboard_to_the_debrief(course):
    page = opened(course, "walk_in_warm")
    keys = Keys(page)
    keys.press("drive")
    keys.press("go:floor")
    walk_in(keys, page)
    keys.press("tool:thermometer")
    keys.press("how:packs")
    keys.drawing("C9G1")
    keys.press("phone")
    keys.press("say:phone manager tell food")
    keys.press("phone:close")
    keys.act("listen SV9")
    keys.act("open SV9")
    keys.press("tool:meter")
    picture(page, "walkin")
    keys.press("tab:sums")
    keys.write("sum:superheat", "9.5")
    keys.press("sum:superheat:keep")
    keys.press("cause")
    keys.write("causecombo", "SV9")
    keys.reach("causecombo")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    keys.press("causecombo:mode:open_inside")
    keys.press("cause:done")
    for name, text in ORDER.items():
        keys.write(f"order:{name}", text)
    picture(page, "walkin-order")
    assert sound(page) == {}
    keys.press("close")
    keys.press("close:yes")
    page.wait_for_selector(".hs-debrief iframe", timeout=OPENING)
    text = page.frame_locator(".hs-debrief iframe").locator("body").inner_text()
    assert "Safe work" in text
    assert course.far == []
    page.close()


def walk_in(keys, page):
    """The sheet of the walk-ins among the drawings of the floor."""
    last = page.locator('[data-key^="sheet:"]').last.get_attribute("data-key")
    keys.press(last)

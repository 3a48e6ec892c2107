"""How long a click takes until its reading is on the screen, in the real course: recorded, not judged, since machines differ."""

import json
import os
from pathlib import Path

import pytest
from click_times import timed, told, watch
from course_page import Hand, course, opened, steps

__all__ = ["course"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]

CALL = "dairy_and_meat"
PAIRS = ("Q5:1", "Q5:3", "Q5:5", "K5:1", "K5:3", "K5:5", "K5:2", "K5:4", "K5:6", "F5:2T1", "F5:4T2", "F5:6T3")
LOOKS = {"panel": ("K5", "F5", "Q5"), "motor_room": ("HP3", "HP4", "GLASS"), "roof": ("COIL", "BASIN", "FAN")}
NOTE = os.environ.get("HALFSPLIT_CLICKS")
"""A file for the figures, where they are wanted."""


def clicks(do, page):
    """Two rounds of probing, looking and walking; yields the kind of a step and the click that does it."""
    for _ in range(2):
        do.tool("meter")
        do.point("X2")
        for name in PAIRS:
            yield "probe", lambda name=name: page.locator(f'[data-point="{name}"]').first.click(force=True)
        for place, marks in LOOKS.items():
            if place != "panel":
                yield "walk", lambda place=place: page.click(f'[data-key="go:{place}"]')
            do.tool("hands")
            for mark in marks:
                page.locator(f'[data-part="{mark}"]').first.click(force=True)
                yield "look", lambda mark=mark: page.click(f'[data-key="act:look {mark}"]')
        for place in ("motor_room", "floor", "van", "panel"):
            yield "walk", lambda place=place: page.click(f'[data-key="go:{place}"]')
            assert page.locator(".hs-surface svg.hs-sheet .hs-line, .hs-surface svg.hs-sheet .hs-shape").count() > 3, (
                f"{place} is not drawn"
            )
        do.press("sheet:spray_pump")


def test_every_click_shows_its_reading_and_the_time_it_took_is_told(course):
    page = opened(course, CALL)
    do = Hand(page)
    do.press("drive")
    do.go("panel")
    do.press("sheet:spray_pump")
    do.press("door")
    watch(page)
    before = steps(course, CALL)
    times, kinds = [], []
    for kind, click in clicks(do, page):
        times.append(timed(page, click)["painted"])
        kinds.append(kind)
        page.wait_for_timeout(60)
    lines = told(times, kinds)
    print(*lines, sep="\n")
    if NOTE:
        Path(NOTE).write_text(json.dumps({"lines": lines, "times": times, "kinds": kinds}), "utf-8")
    assert len(times) > 50
    assert all(t > 0 for t in times)
    assert steps(course, CALL) == before + len(times), "a timed click is one step, no more and no less"

"""A whole night by mouse in the real course, from the list of calls to the debrief."""

import pytest
from course_page import OPENING, ORDER, Hand, course, opened, picture, sound, steps

from graders import gate

__all__ = ["course"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]


def looks_round(do, page):
    """From the ticket to the panel: food, gauges, roof, plate."""
    picture(page, "a")
    do.press("drive")
    do.go("floor")
    page.click("text=Case 4 dairy")
    do.tool("thermometer")
    do.press("how:packs")
    do.point("C4.G1")
    picture(page, "l")
    do.press("phone")
    do.press("say:phone manager tell food")
    picture(page, "t")
    do.press("phone:close")
    do.go("motor_room")
    do.act("read GD")
    do.act("look HP3")
    picture(page, "k")
    do.go("roof")
    for line in ("look COIL", "look BASIN", "read M5"):
        do.act(line)
    picture(page, "c")
    do.go("panel")
    do.press("sheet:spray_pump")
    picture(page, "shut")
    do.press("door")
    do.act("look F5")


def isolates(do, page):
    """Known live, off, lock and tag, try, proving unit, dead pairs, proving unit again."""
    do.legs("Q5", "volts Q5:1 Q5:3 Q5:5 PE")
    picture(page, "legs")
    do.tool("meter")
    do.point("Q5:1", "Q5:3", "Q5:5")
    assert 430 < do.number() < 520
    picture(page, "b")
    for mark in ("Q5", "Q8"):
        if mark == "Q8":
            do.press("sheet:supply")
        for verb in ("off", "lock"):
            do.act(f"{verb} {mark}")
    do.press("sheet:spray_pump")
    do.act("try K5")
    picture(page, "s")
    do.tool("meter")
    do.press("prove")
    assert 230 < do.number() < 250
    do.point("K5:1", "K5:3", "K5:5")
    do.press("lead:black")
    do.point("K5:1")
    do.press("lead:black")
    do.point("PE", "K5:3", "K5:1", "K5:A1", "K5:13")
    do.press("prove")
    do.press("tab:readings")
    do.press("list:isolation")
    picture(page, "m")
    do.press("list:newest")


def finds(do, page):
    """The pole that does not close, by ohms with the armature held in, and its wire end; returns the terminal."""
    do.act("press K5")
    assert page.locator("[role=alertdialog]").count() == 0, "K5 is proved dead, so hands need no caution"
    do.tool("meter")
    do.press("mode:ohms")
    shown = {}
    for line, load in ((1, 2), (3, 4), (5, 6)):
        for lead in ("red", "black"):
            if page.locator(f'[data-key="lift:{lead}"]').count():
                do.press(f"lift:{lead}")
        do.point(f"K5:{line}", f"K5:{load}")
        text = page.locator(".hs-disp .hs-num").first.inner_text().split()[0]
        shown[line] = 1e9 if text == "OL" else float(text)
    picture(page, "ohms")
    worst = max(shown, key=shown.get)
    assert shown[worst] > 100 * min(shown.values()), shown
    do.act(f"tug K5:{worst}")
    picture(page, "g")
    return f"K5:{worst}"


def names(do, page, key, part, mode, where):
    """Fill the three fields of a fault."""
    box = page.locator(f'[data-key="{key}"]')
    box.fill(part)
    box.press("Enter")
    do.press(f"{key}:mode:{mode}")
    picture(page, f"naming-{key}")
    page.locator(f'[data-key="{key}:where"]').select_option(where)


def repairs(do, page, terminal):
    """New contactor, new wire end, dial set, clamps hung, energised again with the door shut."""
    do.press("sheet:spray_pump")
    do.act("replace K5")
    do.act(f"re-end {terminal}")
    do.act("set F5 ?")
    page.locator('[data-key="act:value"]').fill("4.4")
    do.press("act:set")
    do.tool("clamp")
    do.point("F5:2T1", "F5:4T2", "F5:6T3")
    do.press("door")
    picture(page, "n")
    do.press("tab:readings")
    do.press("list:isolation")
    do.press("iso:unlock")
    do.press("iso:unlock")
    do.press("list:newest")
    do.press("sheet:supply")
    do.act("on Q8")
    do.act("on Q5")
    do.press("sheet:spray_pump")
    do.act("reset F5")
    do.tool("clamp")
    do.press("amps")
    picture(page, "n2")


def restarts(do, page):
    """Resets by hand, time, then the pressures and temperatures of the sums."""
    do.go("motor_room")
    do.act("push HP3")
    do.press("clock")
    picture(page, "p")
    do.press("wait:5")
    do.act("push HP4")
    for _ in range(2):
        do.press("clock")
        do.press("wait:15")
    do.act("read GD")
    do.go("roof")
    do.tool("gauges")
    do.point("P2")
    picture(page, "gauges")
    do.tool("thermometer")
    do.press("how:pipe")
    do.point("T2")
    do.tool("gauges")
    do.press("ungauge:high")


def writes(do, page, terminal):
    """A sum, the cause with its reason, the work order, close-out."""
    do.press("phone")
    do.press("person:dispatcher")
    do.press("say:phone dispatcher tell handover")
    do.press("phone:close")
    do.press("tab:sums")
    do.press("q:overload")
    page.locator('[data-key="sum:overload"]').fill("4.4")
    do.press("sum:overload:keep")
    do.press("cause")
    names(do, page, "causecombo", "K5", "does_not_close", terminal)
    do.press("cause:done")
    do.press("cause:why")
    names(do, page, "causecombo", "K5", "loose_burnt", terminal)
    do.press("cause:done")
    named = page.locator('[data-key="cause"], [data-key="cause:why"]').all_inner_texts()
    assert all(f"at {terminal[-1]}" in text for text in named), named
    for name, text in ORDER.items():
        do.field(name, text)
    picture(page, "d")
    assert sound(page) == {}
    do.press("close")
    do.press("close:yes")


def test_a_night_by_mouse_from_the_list_to_the_debrief(course):
    page = opened(course, "dairy_and_meat")
    do = Hand(page)
    looks_round(do, page)
    isolates(do, page)
    assert sound(page) == {}
    before = steps(course, "dairy_and_meat")
    page.reload()
    page.wait_for_selector(".hs-desk .hs-pad", timeout=OPENING)
    do.settle()
    assert steps(course, "dairy_and_meat") == before, "a reload does nothing in the store"
    assert page.locator(".hs-stop.hs-here").inner_text().startswith("Electrical panel")
    do.press("sheet:spray_pump")
    terminal = finds(do, page)
    repairs(do, page, terminal)
    restarts(do, page)
    writes(do, page, terminal)
    page.wait_for_selector(".hs-debrief iframe", timeout=OPENING)
    page.wait_for_timeout(500)
    picture(page, "e")
    text = page.frame_locator(".hs-debrief iframe").locator("body").inner_text()
    assert "Safe work" in text
    assert "No unsafe act." in text
    assert gate.RULE in " ".join(text.split())
    assert course.far == []
    page.close()

"""What hands and leads can reach on the desk, and what the drawing shows of a lifted wire, in a real browser."""

import pytest
from desk_browser import browser, picture
from desk_driver import desk_of

__all__ = ["browser"]
pytestmark = pytest.mark.browser
CALL = "walk_in_warm"


@pytest.fixture(scope="module")
def shift(browser, tmp_path_factory):
    """A call whose coil box is opened on the way, and its mouse."""
    page, session, mouse = desk_of(browser, CALL, tmp_path_factory.mktemp("reach"))
    yield page, session, mouse
    assert page.problems == []
    page.close()
    session.writer.close()


def steps(session):
    return [moment.step for moment in session.moments]


def away_from(session, place):
    """A part that a wiring sheet draws and that stands elsewhere, of every such place."""
    wiring = session.world.wiring
    found = {}
    for device in wiring.devices.values():
        if device.place != place and device.terminals:
            found.setdefault(device.place, device)
    return found


def test_a_point_out_of_reach_refuses_before_a_lead_lands_and_says_where_it_is(shift):
    page, session, mouse = shift
    for line in ("go panel", "open DOOR"):
        mouse.take(line)
    before = steps(session)
    for place, device in away_from(session, "panel").items():
        for tool in ("meter", "clamp", "insulation"):
            mouse.tool(tool)
            mouse.show(device.terminals[0])
            point = mouse.drawn(device.terminals[0]).first
            assert "hs-away" in point.get_attribute("class")
            assert point.get_attribute("aria-disabled") == "true"
            dashes = point.locator(".hs-dot").evaluate("dot => getComputedStyle(dot).strokeDasharray")
            assert dashes != "none"
            mouse.touch(device.terminals[0])
            said = page.locator(".hs-notice-refused").inner_text()
            assert device.mark in said
            assert session.world.places[place].title in said
            assert page.locator(".hs-lead, .hs-clampring").count() == 0
        mouse.tool("hands")
        mouse.touch(device.mark)
        assert session.world.places[place].title in page.locator(".hs-acts").inner_text()
        picture(page, f"away-{place}")
    assert steps(session) == before
    near = page.locator(".hs-point:not(.hs-away)").first
    assert near.get_attribute("aria-disabled") is None
    assert near.locator(".hs-dot").evaluate("dot => getComputedStyle(dot).strokeDasharray") == "none"


def test_an_opened_part_shows_its_terminals_there_until_it_is_shut(shift):
    page, session, mouse = shift
    for place, device in away_from(session, "panel").items():
        mouse.take(f"go {place}")
        mouse.show(device.mark)
        assert all(mouse.drawn(terminal).count() == 0 for terminal in device.terminals)
        mouse.take(f"open {device.mark}")
        assert all(mouse.drawn(terminal).count() == 1 for terminal in device.terminals)
        picture(page, f"opened-{place}")
        mouse.press(page.locator('[data-key^="sheet:"]').first.get_attribute("data-key"))
        mouse.show(device.mark)
        mouse.tool("hands")
        mouse.touch(device.mark)
        mouse.press("act:terminals")
        assert all(mouse.drawn(terminal).count() == 1 for terminal in device.terminals)
        mouse.take(f"volts {device.terminals[0]} PE")
        assert page.locator(".hs-tag.hs-now").count() == 1
        mouse.take(f"close {device.mark}")
        assert all(mouse.drawn(terminal).count() == 0 for terminal in device.terminals)
        assert mouse.drawn(device.mark).count() > 0, "back on the drawing of the place"


def test_a_lifted_wire_is_drawn_off_its_screw_until_it_is_landed(shift):
    page, _, mouse = shift
    for line in ("go panel", "off Q8", "lock Q8", "go floor", "open SV9", "prove-meter", "volts SV9:1 SV9:2 PE", "prove-meter"):
        mouse.take(line)
    assert page.locator(".hs-loose").count() == 0
    mouse.take("lift SV9:1")
    assert page.locator(".hs-loose").count() == 1
    bare = page.locator(".hs-loose .hs-tail").bounding_box()
    screw = mouse.drawn("SV9:1").locator(".hs-dot").bounding_box()
    assert abs(bare["y"] + bare["height"] / 2 - screw["y"] - screw["height"] / 2) + abs(bare["x"] - screw["x"]) < 40
    picture(page, "lifted")
    mouse.take("land SV9:1")
    assert page.locator(".hs-loose").count() == 0


@pytest.mark.parametrize("size", [(1366, 768), (1280, 720), (1024, 700)], ids=str)
def test_what_can_be_pressed_on_a_drawing_is_as_large_as_a_finger(browser, tmp_path, size):
    width, height = size
    page, session, mouse = desk_of(browser, "dairy_and_meat", tmp_path, width=width, height=height)
    for place in ("floor", "panel"):
        mouse.take(f"go {place}")
        boxes = page.locator(".hs-hit").evaluate_all("all => all.map(hit => hit.getBoundingClientRect().toJSON())")
        sizes = [min(box["width"], box["height"]) for box in boxes]
        assert len(sizes) > 5
        assert min(sizes) > 39.9
    page.close()
    session.writer.close()

"""The desk in a real browser, without a notebook: a shift at the panel by mouse and by keyboard, and the accessibility rules."""

import pytest
from desk_browser import browser, display, panel, point, steps

__all__ = ["browser", "panel"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_two_touches_are_a_reading_on_sheet_pad_and_meter(panel):
    page, desk = panel
    point(page, "Q5:1")
    assert steps(desk) == []
    point(page, "Q5:3")
    page.wait_for_selector(".hs-reading.hs-on")
    assert display(page) == "481.2"
    assert page.locator(".hs-tag.hs-now").text_content() == "481.2"
    assert page.locator(".hs-reading .hs-value").first.inner_text().startswith("481.2")
    assert page.locator(".hs-desk [role=status]").inner_text() == "1 to 3, 481.2 volts ac, " + desk.session.clock()
    assert "moves red" in page.locator(".hs-next").inner_text()


def test_a_lead_is_dragged_to_another_point(panel):
    page, desk = panel
    point(page, "Q5:1")
    point(page, "PE@7")
    grip = page.locator(".hs-lead-red .hs-grip").bounding_box()
    to = page.locator('[data-point="Q5:3"] .hs-dot').bounding_box()
    page.mouse.move(grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2)
    page.mouse.down()
    page.mouse.move(to["x"] + 8, to["y"] + 4, steps=6)
    page.mouse.up()
    page.wait_for_function("document.querySelectorAll('.hs-reading').length === 2")
    assert desk.session.readings[-1]["points"] == ["Q5:3", "PE"]


def test_the_keyboard_alone_takes_a_reading(panel):
    page, desk = panel
    page.keyboard.press("F6")
    for _ in range(4):
        if page.evaluate("!!document.activeElement.closest('.hs-sheet')"):
            break
        page.keyboard.press("F6")
    page.keyboard.type("F5 95")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.point") == "F5:95"
    page.keyboard.press("Enter")
    page.keyboard.type("x2")
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    page.wait_for_selector(".hs-reading")
    assert display(page) == "119.5"
    assert page.evaluate("document.activeElement.dataset.point") == "X2@7"
    page.keyboard.press("Backspace")
    assert "in your hand" in page.locator(".hs-leads").inner_text() or "moves next" in page.locator(".hs-leads").inner_text()
    assert page.locator(".hs-lead-black").count() == 0
    assert page.locator('.hs-sheet [tabindex="0"]').count() == 1
    assert len(desk.session.readings) == 1


def test_a_box_marks_every_place_of_a_part_and_offers_what_hands_can_do(panel):
    page, _ = panel
    page.locator('[data-part="K5"]').first.click(force=True)
    assert page.locator(".hs-part.hs-chosen").count() == 3
    assert page.locator(".hs-acts").inner_text().count("min") >= 6


def test_a_caution_takes_the_tray_and_stands_on_not_yet(panel):
    page, desk = panel
    page.locator('[data-part="K5"]').first.click(force=True)
    page.click("text=Lift the wire")
    page.click('[data-key="act:lift K5:1"]')
    page.wait_for_selector("[role=alertdialog]")
    assert page.evaluate("document.activeElement.textContent") == "Not yet"
    point(page, "Q5:1")
    assert page.locator("[role=alertdialog]").count() == 1, "nothing else can be touched before the choice"
    page.keyboard.press("Enter")
    assert page.locator("[role=alertdialog]").count() == 0
    assert steps(desk) == []


def test_doing_it_anyway_is_the_same_step_again(panel):
    page, desk = panel
    sent = []
    ordinary = desk.session.do
    desk.session.do = lambda line: sent.append(line) or ordinary(line)
    page.locator('[data-part="K5"]').first.click(force=True)
    page.click("text=Lift the wire")
    page.click('[data-key="act:lift K5:1"]')
    page.click("text=Do it anyway")
    page.wait_for_selector("text=Go on, made safe")
    assert sent == ["lift K5:1", "lift K5:1 anyway=yes"]


def test_a_refusal_is_a_sentence_and_no_reading(panel):
    page, desk = panel
    page.click('[data-key="mode:ohms"]')
    point(page, "K5:1")
    point(page, "K5:2")
    page.wait_for_selector(".hs-notice-refused")
    assert "Your notes do not show" in page.locator(".hs-notice").inner_text()
    assert steps(desk) == []


def test_old_readings_are_dashed_after_a_change_and_locks_are_drawn(panel):
    page, _ = panel
    point(page, "Q5:1")
    point(page, "Q5:3")
    page.wait_for_selector(".hs-tag.hs-now")
    page.locator('[data-part="Q5"]').first.click(force=True)
    page.click("text=Switch off")
    page.wait_for_selector(".hs-tag.hs-before")
    page.click("text=Hang my lock")
    page.wait_for_selector(".hs-padlock")
    assert page.locator(".hs-isoline li").count() >= 2
    page.click('[data-key="sheet:supply"]')
    page.click('[data-key="sheet:condenser_fan_power"]')
    page.wait_for_selector('[data-key="sheet:spray_pump"] .hs-icon')


def test_a_suspect_is_named_by_keyboard_and_crossed_off(panel):
    page, desk = panel
    page.click('[data-key="tab:suspects"]')
    page.click('[data-key="name"]')
    page.keyboard.type("pump")
    assert page.locator("[role=option]").count() == 4
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert page.locator("[role=combobox]").input_value() == "K5 pump contactor"
    assert page.locator('.hs-part.hs-chosen[data-part="K5"]').count() == 3
    page.click('[data-key="combo:mode:does_not_close"]')
    page.select_option('[data-key="combo:where"]', "K5:1")
    page.click('[data-key="add"]')
    page.wait_for_selector(".hs-suspects li")
    assert desk.session.suspects[0]["at"] == "K5:1"
    page.click(".hs-check")
    page.wait_for_selector(".hs-crossed")


def test_sums_and_work_order_are_kept_and_close_out_asks_once(panel):
    page, desk = panel
    page.click('[data-key="tab:sums"]')
    page.click('[data-key="q:subcooling"]')
    page.fill('[data-key="sum:subcooling"]', "3.3")
    page.keyboard.press("Enter")
    page.wait_for_selector(".hs-done")
    assert desk.session.answers["subcooling"] == {"value": "3.3", "unit": "F-difference"}
    page.fill('[data-key="order:why"]', "A lug that was never tightened")
    page.keyboard.press("Tab")
    page.wait_for_function("!document.querySelector('.hs-foot').textContent.includes('why it failed')")
    page.click('[data-key="close"]')
    assert page.evaluate("document.activeElement.textContent") == "Not yet"
    assert not desk.session.closed
    page.click('[data-key="close:yes"]')
    page.wait_for_selector('[data-key="debrief"]')
    assert desk.session.closed


def test_units_change_on_the_screen_only(panel):
    page, desk = panel
    page.click('[data-key="go:roof"]')
    page.click('[data-key="tool:gauges"]')
    page.wait_for_selector('[data-point="P1"]')
    point(page, "P1")
    page.wait_for_function("document.querySelector('.hs-gauge .hs-num').textContent.includes('303')")
    page.click('[data-key="units"]')
    assert "2089" in page.locator(".hs-gauge .hs-num").first.inner_text()
    assert desk.session.readings[-1]["shown"] == "303"


def test_a_reload_rebuilds_everything_from_the_engine(panel):
    page, _ = panel
    point(page, "Q5:1")
    point(page, "Q5:3")
    page.wait_for_selector(".hs-reading")
    page.evaluate("window.remove(); document.getElementById('host').textContent = 'x';")
    page.evaluate("""async () => {
        const code = new Blob([document.getElementById('code').textContent], { type: 'text/javascript' });
        const { default: desk } = await import(URL.createObjectURL(code));
        window.remove = desk.render({ model: window.model, el: document.getElementById('host') });
    }""")
    page.wait_for_selector(".hs-reading")
    page.click('[data-key="sheet:spray_pump"]')
    page.wait_for_selector(".hs-lead-red")
    assert page.locator(".hs-desk.hs-whole").count() == 1
    assert display(page) == "481.2"


def test_a_second_view_of_one_desk_makes_no_second_overlay(panel):
    page, _ = panel
    page.evaluate("""async () => {
        const code = new Blob([document.getElementById('code').textContent], { type: 'text/javascript' });
        window.again = (await import(URL.createObjectURL(code))).default;
        const el = document.createElement('div'); document.body.append(el);
        window.again.render({ model: window.model2 = { ...window.model }, el });
        window.again.render({ model: window.model2, el });
    }""")
    page.wait_for_timeout(400)
    assert page.locator(".hs-desk.hs-whole").count() <= 2, "one for each model"


def test_a_dead_engine_is_said_and_an_answer_clears_it(panel):
    page, _ = panel
    page.evaluate("window.heard = 0; document.addEventListener('course:run-again', () => { window.heard += 1; })")
    page.evaluate("window.fire('comm_live_update')")
    page.wait_for_selector("text=The desk has stopped answering")
    page.keyboard.press("Enter")
    assert page.evaluate("window.heard") == 1
    page.evaluate("window.model.send({kind: 'hello'})")
    page.wait_for_selector(".hs-tray")

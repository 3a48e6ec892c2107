"""The desk and the list of calls under the rules of accessibility, light and dark, high and low; targets for cold hands."""

from pathlib import Path

import pytest
from desk_browser import browser, panel, picture, point, to_panel
from desk_page import open_page

__all__ = ["browser", "panel"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("height", [768, 640])
def test_accessibility_rules_hold(browser, dark, height):
    from axe_playwright_python.sync_playwright import Axe

    page, _ = open_page(browser, dark=dark, height=height)
    name = f"{'dark' if dark else 'light'}-{height}"
    found = {}

    def check(state):
        page.wait_for_timeout(120)
        picture(page, f"{name}-{state}")
        violations = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "best-practice"]}).response["violations"]
        found.update({f"{state}: {v['id']}": [n["html"][:160] for n in v["nodes"]][:3] for v in violations})

    check("ticket")
    to_panel(page)
    point(page, "Q5:1")
    point(page, "Q5:3")
    check("panel")
    page.locator('[data-part="K5"]').first.click(force=True)
    page.click('[data-key="list:isolation"]')
    check("hands")
    page.click('[data-key="tab:suspects"]')
    page.click('[data-key="name"]')
    page.keyboard.type("pump")
    check("naming")
    page.click('[data-key="name:no"]')
    page.click('[data-key="phone"]')
    check("phone")
    page.click('[data-key="phone:close"]')
    page.click('[data-key="clock"]')
    check("wait")
    page.keyboard.press("Escape")
    page.click('[data-key="tab:sums"]')
    check("sums")
    page.click('[data-key="fold"]')
    for place in ("roof", "motor_room", "floor"):
        page.click(f'[data-key="go:{place}"]')
        page.wait_for_selector(f".hs-stop.hs-here[data-key='go:{place}']")
        check(place)
    assert found == {}
    page.close()


@pytest.mark.parametrize("height", [768, 640])
def test_targets_are_large_enough(browser, height):
    page, _ = open_page(browser, height=height)
    to_panel(page)
    page.locator('[data-part="K5"]').first.click(force=True)
    small = page.evaluate("""() => {
        const all = '.hs-desk button, .hs-desk select, .hs-desk input, .hs-part .hs-hit, .hs-point .hs-hit';
        const named = (n) => n.dataset?.key ?? n.outerHTML.slice(0, 60);
        const sizes = [...document.querySelectorAll(all)].map((n) => [named(n), n.getBoundingClientRect()]);
        const small = sizes.filter(([, r]) => r.width && (r.width < 39.9 || r.height < 39.9));
        return small.map(([k, r]) => `${k} ${r.width.toFixed(0)}x${r.height.toFixed(0)}`);
    }""")
    assert small == []
    page.close()


CALLS = [
    {
        "id": i,
        "title": t,
        "level": lv,
        "minutes": m,
        "skills": s,
        "ticket": {"says": "Alarms since about two o'clock.", "who": "Night manager", "access": "Key", "weather_says": "calm"},
        "url": f"/halfsplit/open/{i}",
        "state": st,
        "best": b,
    }
    for i, t, lv, m, s, st, b in (
        (
            "walk_in_warm",
            "Walk-in at 45 °F",
            "first",
            30,
            ["superheat", "control circuit"],
            "closed",
            {"score": 91.0, "of": 100, "passed": True, "why": ""},
        ),
        ("dairy_and_meat", "Dairy and meat are warm", "own", 75, ["pressures", "isolation", "restart"], "open", None),
        (
            "six_cases",
            "Six cases are out",
            "own",
            40,
            ["fuses", "isolation"],
            "closed",
            {"score": 82.0, "of": 100, "passed": False, "why": "safe work"},
        ),
        ("half_dark", "Half the store is dark", "hard", 45, ["supply"], "new", None),
    )
]


@pytest.mark.parametrize("dark", [False, True])
def test_the_list_of_calls(browser, dark):
    import json

    from axe_playwright_python.sync_playwright import Axe

    folder = Path(__file__).parent.parent / "course" / "desk"
    page = browser.new_page(viewport={"width": 1366, "height": 768}, color_scheme="dark" if dark else "light")

    def answer(route):
        name = route.request.url.rsplit("/", 1)[1]
        if name == "preparing":
            route.fulfill(status=200, content_type="application/json", body=json.dumps({"ready": True}))
        elif name == "calls":
            is_data = "/api/" in route.request.url
            told = json.dumps({"calls": CALLS, "gate": "", "scored": [["100", "all of it"]]})
            route.fulfill(
                status=200,
                content_type="application/json" if is_data else "text/html",
                body=told if is_data else (folder / "calls.html").read_text("utf-8"),
            )
        else:
            route.fulfill(
                status=200,
                content_type="text/css" if name.endswith("css") else "text/javascript",
                body=(folder / name).read_text("utf-8"),
            )

    page.route("**/*", answer)
    page.goto("http://halfsplit.test/halfsplit/calls")
    page.wait_for_selector("tbody tr")
    picture(page, f"calls-{'dark' if dark else 'light'}")
    assert page.locator("tbody tr button").first.inner_text() == "Dairy and meat are warm"
    assert "not passed: safe work" in page.locator("tbody").inner_text()
    assert page.locator("#go a").get_attribute("href") == "/halfsplit/open/dairy_and_meat"
    page.click("text=Under 40 min")
    assert page.locator("tbody tr").count() == 2 - 0
    page.keyboard.press("ArrowLeft")
    assert page.locator("tbody tr").count() == 4
    page.select_option("[aria-label=Skill]", "supply")
    assert page.locator("#detail h2").inner_text() == "Half the store is dark"
    violations = Axe().run(page).response["violations"]
    assert {v["id"]: v["nodes"][0]["html"] for v in violations} == {}
    page.close()

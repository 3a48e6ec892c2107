"""The course in a browser: by mouse, by keyboard, with a stopped engine and a second window, and nothing fetched from afar."""

import contextlib
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

playwright = pytest.importorskip("playwright.sync_api", reason="pip install playwright")
pytestmark = [pytest.mark.browser, pytest.mark.slow]

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
PICTURES = os.environ.get("HALFSPLIT_PICTURES")
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
LOCAL = re.compile(r"^(https?|wss?)://(127\.0\.0\.1|localhost)[:/]|^(data|blob|about):")
OPENING = 180_000
"""Longest opening of a call: the first one may compile [ms]."""


def free_port():
    """A port of this machine that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Course:
    """A running course and a browser at it."""

    def __init__(self, address, folder, chrome, pid):
        self.address, self.folder, self.chrome, self.pid = address, folder, chrome, pid
        self.base, _, self.token = address.partition("/halfsplit/calls?token=")
        self.far = []
        self.context = self.window()

    def window(self):
        """A browser of one person; what would leave the machine is stopped and noted."""
        context = self.chrome.new_context(viewport={"width": 1366, "height": 768}, color_scheme="light")
        context.set_default_timeout(20_000)

        def meet(route):
            if LOCAL.match(route.request.url):
                route.continue_()
            else:
                self.far.append(route.request.url)
                route.abort()

        context.route("**/*", meet)
        return context


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """Started by the command itself, in a folder of its own."""
    if not CHROMIUM:
        pytest.skip("needs Chromium (Debian: apt-get install chromium), or its path in CHROMIUM")
    home = tmp_path_factory.mktemp("home")
    own = {
        "HOME": home,
        "HALFSPLIT_FOLDER": home / "calls",
        "XDG_CONFIG_HOME": home / "config",
        "JUPYTER_RUNTIME_DIR": home / "run",
    }
    kept = {} if "HALFSPLIT_CACHE" in os.environ else {"HALFSPLIT_CACHE": str(home / "cache")}
    environ = {**os.environ, "HALFSPLIT_PREPARE": "0", **kept, **{name: str(path) for name, path in own.items()}}
    words = [sys.executable, "-c", "from course.cli import main; main()", "--port", str(free_port()), "--no-browser"]
    log = home / "log"
    with log.open("w") as sink, subprocess.Popen(words, stdout=sink, stderr=sink, env=environ, stdin=subprocess.DEVNULL) as process:
        try:
            found = None
            for _ in range(600):
                found = re.search(r"http://127\.0\.0\.1:\d+/halfsplit/calls\?token=\w+", log.read_text())
                if found or process.poll() is not None:
                    break
                time.sleep(0.2)
            assert found, log.read_text()
            with playwright.sync_playwright() as p:
                chrome = p.chromium.launch(executable_path=CHROMIUM, args=QUIET)
                yield Course(found[0], home / "calls", chrome, process.pid)
                chrome.close()
        finally:
            process.send_signal(signal.SIGTERM)
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(10)
            process.kill()


def picture(page, name):
    """A picture of the desk where they are wanted."""
    if PICTURES:
        page.wait_for_timeout(200)
        page.screenshot(path=str(Path(PICTURES) / f"{name}.png"))


class Hand:
    """What a person does at the desk with a mouse."""

    def __init__(self, page):
        self.page = page

    def settle(self):
        """Wait until the desk takes the next touch."""
        self.page.wait_for_selector(".hs-desk[data-busy='no']", timeout=60_000)

    def press(self, key):
        """A button by its name."""
        self.page.locator(f'[data-key="{key}"]').first.click()
        self.settle()

    def go(self, place):
        """Walk."""
        self.press(f"go:{place}")

    def tool(self, name):
        """Take a tool in hand."""
        self.press(f"tool:{name}")

    def point(self, *names):
        """Touch round points, one after another."""
        for name in names:
            self.page.locator(f'[data-point="{name}"], [data-point^="{name}@"]').first.click(force=True)
            self.settle()

    def act(self, line):
        """Choose the part of a line and do it with bare hands; an act on a wire end is found by its terminal."""
        part = line.split()[1].split(":")[0]
        self.tool("hands")
        self.page.locator(f'[data-part="{part}"]').first.click(force=True)
        self.settle()
        if ":" in line.split()[1]:
            self.point(line.split()[1])
        button = self.page.locator(f'[data-key="act:{line}"]')
        for _ in range(6):
            if button.count():
                break
            self.press("act:more")
        button.first.click()
        self.settle()

    def field(self, name, text):
        """Fill a field of the work order."""
        box = self.page.locator(f'[data-key="order:{name}"]')
        box.fill(text)
        box.dispatch_event("change")
        self.settle()

    def number(self):
        """What the instrument in hand shows."""
        return float(self.page.locator(".hs-disp .hs-num").first.inner_text().split()[0])

    def said(self):
        """What a screen reader would say."""
        return self.page.locator(".hs-desk [role=status]").inner_text()


def opened(course, call, context=None):
    """A call on the desk, from the page of calls."""
    page = (context or course.context).new_page()
    page.goto(course.address)
    page.click(f'[data-key="call:{call}"]')
    page.click("#go a")
    for last in (False, False, True):
        try:  # a kernel that was killed a moment ago may come back just as the page asks it to run: a person would reload
            page.wait_for_selector(".hs-desk .hs-pad", timeout=OPENING if last else OPENING / 4)
            break
        except playwright.TimeoutError:
            if last:
                raise
            page.reload()
    Hand(page).settle()
    return page


def sound(page):
    """Rules of accessibility that the desk breaks, serious and critical ones."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, context=".hs-desk").response["violations"]
    return {v["id"]: v["nodes"][0]["html"] for v in found if v["impact"] in ("serious", "critical")}


def steps(course, call):
    """Number of steps in the record."""
    return len((course.folder / call / "record.jsonl").read_text("utf-8").splitlines()) - 1


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


ORDER = {
    "why": "The line lug of K5 had worked loose and burnt the pole open; the pump ran on two phases and tripped F5.",
    "did": "New contactor K5, line lug re-ended and torqued, F5 set to 4.4 A.",
    "left": "All in automatic.",
    "temporary": "none",
    "food": "Product temperatures with times given to the manager; the store decides.",
    "told": "Night manager and dispatcher.",
}


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
    assert "no unsafe act" in text
    assert course.far == []
    page.close()


ROWS = ("tab", "sheet", "tool", "mode", "how", "list", "causecombo:mode")
"""Rows in which arrows lead from one to the next."""


class Keys:
    """What a person does at the desk without a mouse."""

    def __init__(self, page):
        self.page = page

    def settle(self):
        """Wait until the desk takes the next key."""
        self.page.wait_for_selector(".hs-desk[data-busy='no']", timeout=60_000)

    def at(self):
        """Name of what has the focus."""
        return self.page.evaluate("document.activeElement?.dataset?.key ?? ''")

    def reach(self, key):
        """Tab to a control; inside a row of tabs or choices, arrows."""
        group = key.rpartition(":")[0]
        for _ in range(120):
            here = self.at()
            if here == key:
                return
            inside = group in ROWS and here.rpartition(":")[0] == group
            self.page.keyboard.press("ArrowRight" if inside else "Tab")
        raise AssertionError(f"the keyboard does not reach {key}; it stands on {self.at()}")

    def press(self, key):
        """Go to a control and press Enter, unless going there was the choice."""
        self.reach(key)
        self.page.keyboard.press("Enter")
        self.settle()

    def drawing(self, *names):
        """Jump to points or boxes by their names, and touch them."""
        for name in names:
            for _ in range(8):
                if self.page.evaluate("!!document.activeElement.closest('.hs-sheet')"):
                    break
                self.page.keyboard.press("F6")
            self.page.keyboard.type(name)
            self.page.keyboard.press("Enter")
            self.page.keyboard.press("Enter")
            self.settle()

    def act(self, line, box=None):
        """Choose a box and do an act from the tray."""
        self.press("tool:hands")
        self.drawing(box or line.split()[1])
        for _ in range(6):
            if self.page.locator(f'[data-key="act:{line}"]').count():
                break
            self.press("act:more")
        self.press(f"act:{line}")

    def write(self, key, text):
        """Type into a field and leave it."""
        self.reach(key)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)
        self.page.keyboard.press("Tab")
        self.settle()


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


def kernels(pid):
    """Processes of running notebooks below a process."""
    found = []
    for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
        if "ipykernel" in Path(f"/proc/{child}/cmdline").read_text():
            found.append(int(child))
    return found


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
    begun.locator(".jp-Dialog button.jp-mod-accept").click()  # the notebook says it too, in a dialog of its own
    begun.click('[data-key="caution:no"]')
    begun.wait_for_selector(".hs-engine", state="detached", timeout=OPENING)
    Hand(begun).settle()
    assert begun.locator(".hs-stop.hs-here").inner_text().startswith("Sales floor")
    assert course.far == []

"""Sketch of the roof: the evaporative condenser with fan, coil, sprays, basin and pump."""

from course.desk.drawing.paper import Paper, path
from course.desk.drawing.sketch import Sketch


def condenser(paper: Paper) -> None:
    """Draw an evaporative condenser with two coil circuits."""
    s = Sketch(paper)
    _casing(s)
    _water(s)
    _pipes(s)
    s.part("FAN", 626, 62, "Fan", "condenser fan and its belt", (60, 0))
    s.part("M6", 626, 106, "M6", "condenser fan motor", (60, 0))
    s.link((606, 66), (522, 84))
    s.part("COIL", 496, 320, "Access door", "condenser coil, through the access door", (-96, 0), 88, "access")
    s.part("COIL", 196, 92, "Coil, nozzles", "condenser coil and spray nozzles", (0, 25), 108)
    s.link((246, 100), (300, 160))
    s.link((246, 104), (296, 210))
    s.part("FLOAT", 342, 418, "Float", "make-up float", (0, 25), 88)
    s.part("BASIN", 434, 418, "Basin", "basin and its level", (0, 25), 84)
    s.part("S5", 524, 418, "S5", "basin level switch", (0, 25), 76)
    s.link((524, 404), (524, 372))
    s.part("PUMP", 640, 418, "Pump", "spray pump", (0, 25), 72)
    s.link((640, 404), (640, 390))
    s.part("M5", 640, 330, "M5", "spray pump motor", (0, -24), 72)
    s.link((640, 344), (640, 356))
    s.point("T6", 424, 36, "air out", "right", (64, 0))
    s.point("T5", 114, 226, "air in; with a wet wick the wet bulb", "below", (0, -26))
    s.paper.home("T5.wick", 114, s.y(226) - 51, "shelf", 86.0, 22.0)
    s.paper.homes["T5"]["w"] = 86.0
    s.point("T4", 414, 374, "basin water", "right", (66, 0))
    s.follow("T1", "P1", "P2", "T2", "P3", "T3", "T4", "T5", "T6")


def _casing(s: Sketch) -> None:
    """Casing, fan stack, eliminators and feet."""
    s.stroke((258, 112), (590, 112), (590, 388), (258, 388), closed=True)
    s.stroke((326, 112), (326, 70), (522, 70), (522, 112))
    y = s.y(91)
    s.paper.line(f"M424 {y:.1f}c-30 -14 -60 -10 -76 0c20 12 50 12 76 0c30 -14 60 -10 76 0c-20 12 -50 12 -76 0v-18", "thin")
    for n in range(21):
        x, top = 268 + 15 * n, s.y(136) - 9
        s.paper.line(f"M{x} {top:.1f}l6 9l-6 9", "thin")
    for x in (344, 378):
        s.stroke((x, 62), (x, 34), kind="thin")
        s.stroke((x - 5, 42), (x, 32), (x + 5, 42), kind="thin")
    s.say(330, 44, "air out", "end")
    s.stroke((150, 226), (238, 226), kind="thin")
    s.stroke((230, 221), (238, 226), (230, 231), kind="thin")
    s.say(158, 226, "air in", shift=-8)
    for x in (282, 566):
        s.stroke((x, 388), (x, 462))
    s.ground(30, 932, 462)
    s.say(932, 462, "roof deck", "end", shift=-5)


def _water(s: Sketch) -> None:
    """Basin, float, pump, riser and sprays."""
    s.paper.patch(path(*s.at((258, 350), (590, 350), (590, 388), (258, 388))) + "z", "thin", "water")
    s.stroke((330, 462), (330, 338), (352, 338), kind="thin")
    s.paper.circle(360, s.y(348), 7)
    s.stroke((590, 378), (624, 378))
    s.paper.circle(640, s.y(374), 16)
    s.paper.line(path((632, s.y(374) + 13), (640, s.y(374) - 15), (648, s.y(374) + 13)), "thin")
    s.stroke((656, 366), (668, 366), (668, 168), (284, 168))
    for n in range(8):
        x, y = 300 + 36 * n, s.y(168)
        s.paper.line(path((x, y), (x, y + 7)) + path((x - 6, y + 15), (x, y + 7), (x + 6, y + 15)), "thin")


def _pipes(s: Sketch) -> None:
    """Hot gas in at the top, two circuits, two drains."""
    s.pipe((830, 462), (830, 200), (290, 200))
    s.pipe((290, 200), (290, 214))
    s.pipe((558, 200), (558, 214))
    for left, right, start in ((278, 414, 290), (434, 570, 558)):
        _serpentine(s, left, right, start)
    s.pipe((290, 292), (194, 292), (194, 462))
    s.pipe((558, 292), (728, 292), (728, 462))
    s.head(830, 318, "up")
    s.say(144, 462, "drain 1, to receiver", shift=24)
    s.say(728, 462, "drain 2", "middle", shift=24)
    s.say(830, 462, "hot gas", "middle", shift=24)
    s.point("T1", 830, 232, "hot gas line", "left", (48, 0))
    s.point("P1", 830, 288, "hot gas pressure", "left", (48, 0))
    s.point("P2", 194, 338, "drain 1 pressure", "right", (-50, 0))
    s.point("T2", 194, 396, "drain 1 line", "right", (-50, 0))
    s.point("P3", 728, 338, "drain 2 pressure", "left", (48, 0))
    s.point("T3", 728, 396, "drain 2 line", "left", (48, 0))


def _serpentine(s: Sketch, left: float, right: float, start: float) -> None:
    """One coil circuit: four passes joined by bends."""
    rows = [s.y(214 + 26 * n) for n in range(4)]
    r = (rows[1] - rows[0]) / 2
    near, far = (left + r, right - r) if start < 424 else (right - r, left + r)
    turn = 1 if near < far else 0
    out, back = (f"a{r:.1f} {r:.1f} 0 0 {way} 0 {2 * r:.1f}" for way in (turn, 1 - turn))
    s.paper.line(f"M{start} {rows[0]:.1f}H{far:.1f}{out}H{near:.1f}{back}H{far:.1f}{out}H{start}", "symbol")

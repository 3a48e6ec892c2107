"""Sketch of the roof: the evaporative condenser with fan, coil, sprays, basin and pump."""

from collections.abc import Sequence
from itertools import zip_longest
from typing import Any

from course.desk.drawing.paper import Paper, path
from course.desk.drawing.sketch import Sketch
from scenarios.store.model import Point, Rack, Store, Unit

MOST_FANS = 2
"""Fans that one evaporative condenser has room for on its sketch. [-]"""


def condenser(paper: Paper, store: Store, rack: Rack, fans: Sequence[Unit], whole: bool) -> dict[str, Any]:
    """Draw an evaporative condenser with two coil circuits, some of its fans, and on its first sketch all else."""
    s = Sketch(paper)
    _casing(s)
    _fans(s, rack, fans)
    if not whole:
        return {}
    _water(s, rack.pump is not None)
    mark, has = rack.condenser.part.mark, rack.condenser.has
    names = _pipes(s, store, rack)
    s.part(mark, 496, 320, "Access door", "condenser coil, through the access door", (-96, 0), 88, "access")
    s.part(mark, 196, 92, "Coil, nozzles", "condenser coil and spray nozzles", (0, 25), 108)
    s.link((246, 100), (300, 160))
    s.link((246, 104), (296, 210))
    if "float" in has:
        s.part(has["float"].mark, 342, 418, "Float", "make-up float", (0, 25), 88)
    if "basin" in has:
        s.part(has["basin"].mark, 434, 418, "Basin", "basin and its level", (0, 25), 84)
    if rack.pump:
        _pump(s, rack.pump)
    names += s.shown(points_of(store, "basin_temperature", rack.row), (414, 374, "right", (66, 0)))
    for name in s.shown(points_of(store, "air_in", rack.row), (114, 226, "below", (0, -26))):
        s.paper.home(f"{name}.wick", 114, s.y(226) - 51, "shelf", 86.0, 22.0)
        s.paper.homes[name]["w"] = 86.0
        names.append(name)
    s.follow(*names, *s.shown(points_of(store, "air_out", rack.row), (424, 36, "right", (64, 0))))
    return {}


def _fans(s: Sketch, rack: Rack, fans: Sequence[Unit]) -> None:
    """Fans with their motors, in a row right of the stack."""
    for n, fan in enumerate(fans):
        x, alone = 626.0 + 176 * n, len(rack.fans) == 1
        label = "Fan" if alone else f"Fan {rack.fans.index(fan) + 1}"
        s.part(fan.part.mark, x, 62, label, f"{fan.part.title} and its belt", (70, 0))
        s.part(fan.has["motor"].mark, x, 106, fan.has["motor"].mark, fan.has["motor"].title, (82, 0))
    if fans:
        s.link((606, 66), (522, 84))


def points_of(store: Store, role: str, row: int) -> list[Point]:
    """Points of one role and row."""
    return [point for point in store.points.values() if (point.role, point.row) == (role, row)]


def _pump(s: Sketch, pump: Unit) -> None:
    """The spray pump with its motor and the switch that guards it."""
    if "level" in pump.has:
        s.part(pump.has["level"].mark, 524, 418, pump.has["level"].mark, pump.has["level"].title, (0, 25), 76)
        s.link((524, 404), (524, 372))
    s.part(pump.part.mark, 640, 418, "Pump", pump.part.title, (0, 25), 72)
    s.link((640, 404), (640, 390))
    s.part(pump.has["motor"].mark, 640, 330, pump.has["motor"].mark, pump.has["motor"].title, (0, -24), 72)
    s.link((640, 344), (640, 356))


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


def _water(s: Sketch, pumped: bool) -> None:
    """Basin, float and sprays; pump and riser where there is one."""
    s.paper.patch(path(*s.at((258, 350), (590, 350), (590, 388), (258, 388))) + "z", "thin", "water")
    s.stroke((330, 462), (330, 338), (352, 338), kind="thin")
    s.paper.circle(360, s.y(348), 7)
    if not pumped:
        return
    s.stroke((590, 378), (624, 378))
    s.paper.circle(640, s.y(374), 16)
    s.paper.line(path((632, s.y(374) + 13), (640, s.y(374) - 15), (648, s.y(374) + 13)), "thin")
    s.stroke((656, 366), (668, 366), (668, 168), (284, 168))
    for n in range(8):
        x, y = 300 + 36 * n, s.y(168)
        s.paper.line(path((x, y), (x, y + 7)) + path((x - 6, y + 15), (x, y + 7), (x + 6, y + 15)), "thin")


def _pipes(s: Sketch, store: Store, rack: Rack) -> list[str]:
    """Hot gas in at the top, two circuits, two drains; their points as the refrigerant goes."""
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
    names = s.shown(points_of(store, "hot_gas_temperature", rack.row), (830, 232, "left", (48, 0)))
    names += s.shown(points_of(store, "hot_gas_pressure", rack.row), (830, 288, "left", (48, 0)))
    pressures = s.shown(points_of(store, "drain_pressure", rack.row), (194, 338, "right", (-50, 0)), (728, 338, "left", (48, 0)))
    warm = s.shown(points_of(store, "drain_temperature", rack.row), (194, 396, "right", (-50, 0)), (728, 396, "left", (48, 0)))
    return names + [name for pair in zip_longest(pressures, warm) for name in pair if name]


def _serpentine(s: Sketch, left: float, right: float, start: float) -> None:
    """One coil circuit: four passes joined by bends."""
    rows = [s.y(214 + 26 * n) for n in range(4)]
    r = (rows[1] - rows[0]) / 2
    near, far = (left + r, right - r) if start < 424 else (right - r, left + r)
    turn = 1 if near < far else 0
    out, back = (f"a{r:.1f} {r:.1f} 0 0 {way} 0 {2 * r:.1f}" for way in (turn, 1 - turn))
    s.paper.line(f"M{start} {rows[0]:.1f}H{far:.1f}{out}H{near:.1f}{back}H{far:.1f}{out}H{start}", "symbol")

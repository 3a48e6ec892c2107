"""Sketch of an air-cooled condenser: a coil over its whole length, fans above it, hot gas in and drain out."""

from collections.abc import Sequence
from typing import Any

from course.desk.drawing.paper import Paper, path
from course.desk.drawing.roof import points_of
from course.desk.drawing.sketch import Sketch
from scenarios.store.model import Rack, Store, Unit

LEFT, RIGHT, TOP, BOTTOM = 216.0, 760.0, 150.0, 330.0
"""The coil's casing."""
MOST_FANS = 6
"""Fans that one sketch shows. [-]"""


def condenser(paper: Paper, store: Store, rack: Rack, fans: Sequence[Unit], whole: bool) -> dict[str, Any]:
    """Draw an air-cooled condenser with some of its fans in a row, and on its first sketch coil, pipes and points."""
    s = Sketch(paper)
    mark, row = rack.condenser.part.mark, rack.row
    s.stroke((LEFT, TOP), (RIGHT, TOP), (RIGHT, BOTTOM), (LEFT, BOTTOM), closed=True)
    for n in range(1, int((RIGHT - LEFT) / 14)):
        x = LEFT + 14 * n
        s.stroke((x, TOP + 60), (x, BOTTOM - 14), kind="thin")
    s.ground(30, 932, 462)
    for x in (LEFT + 30, RIGHT - 30):
        s.stroke((x, BOTTOM), (x, 462))
    _fans(s, rack, fans)
    if not whole:
        return {}
    s.part(mark, (LEFT + RIGHT) / 2, 364, "Coil", "condenser coil", (0, 25), 108)
    s.link(((LEFT + RIGHT) / 2, 350), ((LEFT + RIGHT) / 2, BOTTOM))
    s.pipe((860, 462), (860, 230), (RIGHT, 230))
    s.pipe((LEFT, 300), (120, 300), (120, 462))
    s.head(860, 330, "up")
    s.say(860, 462, "hot gas", "middle", shift=24)
    s.say(120, 462, "drain, to receiver", "middle", shift=24)
    names = s.shown(points_of(store, "hot_gas_temperature", row), (860, 264, "left", (48, 0)))
    names += s.shown(points_of(store, "hot_gas_pressure", row), (860, 400, "left", (48, 0)))
    names += s.shown(points_of(store, "drain_pressure", row), (120, 348, "right", (-50, 0)))
    names += s.shown(points_of(store, "drain_temperature", row), (120, 406, "right", (-50, 0)))
    for name in s.shown(points_of(store, "air_in", row), (300, 420, "left", (74, 0))):
        s.paper.home(f"{name}.wick", 374, s.y(420) + 25, "shelf", 86.0, 22.0)
        s.paper.homes[name]["w"] = 86.0
        names.append(name)
    s.follow(*names, *s.shown(points_of(store, "air_out", row), (90, 60, "left", (64, 0))))
    s.stroke((90, 108), (90, 84), kind="thin")
    s.stroke((85, 94), (90, 84), (95, 94), kind="thin")
    s.say(90, 108, "air out", "middle", shift=14)
    s.say(330, 420, "air in", shift=-14)
    return {}


def _fans(s: Sketch, rack: Rack, fans: Sequence[Unit]) -> None:
    """Fans in a row, each with its motor."""
    pitch = (RIGHT - LEFT) / MOST_FANS
    for n, fan in enumerate(fans):
        x = LEFT + pitch * (n + 0.5)
        y, motor = s.y(TOP + 32), fan.has["motor"]
        s.paper.line(path((x - 34, y), (x + 34, y)) + path((x, y - 10), (x, y + 10)), "symbol")
        s.part(fan.part.mark, x, 26, f"Fan {rack.fans.index(fan) + 1}", fan.part.title, (0, 28), min(76.0, pitch - 8))
        s.part(motor.mark, x, 102, motor.mark, motor.title, (0, 28), min(76.0, pitch - 8))

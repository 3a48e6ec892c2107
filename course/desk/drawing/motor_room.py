"""Sketches of the motor room: the rack with its receiver, and the display of its controller."""

from collections.abc import Sequence
from typing import Any

from course.desk.drawing.paper import Paper, box_width, path
from course.desk.drawing.sketch import Sketch
from scenarios.parts.kind import Part
from scenarios.store.model import Point, Rack, Store, SuctionGroup, Unit

FIRST, PITCH = 140.0, 172.0
"""First compressor and distance to the next."""
DISCHARGE, SUCTION, LIQUID = 60.0, 394.0, 462.0
"""Heights of the headers and the liquid line."""
DISCHARGE_GAUGE, SUCTION_GAUGE = 124.0, 276.0
"""Heights of the dials."""
AT_ONCE = 4
"""Compressors that one sketch of a rack shows. [-]"""
LEAST_HEADER = 470.0
"""To where the suction header goes at least: its points stand on it."""
ASIDE = 30.0
"""How much further right the points of the discharge header stand: clear of the boxes of the high cut-outs below."""
HEATER_ROOM, HEATER_TAG = 70.0, 54.0
"""Widest box of a crankcase heater: between its compressor and the boxes of the one before; width of its tag [px]."""
COLUMN = 70.0
"""From a compressor to the middle of its boxes."""


def rack(
    paper: Paper, store: Store, rack: Rack, group: SuctionGroup | None, machines: Sequence[Unit], whole: bool
) -> dict[str, Any]:
    """Draw compressors between their headers; the points of their group, and on a rack's first sketch receiver and liquid line."""
    s = Sketch(paper)
    last = max(LEAST_HEADER, FIRST + PITCH * (len(machines) - 1))
    s.pipe((50, 94), (50, DISCHARGE), (690, DISCHARGE), (690, 22))
    s.pipe((50, SUCTION), (last, SUCTION))
    s.head(690, 22, "up")
    s.say(704, 36, "to the condenser")
    s.say(24, SUCTION, "suction, from the cases", shift=19)
    widest = max((box_width(unit.has["heater"].mark) for unit in machines if "heater" in unit.has), default=0.0)
    for n, unit in enumerate(machines):
        _compressor(s, unit, FIRST + PITCH * n, widest)
    first, second = FIRST + PITCH / 2 + 26, FIRST + 1.5 * PITCH + 26
    low = SUCTION_GAUGE if whole else DISCHARGE_GAUGE
    names = []
    if group is not None:
        for name in _of(store, "suction_pressure", group.row, gauges=True):
            _dial(s, name.name, low, name.title)
            s.stroke((22, low), (8, low), (8, SUCTION), (50, SUCTION), kind="thin")
        names += s.shown(_of(store, "suction_pressure", group.row), (first, SUCTION, "below left", (0, 33)))
        names += s.shown(_of(store, "suction_temperature", group.row), (second, SUCTION, "below left", (0, 33)))
    if whole:
        for name in _of(store, "discharge_pressure", rack.row, gauges=True):
            _dial(s, name.name, DISCHARGE_GAUGE, name.title)
        for role, x in (("discharge_pressure", first + ASIDE), ("discharge_temperature", second + ASIDE)):
            names += s.shown(_of(store, role, rack.row), (x, DISCHARGE, "above left", (0, -32)))
        names += _receiver(s, store, rack)
    s.follow(*names)
    return {}


def _of(store: Store, role: str, row: int, gauges: bool = False) -> list[Point]:
    """Points of one role and row; gauges are parts as well, and drawn as dials."""
    return [p for p in store.points.values() if (p.role, p.row, p.name in store.parts) == (role, row, gauges)]


def _compressor(s: Sketch, unit: Unit, x: float, widest: float) -> None:
    """One compressor with its motor, crankcase heater, cut-outs, protector and oil glass; ``widest`` of the heaters' boxes."""
    middle, r, side, has = 226.0, 32, x + COLUMN, unit.has
    y, title, paper = s.y(middle), unit.part.title, s.paper
    paper.line(path((x, s.y(DISCHARGE)), (x, y - r)) + path((x, y + r), (x, s.y(SUCTION))), "pipe")
    paper.circle(x, y, r)
    paper.line(path((x - 28, y + 15), (x - 13, y - 29)) + path((x + 28, y + 15), (x + 13, y - 29)), "thin")
    by_hand = bool(unit.settings.get("high", {}).get("manual"))
    if "high" in has:
        s.part(has["high"].mark, side, 88, has["high"].mark, f"{has['high'].title}, resets {'by hand' if by_hand else 'by itself'}")
        s.link((x, 88), (side - 20, 88))
        for k, word in enumerate(("by", "hand") if by_hand else ("auto",)):
            paper.text(side + box_width(has["high"].mark) / 2 + 4, s.y(88) + (13 * k - 2 if by_hand else 4), word)
    if "protector" in has:
        s.part(has["protector"].mark, side, 142, has["protector"].mark, has["protector"].title)
    s.part(unit.part.mark, side, 198, f"Comp {unit.part.number}", title, (0, 25))
    if "oil" in has:
        aside = min(0.0, 56.0 - widest)
        s.part(has["oil"].mark, side, 281, f"Oil {unit.part.number}", f"oil level of {title}", (aside, 25))
        s.link((x + 24, 247), (side - 22, 277))
    if "low" in has:
        s.part(has["low"].mark, side, 335, has["low"].mark, has["low"].title)
        s.link((x, 335), (side - 20, 335))
    if "heater" in has:
        _heater(s, has["heater"], x)
    at = min(x, x + 28 - box_width(has["motor"].mark) / 2)
    s.part(has["motor"].mark, at, middle, has["motor"].mark, has["motor"].title, (side - at, s.y(198) - s.y(middle) + 47))
    s.link((x + 24, 205), (side - 28, 200))


def _heater(s: Sketch, part: Part, x: float) -> None:
    """The crankcase heater, left under its compressor; its tag ends where its box does."""
    wide = box_width(part.mark)
    look = (max(0.0, wide / 2 - HEATER_TAG / 2), 25.0)
    s.part(part.mark, min(x - 36, x - 6 - wide / 2), 276, part.mark, part.title, look, HEATER_TAG, room=HEATER_ROOM)
    s.link((x - 22, 249), (x - 28, 263))


def _dial(s: Sketch, id: str, y: float, says: str) -> None:
    """Dial gauge: a face, and the box one reads."""
    s.paper.circle(50, s.y(y), 28)
    for n in range(-4, 5):
        s.paper.line(_tick(50, s.y(y), n), "thin")
    s.paper.circle(50, s.y(y), 3, fill="ink")
    s.part(id, 50, y + 46, id, says, (0, 25), 72)


def _tick(x: float, y: float, n: int) -> str:
    ticks = ((-20, 14), (-24, 5), (-23, -6), (-17, -17), (-9, -22), (0, -24), (9, -22), (17, -17), (23, -6))
    dx, dy = ticks[n + 4]
    return path((x + dx, y + dy), (x + dx * 0.8, y + dy * 0.8))


def _receiver(s: Sketch, store: Store, rack: Rack) -> list[str]:
    """Drains from the condenser, receiver, drier, glass and the liquid line; its points as the refrigerant goes."""
    s.pipe((850, 74), (850, 292))
    s.head(850, 190, "down")
    s.say(738, 68, "from the condenser")
    names = s.shown(_of(store, "receiver_pressure", rack.row), (850, 124, "left", (46, 0)))
    names += s.shown(_of(store, "receiver_drain_temperature", rack.row), (850, 240, "left", (46, 0)))
    top, bottom = s.y(292), s.y(352)
    r = (bottom - top) / 2
    s.paper.patch(
        f"M{802 + r:.1f} {top:.1f}H{944 - r:.1f}a{r:.1f} {r:.1f} 0 0 1 0 {2 * r:.1f}"
        f"H{802 + r:.1f}a{r:.1f} {r:.1f} 0 0 1 0 {-2 * r:.1f}z"
    )
    mark = rack.receiver.part.mark
    s.part(mark, 873, 322, "Receiver, level", "receiver and its level", (-42, s.y(352) - s.y(322) + 16), 120)
    s.pipe((912, 352), (912, LIQUID), (846, LIQUID))
    s.pipe((794, LIQUID), (730, LIQUID))
    s.pipe((702, LIQUID), (34, LIQUID))
    s.head(912, 420, "down")
    s.head(26, LIQUID, "left")
    s.say(64, LIQUID, "liquid, to the cases", shift=19)
    s.part(rack.part.mark, 896, 30, "Rack display", f"controller of {rack.title}", None)
    _fittings(s, rack.receiver)
    names += s.shown(_of(store, "liquid_temperature", rack.row), (574, LIQUID, "below", (0, -28)))
    return names + s.shown(_of(store, "liquid_pressure", rack.row), (494, LIQUID, "below", (0, -28)))


def _fittings(s: Sketch, receiver: Unit) -> None:
    """Sight glass and drier in the liquid line."""
    y = s.y(LIQUID)
    for x, half in ((716, 14), (820, 26)):
        s.paper.patch(path((x - half, y - 11), (x + half, y - 11), (x + half, y + 11), (x - half, y + 11)) + "z")
    s.paper.line(path((709, y - 4), (723, y - 4)) + path((709, y + 4), (723, y + 4)), "thin")
    s.paper.line(path((806, y - 11), (834, y + 11)) + path((806, y + 11), (834, y - 11)), "thin")
    for role, x, label, says in (
        ("glass", 716, "Glass", "sight glass of the liquid line"),
        ("drier", 820, "Drier", "filter drier"),
    ):
        if role in receiver.has:
            s.part(receiver.has[role].mark, x, 491, label, says, (0, s.y(LIQUID) - s.y(491) - 24))


def rack_display(paper: Paper, rack: Rack) -> dict[str, Any]:
    """Draw the frame of the controller's display; the desk writes the list into the region given back."""
    s = Sketch(paper)
    s.stroke((40, 60), (922, 60), (922, 488), (40, 488), closed=True)
    s.stroke((52, 72), (910, 72), (910, 476), (52, 476), closed=True, kind="thin")
    s.say(40, 0, f"Controller of {rack.title}: what its own sensors and relays say", kind="title", shift=30)
    paper.part(rack.part.mark, 880, s.y(60) - 26, "Read", f"controller of {rack.title}", w=70)
    frame = {"x": 64.0, "y": s.y(72) + 12, "w": 834.0, "h": s.y(476) - s.y(72) - 24}
    return {"regions": {"rack": {**frame, "part": rack.part.mark}}}

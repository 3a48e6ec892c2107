"""Sketches of the motor room: the rack with its receiver, and the display of its controller."""

from course.desk.drawing.paper import Paper, path
from course.desk.drawing.sketch import Sketch

FIRST, PITCH = 140.0, 172.0
"""First compressor and distance to the next."""
DISCHARGE, SUCTION, LIQUID = 60.0, 394.0, 462.0
"""Heights of the headers and the liquid line."""
COLUMN = 70.0
"""From a compressor to the middle of its boxes."""


def rack(paper: Paper, count: int, by_hand: dict[int, bool]) -> None:
    """Draw a rack of compressors between its headers, receiver and liquid line; ``by_hand`` tells how a cut-out resets."""
    s = Sketch(paper)
    last = FIRST + PITCH * (count - 1)
    s.pipe((50, 94), (50, DISCHARGE), (690, DISCHARGE), (690, 22))
    s.pipe((50, SUCTION), (last, SUCTION))
    s.head(690, 22, "up")
    s.say(704, 36, "hot gas, to the roof")
    s.say(24, SUCTION, "suction, from the cases", shift=19)
    for n in range(1, count + 1):
        _compressor(s, n, FIRST + PITCH * (n - 1), by_hand.get(n, False))
    _dial(s, "GD", 124, "discharge gauge of the rack")
    _dial(s, "GS", 276, "suction gauge of the rack")
    s.stroke((22, 276), (8, 276), (8, SUCTION), (50, SUCTION), kind="thin")
    first, second = FIRST + PITCH / 2 + 26, FIRST + 1.5 * PITCH + 26
    s.point("P4", first, DISCHARGE, "discharge header pressure", "above left", (0, -32))
    s.point("T7", second, DISCHARGE, "discharge header line", "above left", (0, -32))
    s.point("P5", first, SUCTION, "suction header pressure", "below left", (0, 33))
    s.point("T8", second, SUCTION, "suction header line", "below left", (0, 33))
    _receiver(s)
    s.follow("P5", "T8", "P4", "T7", "P7", "T10", "T9", "P6")


def _compressor(s: Sketch, n: int, x: float, by_hand: bool) -> None:
    """One compressor with its motor, crankcase heater, cut-outs, protector and oil glass."""
    middle, r = 226.0, 32
    y = s.y(middle)
    paper = s.paper
    paper.line(path((x, s.y(DISCHARGE)), (x, y - r)) + path((x, y + r), (x, s.y(SUCTION))), "pipe")
    s.paper.circle(x, y, r)
    s.paper.line(path((x - 28, y + 15), (x - 13, y - 29)) + path((x + 28, y + 15), (x + 13, y - 29)), "thin")
    side = x + COLUMN
    s.part(f"HP{n}", side, 88, f"HP{n}", f"high-pressure cut-out {n}, resets {'by hand' if by_hand else 'by itself'}")
    s.link((x, 88), (side - 20, 88))
    s.part(f"MP{n}", side, 142, f"MP{n}", f"motor protector {n}")
    s.part(f"COMP{n}", side, 198, f"Comp {n}", f"compressor {n}", (0, 25))
    s.part(f"OIL{n}", side, 281, f"Oil {n}", f"oil level of compressor {n}")
    s.part(f"LP{n}", side, 335, f"LP{n}", f"low-pressure cut-out {n}")
    s.part(f"E{n}", x - 36, 292, f"E{n}", f"crankcase heater {n}", wide=54)
    s.link((x - 20, 251), (x - 30, 279))
    s.part(f"M{n}", x, middle, f"M{n}", f"motor of compressor {n}", (COLUMN, s.y(198) - s.y(middle) + 47))
    s.link((x, 335), (side - 20, 335))
    s.link((x + 24, 247), (side - 22, 277))
    s.link((x + 24, 205), (side - 28, 200))
    for k, word in enumerate(("by", "hand") if by_hand else ("auto",)):
        paper.text(side + 24, s.y(88) + (13 * k - 2 if by_hand else 4), word)


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


def _receiver(s: Sketch) -> None:
    """Drains from the roof, receiver, drier, glass and the liquid line."""
    s.pipe((850, 74), (850, 292))
    s.head(850, 190, "down")
    s.say(738, 68, "drains from the roof")
    s.point("P7", 850, 124, "drain at the receiver", "left", (46, 0))
    s.point("T10", 850, 240, "drain line at the receiver", "left", (46, 0))
    top, bottom = s.y(292), s.y(352)
    r = (bottom - top) / 2
    s.paper.patch(
        f"M{802 + r:.1f} {top:.1f}H{944 - r:.1f}a{r:.1f} {r:.1f} 0 0 1 0 {2 * r:.1f}"
        f"H{802 + r:.1f}a{r:.1f} {r:.1f} 0 0 1 0 {-2 * r:.1f}z"
    )
    s.part("RECEIVER", 873, 322, "Receiver, level", "receiver and its level", (-42, s.y(352) - s.y(322) + 16), 120)
    s.pipe((912, 352), (912, LIQUID), (846, LIQUID))
    s.pipe((794, LIQUID), (730, LIQUID))
    s.pipe((702, LIQUID), (34, LIQUID))
    s.head(912, 420, "down")
    s.head(26, LIQUID, "left")
    s.say(64, LIQUID, "liquid, to the cases", shift=19)
    s.part("RACK", 896, 30, "Rack display", "controller of the rack", None)
    _fittings(s)
    s.point("P6", 494, LIQUID, "liquid line pressure", "below", (0, -28))
    s.point("T9", 574, LIQUID, "liquid line", "below", (0, -28))


def _fittings(s: Sketch) -> None:
    y = s.y(LIQUID)
    for x, half in ((716, 14), (820, 26)):
        s.paper.patch(path((x - half, y - 11), (x + half, y - 11), (x + half, y + 11), (x - half, y + 11)) + "z")
    s.paper.line(path((709, y - 4), (723, y - 4)) + path((709, y + 4), (723, y + 4)), "thin")
    s.paper.line(path((806, y - 11), (834, y + 11)) + path((806, y + 11), (834, y - 11)), "thin")
    s.part("GLASS", 716, 491, "Glass", "sight glass of the liquid line", (0, s.y(LIQUID) - s.y(491) - 24))
    s.part("DRIER", 820, 491, "Drier", "filter drier", (0, s.y(LIQUID) - s.y(491) - 24))


def rack_display(paper: Paper) -> dict[str, float]:
    """Draw the frame of the controller's display; the desk writes the list into the region given back."""
    s = Sketch(paper)
    s.stroke((40, 60), (922, 60), (922, 488), (40, 488), closed=True)
    s.stroke((52, 72), (910, 72), (910, 476), (52, 476), closed=True, kind="thin")
    s.say(40, 0, "Controller of rack A: what its own sensors and relays say", kind="title", shift=30)
    paper.part("RACK", 880, s.y(60) - 26, "Read", "controller of the rack", w=70)
    return {"x": 64.0, "y": s.y(72) + 12, "w": 834.0, "h": s.y(476) - s.y(72) - 24}

"""Sketches of the sales floor: one case and one walk-in in section, right of the list of circuits."""

from collections.abc import Mapping

from course.desk.drawing.paper import Paper, Spot, path
from course.desk.drawing.sketch import Sketch
from scenarios.store.model import Circuit, Point

Points = Mapping[str, Point]
"""Test points of one circuit, by what they show."""

LEFT = 452.0
"""The list of circuits takes the width up to here."""


VALVE_ROOM = 72.0
"""Widest box of a valve: between the liquid line and the edge of the sheet [px]."""
CASE_SPOTS: dict[str, tuple[float, float, str, Spot, str]] = {
    "air_off": (666, 118, "right", (-48, 12), "air off the coil"),
    "core": (714, 138, "left", (48, -25), "between packs, top shelf"),
    "surface": (818, 204, "left", (-12, -27), "product surface"),
    "air_return": (644, 376, "right", (-44, -28), "return air"),
    "outlet": (892, 433, "below", (-48, 38), "suction line at the outlet"),
    "pressure": (926, 470, "left", (-82, 26), "suction pressure at the outlet"),
}
"""Where the points of a case are, in the order of the air and then the refrigerant: spot, mark, tag, what it is."""
WALK_IN_SPOTS: dict[str, tuple[float, float, str, Spot, str]] = {
    "air_off": (654, 150, "right", (-46, 4), "air off the coil"),
    "core": (722, 300, "left", (46, -25), "between packs, middle shelf"),
    "surface": (798, 370, "left", (-12, -27), "product surface"),
    "air_return": (796, 178, "right", (-46, 6), "return air"),
    "outlet": (866, 392, "right", (46, 24), "suction line at the coil outlet"),
    "pressure": (890, 462, "below left", (28, 26), "suction pressure at the coil outlet"),
}
"""The same of a walk-in."""


def case(paper: Paper, circuit: Circuit, title: str, points: Points) -> None:
    """Draw an open multideck case in section."""
    s = Sketch(paper)
    me = circuit.mark
    paper.line(path((LEFT, 0), (LEFT, paper.height)), "hatch")
    _head(s, me, title)
    _cabinet(s)
    s.part(me, 566, 92, "Curtain", f"{title}, night curtain", (0, -25), 90, "front")
    s.link((602, 92), (614, 84))
    s.part(me, 566, 232, "Product", f"{title}, product and load line", (0, 25), 108, "product")
    s.stroke((602, 232), (690, 232), kind="couple")
    s.part(me, 556, 396, "Grille", f"{title}, return grille", (-6, 25), 92, "grille")
    s.part(me, 680, 470, "Fans", f"{title}, evaporator fans", (0, 25), 84, "fans")
    s.link((680, 456), (680, 438))
    s.part(me, 768, 470, "Coil", f"{title}, evaporator coil", (0, 25), 78, "frost")
    s.link((768, 456), (768, 442))
    s.part(points["display"].name, 752, 75, "Display", f"{title}, display on the case", (64, 0), 44)
    _lines(s, circuit, title, 416, 433, 816)
    _points(s, circuit, title, points, CASE_SPOTS)


def _points(
    s: Sketch, circuit: Circuit, title: str, points: Points, spots: Mapping[str, tuple[float, float, str, Spot, str]]
) -> None:
    """The test points of a section."""
    shown = [role for role in spots if role in points]
    for role in shown:
        x, y, mark, tag, says = spots[role]
        s.point(points[role], x, y, mark, tag, circuit.mark, f"{title}, {says}")
    s.follow(*(points[role].name for role in shown))


def _head(s: Sketch, me: str, title: str) -> None:
    """Title, and the home of what was seen of the whole case."""
    s.title(474, 26, 196.0, f"{title}, in section", title)
    s.paper.home(me, 800, 22, "look", 240.0, 22.0)


def _cabinet(s: Sketch) -> None:
    """Walls, shelves, goods, honeycomb, curtain of air, fan and coil."""
    s.stroke(
        (620, 418),
        (620, 396),
        (602, 396),
        (602, 452),
        (872, 452),
        (872, 62),
        (614, 62),
        (614, 86),
        (846, 86),
        (846, 396),
        (666, 396),
    )
    s.grille(651, 87, 6)
    s.grille(624, 392, 7)
    for shelf in (158.0, 224.0, 290.0):
        s.stroke((691, shelf), (846, shelf))
        s.packs(696, shelf, 5, 26, 40)
    s.packs(674, 394, 5, 30, 54)
    s.stroke((660, 136), (648, 362), kind="couple")
    s.stroke((859, 380), (859, 120), kind="thin")
    s.stroke((855, 128), (859, 120), (863, 128), kind="thin")
    s.paper.circle(680, s.y(425), 13)
    y = s.y(425)
    s.paper.line(f"M680 {y:.1f}l-9 -7M680 {y:.1f}l9 -7M680 {y:.1f}v11", "thin")
    _coil(s, 724, 816, 408, 442)


def _coil(s: Sketch, left: float, right: float, top: float, bottom: float) -> None:
    """Coil block with fins."""
    s.stroke((left, top), (right, top), (right, bottom), (left, bottom), closed=True)
    for x in range(int(left) + 10, int(right), 10):
        s.stroke((x, top), (x, bottom), kind="thin")


def _lines(s: Sketch, circuit: Circuit, title: str, liquid: float, suction: float, coil: float) -> None:
    """Liquid line with solenoid and expansion valve, suction line."""
    _liquid(s, 262, liquid, coil, (316, 382))
    s.say(892, 268, "liquid", shift=4)
    _valves(s, circuit, title, (316, 382))
    s.pipe((coil, suction), (926, suction), (926, 508))
    s.say(918, 500, "suction", "end", shift=6)


def _valves(s: Sketch, circuit: Circuit, title: str, heights: tuple[float, float]) -> None:
    """Boxes of solenoid and expansion valve beside the liquid line."""
    for role, says, y in zip(("solenoid", "valve"), ("liquid solenoid", "expansion valve"), heights, strict=True):
        if role in circuit.has:
            mark = circuit.has[role].mark
            s.part(mark, 924, y, mark, f"{title}, {says}", (1, 24), 66, room=VALVE_ROOM)


def _liquid(s: Sketch, start: float, end: float, coil: float, valves: tuple[float, float]) -> None:
    """Upright liquid line, broken where its two valves stand."""
    way = 10 if end > start else -10
    heights = [s.y(start), *(s.y(y) + part for y in valves for part in (-way, way)), s.y(end)]
    for a, b in zip(heights[:-2:2], heights[1::2], strict=False):
        s.paper.line(path((884, a), (884, b)), "pipe")
    s.paper.line(path((884, heights[-2]), (884, heights[-1]), (coil, heights[-1])), "pipe")
    for y in valves:
        s.valve(884, y)


def walk_in(paper: Paper, circuit: Circuit, title: str, points: Points) -> None:
    """Draw a walk-in room in section, its unit cooler under the ceiling."""
    s = Sketch(paper)
    me = circuit.mark
    paper.line(path((LEFT, 0), (LEFT, paper.height)), "hatch")
    _head(s, me, title)
    _room(s)
    s.part(me, 512, 300, "Door", f"{title}, door and its closer", (0, 25), 92, "front")
    s.link((536, 300), (558, 300))
    s.part(points["display"].name, 512, 170, "Display", f"{title}, display by the door", (0, 25), 52)
    s.part(me, 616, 262, "Product", f"{title}, product", (0, 25), 76, "product")
    s.link((650, 262), (668, 262))
    s.part(me, 616, 92, "Fans", f"{title}, evaporator fans", (8, 25), 84, "fans")
    s.link((638, 92), (712, 108))
    s.part(me, 676, 186, "Coil", f"{title}, evaporator coil", (0, 25), 84, "frost")
    s.link((700, 178), (742, 148))
    _walk_in_lines(s, circuit, title)
    _points(s, circuit, title, points, WALK_IN_SPOTS)


def _room(s: Sketch) -> None:
    """Insulated walls, door, shelves with goods, unit cooler."""
    s.stroke((560, 152), (560, 62), (852, 62), (852, 452), (560, 452), (560, 442))
    s.stroke((570, 152), (570, 72), (842, 72), (842, 442), (570, 442), kind="thin")
    s.stroke((558, 152), (558, 442), (572, 442), (572, 152), closed=True)
    for shelf in (250.0, 320.0, 390.0):
        s.stroke((670, shelf), (830, shelf))
        s.packs(678, shelf, 5, 27, 40)
    s.stroke((670, 226), (670, 440))
    s.stroke((830, 210), (830, 440))
    _coil(s, 742, 818, 92, 148)
    s.stroke((720, 96), (720, 144))
    s.stroke((714, 104), (714, 136), kind="thin")
    for y in (120.0, 132.0):
        s.stroke((704, y), (672, y), kind="thin")
        s.stroke((680, y - 4), (672, y), (680, y + 4), kind="thin")


def _walk_in_lines(s: Sketch, circuit: Circuit, title: str) -> None:
    """Liquid and suction lines through the wall."""
    _liquid(s, 300, 112, 818, (242, 176))
    s.pipe((818, 132), (866, 132), (866, 462), (950, 462))
    _valves(s, circuit, title, (242, 176))
    s.say(892, 298, "liquid", shift=3)
    s.say(946, 462, "suction", "end", shift=-9)

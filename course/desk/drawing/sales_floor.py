"""Sketches of the sales floor: one case and one walk-in in section, right of the list of circuits."""

from course.desk.drawing.paper import Paper, path
from course.desk.drawing.sketch import Sketch
from scenarios.store.model import Circuit

LEFT = 452.0
"""The list of circuits takes the width up to here."""


def case(paper: Paper, circuit: Circuit, title: str) -> None:
    """Draw an open multideck case in section."""
    s = Sketch(paper)
    me = circuit.mark
    paper.line(path((LEFT, 0), (LEFT, paper.height)), "hatch")
    _head(s, me, title)
    _cabinet(s)
    s.part(me, 566, 92, "Curtain", f"{title}, night curtain", (0, -25), 90, "curtain")
    s.link((602, 92), (614, 84))
    s.part(me, 566, 232, "Product", f"{title}, product and load line", (0, 25), 108, "product")
    s.stroke((602, 232), (690, 232), kind="couple")
    s.part(me, 556, 396, "Grille", f"{title}, return grille", (-6, 25), 92, "grille")
    s.part(me, 680, 470, "Fans", f"{title}, evaporator fans", (0, 25), 84, "fans")
    s.link((680, 456), (680, 438))
    s.part(me, 768, 470, "Coil", f"{title}, evaporator coil", (0, 25), 78, "coil")
    s.link((768, 456), (768, 442))
    s.part(f"{me}.D", 752, 75, "Display", f"{title}, display on the case", (64, 0), 44)
    s.point(f"{me}.A1", 666, 118, f"{title}, air off the coil", "right", (-48, 12))
    s.point(f"{me}.A2", 644, 376, f"{title}, return air", "right", (-44, -28))
    s.point(f"{me}.G1", 714, 138, f"{title}, between packs, top shelf", "left", (48, -25))
    s.point(f"{me}.G2", 818, 204, f"{title}, product surface", "left", (-12, -27))
    _lines(s, circuit, title, 416, 433, 816)
    s.follow(f"{me}.A1", f"{me}.G1", f"{me}.G2", f"{me}.A2", f"{me}.T1", f"{me}.P8")


def _head(s: Sketch, me: str, title: str) -> None:
    """Title, and the home of what was seen of the whole case."""
    s.say(474, 0, f"{title}, in section", kind="title", shift=26)
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
    """Liquid line with solenoid and expansion valve, suction line with its points."""
    me = circuit.mark
    _liquid(s, 262, liquid, coil, (316, 382))
    s.say(892, 268, "liquid", shift=4)
    _valves(s, circuit, title, (316, 382))
    s.pipe((coil, suction), (926, suction), (926, 508))
    s.point(f"{me}.T1", 892, suction, f"{title}, suction line at the outlet", "below", (-48, 38))
    s.point(f"{me}.P8", 926, 470, f"{title}, suction pressure at the outlet", "left", (-82, 26))
    s.say(918, 500, "suction", "end", shift=6)


def _valves(s: Sketch, circuit: Circuit, title: str, heights: tuple[float, float]) -> None:
    """Boxes of solenoid and expansion valve beside the liquid line."""
    for role, says, y in zip(("solenoid", "valve"), ("liquid solenoid", "expansion valve"), heights, strict=True):
        if role in circuit.has:
            mark = circuit.has[role].mark
            s.part(mark, 922, y, mark, f"{title}, {says}", (3, 24), 66)


def _liquid(s: Sketch, start: float, end: float, coil: float, valves: tuple[float, float]) -> None:
    """Upright liquid line, broken where its two valves stand."""
    way = 10 if end > start else -10
    heights = [s.y(start), *(s.y(y) + part for y in valves for part in (-way, way)), s.y(end)]
    for a, b in zip(heights[:-2:2], heights[1::2], strict=False):
        s.paper.line(path((884, a), (884, b)), "pipe")
    s.paper.line(path((884, heights[-2]), (884, heights[-1]), (coil, heights[-1])), "pipe")
    for y in valves:
        s.valve(884, y)


def walk_in(paper: Paper, circuit: Circuit, title: str) -> None:
    """Draw a walk-in room in section, its unit cooler under the ceiling."""
    s = Sketch(paper)
    me = circuit.mark
    paper.line(path((LEFT, 0), (LEFT, paper.height)), "hatch")
    _head(s, me, title)
    _room(s)
    s.part(me, 512, 300, "Door", f"{title}, door and its closer", (0, 25), 92, "door")
    s.link((536, 300), (558, 300))
    s.part(f"{me}.D", 512, 170, "Display", f"{title}, display by the door", (0, 25), 52)
    s.part(me, 616, 262, "Product", f"{title}, product", (0, 25), 76, "product")
    s.link((650, 262), (668, 262))
    s.part(me, 616, 92, "Fans", f"{title}, evaporator fans", (8, 25), 84, "fans")
    s.link((638, 92), (712, 108))
    s.part(me, 676, 186, "Coil", f"{title}, evaporator coil", (0, 25), 84, "coil")
    s.link((700, 178), (742, 148))
    s.point(f"{me}.A1", 654, 150, f"{title}, air off the coil", "right", (-46, 4))
    s.point(f"{me}.A2", 796, 178, f"{title}, return air", "right", (-46, 6))
    s.point(f"{me}.G1", 722, 300, f"{title}, between packs, middle shelf", "left", (46, -25))
    s.point(f"{me}.G2", 798, 370, f"{title}, product surface", "left", (-12, -27))
    _walk_in_lines(s, circuit, title)
    s.follow(f"{me}.A1", f"{me}.G1", f"{me}.G2", f"{me}.A2", f"{me}.T1", f"{me}.P8")


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
    me = circuit.mark
    _liquid(s, 300, 112, 818, (242, 176))
    s.pipe((818, 132), (866, 132), (866, 462), (950, 462))
    _valves(s, circuit, title, (242, 176))
    s.say(892, 298, "liquid", shift=3)
    s.say(946, 462, "suction", "end", shift=-9)
    s.point(f"{me}.T1", 866, 392, f"{title}, suction line at the coil outlet", "right", (46, 24))
    s.point(f"{me}.P8", 890, 462, f"{title}, suction pressure at the coil outlet", "below left", (28, 26))

"""The free direction of every point: where a probe's handle lies without hiding marks, boxes, other points or tags."""

import math
from typing import Any

from course.desk.drawing.paper import Box, Paper, centred, text_box

INNER, OUTER, HALF = 16.0, 72.0, 9.0
"""From where to where the handle reaches, and half its thickness."""
ANGLES = [
    55,
    70,
    40,
    125,
    110,
    140,
    85,
    95,
    25,
    155,
    -40,
    -55,
    -70,
    -125,
    -140,
    -110,
    0,
    180,
    -25,
    -155,
    -90,
    90,
    10,
    170,
    -10,
    -170,
]
"""Down and to the right first: where a right hand holds it [degrees, y down]."""
KEEP = 6
"""How many directions are handed over, best first."""
Way = tuple[float, float, Box]
"""Direction of a handle as cosine and sine, and the upright rectangle it covers around its point."""


def _way(angle: int) -> Way:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    corners = [(c * along - s * across, s * along + c * across) for along in (INNER, OUTER) for across in (-HALF, HALF)]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return c, s, (min(xs), min(ys), max(xs), max(ys))


WAYS = [_way(angle) for angle in ANGLES]


def touches(way: Way, box: Box) -> bool:
    """Whether a handle covers part of an upright rectangle given relative to its point (separating axes)."""
    c, s, hull = way
    left, top, right, bottom = box
    if hull[2] <= left or right <= hull[0] or hull[3] <= top or bottom <= hull[1]:
        return False
    x, y, w, h = (left + right) / 2, (top + bottom) / 2, (right - left) / 2, (bottom - top) / 2
    along, reach = x * c + y * s, w * abs(c) + h * abs(s)
    across, wide = y * c - x * s, w * abs(s) + h * abs(c)
    return along + reach > INNER and along - reach < OUTER and abs(across) - wide < HALF


def choose(paper: Paper) -> None:
    """Set ``handle`` (72 px, best direction) and ``handles`` (the best six) of every point."""
    things: list[tuple[Box, float, str]] = [(text_box(text), 6.0 if text.get("of") else 2.0, "") for text in paper.texts]
    things += [(centred(part), 6.0, "") for part in paper.parts]
    things += [(centred(home), 2.0, key) for key, home in paper.homes.items() if home["kind"] != "earth" or "|" in key]
    dots = [((q["x"] - 8, q["y"] - 8, q["x"] + 8, q["y"] + 8), 8.0, q["id"]) for q in paper.points]
    for point in paper.points:
        costs = _costs(point, [*things, *dots], paper.width, paper.height)
        best = sorted(range(len(WAYS)), key=lambda n: (costs[n], n))[:KEEP]
        point["handles"] = [[round(OUTER * WAYS[n][0], 1), round(OUTER * WAYS[n][1], 1)] for n in best]
        point["handle"] = point["handles"][0]


def _costs(point: dict[str, Any], things: list[tuple[Box, float, str]], width: float, height: float) -> list[float]:
    """What each way of a handle would hide; what lies outside the sheet costs most, the point's own tag twice."""
    x, y, id = point["x"], point["y"], point["id"]
    near = [
        ((box[0] - x, box[1] - y, box[2] - x, box[3] - y), weight + (2.0 if id in key.split("|") else 0.0))
        for box, weight, key in things
        if box[0] < x + 76 and box[2] > x - 76 and box[1] < y + 76 and box[3] > y - 76 and not (key == id and weight == 8.0)
    ]
    costs = []
    for way in WAYS:
        tip = (x + OUTER * way[0], y + OUTER * way[1])
        inside = 4 < tip[0] < width - 4 and 4 < tip[1] < height - 4
        costs.append((0.0 if inside else 40.0) + sum(weight for box, weight in near if touches(way, box)))
    return costs

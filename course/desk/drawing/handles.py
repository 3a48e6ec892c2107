"""The free direction of every point: where a probe's handle lies without hiding marks, boxes, other points or tags."""

import math
from typing import Any

from course.desk.drawing.paper import Box, Paper, Spot, centred, text_box

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
_AXES = {angle: (math.cos(math.radians(angle)), math.sin(math.radians(angle))) for angle in ANGLES}


def touches(spot: Spot, axis: Spot, box: Box) -> bool:
    """Whether a handle at a point, lying along an axis, covers part of an upright rectangle (separating axes)."""
    (c, s), (x, y) = axis, spot
    corners = [(x + c * along - s * across, y + s * along + c * across) for along in (INNER, OUTER) for across in (-HALF, HALF)]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    if max(xs) <= box[0] or box[2] <= min(xs) or max(ys) <= box[1] or box[3] <= min(ys):
        return False
    along = [(bx - x) * c + (by - y) * s for bx in (box[0], box[2]) for by in (box[1], box[3])]
    across = [(by - y) * c - (bx - x) * s for bx in (box[0], box[2]) for by in (box[1], box[3])]
    return max(along) > INNER and min(along) < OUTER and max(across) > -HALF and min(across) < HALF


def choose(paper: Paper) -> None:
    """Set ``handle`` (72 px, best direction) and ``handles`` (the best six) of every point."""
    things: list[tuple[Box, float, str]] = [(text_box(text), 6.0 if text.get("of") else 2.0, "") for text in paper.texts]
    things += [(centred(part), 6.0, "") for part in paper.parts]
    things += [(centred(home), 2.0, key) for key, home in paper.homes.items() if home["kind"] != "earth" or "|" in key]
    for point in paper.points:
        x, y = point["x"], point["y"]
        near = [t for t in things if t[0][0] < x + 80 and t[0][2] > x - 80 and t[0][1] < y + 80 and t[0][3] > y - 80]
        near += [
            ((q["x"] - 8, q["y"] - 8, q["x"] + 8, q["y"] + 8), 8.0, "")
            for q in paper.points
            if q is not point and abs(q["x"] - x) < 84 and abs(q["y"] - y) < 84
        ]
        scored = sorted((_cost(paper, point, near, angle), rank, angle) for rank, angle in enumerate(ANGLES))
        vectors = [[round(OUTER * _AXES[angle][0], 1), round(OUTER * _AXES[angle][1], 1)] for _, _, angle in scored[:KEEP]]
        point["handle"], point["handles"] = vectors[0], vectors


def _cost(paper: Paper, point: dict[str, Any], near: list[tuple[Box, float, str]], angle: int) -> float:
    axis = _AXES[angle]
    tip = (point["x"] + OUTER * axis[0], point["y"] + OUTER * axis[1])
    cost = 0.0 if 4 < tip[0] < paper.width - 4 and 4 < tip[1] < paper.height - 4 else 40.0
    for box, weight, key in near:
        if touches((point["x"], point["y"]), axis, box):
            cost += weight + (2.0 if point["id"] in key.split("|") else 0.0)
    return cost

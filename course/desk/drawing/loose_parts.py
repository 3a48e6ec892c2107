"""Sketch of wired parts that stand in a place by themselves: a box for each."""

from collections.abc import Sequence
from typing import Any

from course.desk.drawing.paper import Paper
from course.desk.drawing.sketch import Sketch
from scenarios.parts.kind import Part

ACROSS, DOWN = 4, 6
"""Boxes in a row, and rows. [-]"""


def boxes(paper: Paper, parts: Sequence[Part]) -> dict[str, Any]:
    """Draw a box for each part, with room for what was seen of it."""
    s = Sketch(paper)
    if len(parts) > ACROSS * DOWN:
        paper.troubles.append(f"{len(parts)} parts in one place; {ACROSS * DOWN} have room")
    for n, part in enumerate(parts[: ACROSS * DOWN]):
        x, y = 120.0 + 240.0 * (n % ACROSS), 70.0 + 76.0 * (n // ACROSS)
        s.part(part.mark, x, y, part.mark, part.title, (0, 25), 140)
        s.say(x, y, part.title, "middle", shift=-22)
    return {}

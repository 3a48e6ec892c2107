"""Sketch of what stands in a place by itself: a box for each part, a test point for each point."""

from collections.abc import Sequence
from typing import Any

from course.desk.drawing.paper import Paper, text_width
from course.desk.drawing.sketch import Sketch
from scenarios.parts.kind import Part
from scenarios.store.model import Point

ACROSS, DOWN = 4, 5
"""Boxes in a row, and rows. [-]"""
MOST = ACROSS * DOWN
"""Things on one sheet. [-]"""
WIDE = 226.0
"""Room for a title [px]."""


def boxes(paper: Paper, items: Sequence[Part | Point], title: str) -> dict[str, Any]:
    """Draw what is there, each with its title and room for what was seen or read."""
    s = Sketch(paper)
    s.say(24, 0, title, kind="title", shift=22)
    for n, item in enumerate(items):
        x, y = 120.0 + 240.0 * (n % ACROSS), 74.0 + 92.0 * (n // ACROSS)
        s.say(x, y, _cut(item.title), "middle", shift=-22)
        if isinstance(item, Part):
            s.part(item.mark, x, y, item.mark, item.title, (0, 26), 140)
        else:
            s.point(item, x, y, "right", (0, 28))
    return {}


def _cut(title: str) -> str:
    """A title that fits between its neighbours."""
    if text_width(title) <= WIDE:
        return title
    while text_width(f"{title} ...") > WIDE:
        title = title[:-1].rstrip()
    return f"{title} ..."

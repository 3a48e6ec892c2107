"""Pieces from which the hand-laid sketches are put together: pipes, points with their tags, part boxes, packs, valves, hatching."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from course.desk.drawing.paper import MOST_BOX_W, Paper, Spot, path, text_width
from scenarios.store.model import Point

DESIGN = 512.0
"""Height the templates are laid out for; shorter viewports squeeze heights, never letters."""
TAG_W, TAG_H, LOOK_W = 64.0, 22.0, 76.0
TOOLS = {"pressure": "gauge", "temperature": "thermometer"}
"""What a point of a quantity is read with."""


@dataclass
class Sketch:
    """A sheet of paper with a squeezed height and the habits of a sketch."""

    paper: Paper

    def y(self, design: float) -> float:
        """Height on this sheet of a height in the template."""
        return design * self.paper.height / DESIGN

    def at(self, *spots: Spot) -> list[Spot]:
        """Template spots on this sheet."""
        return [(x, self.y(y)) for x, y in spots]

    def pipe(self, *spots: Spot) -> None:
        """Refrigerant pipe through template spots."""
        self.paper.line(path(*self.at(*spots)), "pipe")

    def stroke(self, *spots: Spot, kind: str = "symbol", closed: bool = False) -> None:
        """Straight strokes through template spots."""
        self.paper.line(path(*self.at(*spots)) + ("z" if closed else ""), kind)

    def area(self, *spots: Spot, fill: str = "sheet", kind: str = "symbol") -> None:
        """Filled outline through template spots."""
        self.paper.patch(path(*self.at(*spots)) + "z", kind, fill)

    def head(self, x: float, y: float, way: str) -> None:
        """Flow arrow on a pipe, tip at a template spot; way is up, down, left or right."""
        dx, dy = {"up": (0, -1), "down": (0, 1), "left": (-1, 0), "right": (1, 0)}[way]
        y = self.y(y)
        a, b = (x - 12 * dx + 7 * dy, y - 12 * dy + 7 * dx), (x - 12 * dx - 7 * dy, y - 12 * dy - 7 * dx)
        self.paper.patch(path((x, y), a, b) + "z", "thin", "ink")

    def say(self, x: float, y: float, text: str, anchor: str = "start", kind: str = "small", shift: float = 0.0) -> None:
        """Words at a template spot, shifted down by unsqueezed pixels."""
        self.paper.text(x, self.y(y) + shift, text, anchor, kind)

    def point(self, point: Point, x: float, y: float, mark: str, tag: Spot, of: str = "", says: str = "") -> None:
        """Test point at a template spot.

        ``mark`` says where its letters stand, ``tag`` is the offset of its tag; ``of`` is the mark of what it belongs to, which is
        not written again.
        """
        y, id = self.y(y), point.name
        name = id.removeprefix(f"{of}.") if of else id
        tool = TOOLS[point.quantity]
        self.paper.point(id, x, y, f"{name}, {says or point.title}", of or id, tool=tool, family="plant", short=name)
        dx, dy, anchor = {
            "left": (-11, 4, "end"),
            "right": (11, 4, "start"),
            "above": (0, -12, "middle"),
            "below": (0, 21, "middle"),
            "above left": (-10, -7, "end"),
            "below left": (-10, 18, "end"),
        }[mark]
        self.paper.text(x + dx, y + dy, name, anchor, "mark", of=id)
        beside = mark in ("left", "right") and abs(tag[1]) < TAG_H
        clear = 14 + text_width(name, 13, True) + TAG_W / 2 if beside and (tag[0] > 0) == (mark == "right") else 0.0
        self.paper.home(id, x + (max(tag[0], clear) if tag[0] > 0 else min(tag[0], -clear)), y + tag[1], "shelf", TAG_W, TAG_H)

    def shown(self, points: Iterable[Point], *spots: tuple[float, float, str, Spot]) -> list[str]:
        """Test points of one role at the spots there are for them; their names."""
        placed = list(zip(points, spots, strict=False))
        for point, (x, y, mark, tag) in placed:
            self.point(point, x, y, mark, tag)
        return [point.name for point, _ in placed]

    def part(
        self,
        id: str,
        x: float,
        y: float,
        label: str,
        says: str,
        look: Spot | None = (0.0, 25.0),
        wide: float = LOOK_W,
        aspect: str = "",
        room: float = MOST_BOX_W,
    ) -> None:
        """Part box at a template spot; ``look`` is the offset of what was seen there, an aspect tells boxes of one part apart."""
        key = f"{id}.{aspect}" if aspect else id
        y = self.y(y)
        self.paper.part(id, x, y, label, says, key=key, aspect=aspect, room=room)
        if look is not None:
            self.paper.home(key, x + look[0], y + look[1], "look", wide, 20.0)

    def title(self, x: float, y: float, room: float, *choices: str) -> None:
        """The first of some titles that fits into a width; the last one is cut where none does."""
        fits = [words for words in choices if text_width(words, 13, True) <= room]
        words = fits[0] if fits else choices[-1]
        while not fits and text_width(f"{words} ...", 13, True) > room:
            words = words[:-1].rstrip()
        self.say(x, 0, words if fits else f"{words} ...", kind="title", shift=y)

    def link(self, *spots: Spot) -> None:
        """Thin line from a part box to what it means."""
        self.stroke(*spots, kind="thin")

    def valve(self, x: float, y: float) -> None:
        """Valve in an upright pipe."""
        y = self.y(y)
        self.paper.patch(path((x - 8, y - 10), (x + 8, y - 10), (x - 8, y + 10), (x + 8, y + 10)) + "z")

    def packs(self, left: float, y: float, count: int, wide: float, high: float) -> None:
        """Goods standing on a shelf whose height is given."""
        for n in range(count):
            x = left + n * (wide + 3)
            self.area((x, y - high), (x + wide, y - high), (x + wide, y), (x, y), fill="pack", kind="thin")

    def grille(self, x: float, y: float, count: int, step: float = 6.0) -> None:
        """Short bars: honeycomb or grille."""
        for n in range(count):
            self.stroke((x + n * step, y), (x + n * step, y + 8), kind="thin")

    def ground(self, left: float, right: float, y: float) -> None:
        """Ground line with hatching below."""
        self.stroke((left, y), (right, y))
        for n in range(int((right - left) // 22)):
            x = left + 12 + 22 * n
            self.paper.line(path((x, self.y(y) + 1), (x - 6, self.y(y) + 8)), "hatch")

    def follow(self, *ids: str) -> None:
        """Make points neighbours in this order, as the refrigerant or the air goes."""
        at = {point["id"]: point for point in self.paper.points}
        for a, b in pairwise(ids):
            at[a]["next"].append(b)
            at[b]["next"].append(a)

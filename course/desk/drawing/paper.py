"""A sheet of paper: collects lines, texts, points, part boxes and homes for tags, and hands them over as plain data.

All lengths are CSS pixels at 1:1, x to the right, y down. Nothing here knows what a contactor is.
"""

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

Spot = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

FONT = 12.0
"""Size of small text and terminal marks."""
BOX_H, BOX_W = 28.0, 40.0
"""Least part box drawn; to the finger it is 40 x 40."""
MOST_BOX_W = 82.0
"""Widest box of a mark: about eight letters."""
TAG_W, TAG_H = 44.0, 20.0
"""Tag of one reading."""

_WIDTHS = {
    222: "ijl'|",
    278: " .,:;/!tfI()[]",
    333: "-r",
    500: "ckvxyzsJ",
    556: "0123456789abdeghnopquL·_",
    611: "FTZ",
    667: "ABEKPSVXY&",
    722: "CDHNRUw",
    778: "GOQ",
    833: "mM",
    944: "W%",
    584: "+<>=~°",
}
"""Advance of common sans-serif capitals and lower case in thousandths of the size (the usual grotesque metrics, from memory)."""
_ADVANCE = {letter: width for width, letters in _WIDTHS.items() for letter in letters}


def text_width(text: str, size: float = FONT, bold: bool = False) -> float:
    """Width of a text [px], for a common sans-serif; 8 % is left for other fonts."""
    return sum(_ADVANCE.get(letter, 650) for letter in text) * size / 1000.0 * (1.15 if bold else 1.08)


def box_width(label: str, least: float = BOX_W) -> float:
    """Width of a part box with a label in it [px].

    >>> round(box_width("K5"))
    40
    """
    return max(least, text_width(label, 13, True) + 12)


def bold(kind: str) -> bool:
    """Whether texts of this kind are drawn bold."""
    return kind in ("mark", "title")


def text_box(text: dict[str, Any]) -> Box:
    """Rectangle that a text covers."""
    size = SIZES[text["kind"]]
    width = text_width(text["t"], size, bold(text["kind"]))
    left = text["x"] - {"start": 0.0, "middle": width / 2, "end": width}[text["anchor"]]
    return left, text["y"] - 0.74 * size, left + width, text["y"] + 0.1 * size


def centred(item: dict[str, Any]) -> Box:
    """Rectangle of a part box or a home, whose x, y is the middle."""
    return item["x"] - item["w"] / 2, item["y"] - item["h"] / 2, item["x"] + item["w"] / 2, item["y"] + item["h"] / 2


SIZES = {"mark": 13.0, "small": 12.0, "title": 13.0, "terminal": 12.0, "crossed": 12.0, "symbol": 12.0}
"""Size of each kind of text. ``crossed`` is the line number of a normally closed contact (underlined)."""


def path(*spots: Spot) -> str:
    """SVG path through straight pieces, absolute and with one decimal."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in spots)


@dataclass
class Paper:
    """One sheet in the making."""

    width: float
    height: float
    lines: list[dict[str, Any]] = field(default_factory=list)
    shapes: list[dict[str, Any]] = field(default_factory=list)
    texts: list[dict[str, Any]] = field(default_factory=list)
    points: list[dict[str, Any]] = field(default_factory=list)
    parts: list[dict[str, Any]] = field(default_factory=list)
    homes: dict[str, dict[str, Any]] = field(default_factory=dict)
    troubles: list[str] = field(default_factory=list)
    """Sentences about what does not fit; a sheet with troubles is never handed over."""

    def line(self, d: str, kind: str = "thin", box: Box | None = None, **more: Any) -> None:
        """Draw a path. A symbol says which rectangle it covers (``box``) and whose it is (``part``)."""
        self.lines.append({"d": d, "kind": kind, **({"box": _round(box)} if box else {}), **more})

    def wire(self, start: str, end: str, *spots: Spot, name: str = "") -> None:
        """Draw a wire of the list between two points, through corners."""
        self.lines.append({"d": path(*spots), "kind": "wire", "from": start, "to": end, "name": name})

    def dot(self, x: float, y: float) -> None:
        """Mark a junction of wires."""
        self.shapes.append({"kind": "dot", "x": round(x, 1), "y": round(y, 1), "r": 2.6, "fill": "ink"})

    def circle(self, x: float, y: float, r: float, kind: str = "symbol", fill: str = "sheet", **more: Any) -> None:
        """Draw a circle."""
        self.shapes.append({"kind": kind, "x": round(x, 1), "y": round(y, 1), "r": r, "fill": fill, **more})

    def patch(self, d: str, kind: str = "symbol", fill: str = "sheet", box: Box | None = None, **more: Any) -> None:
        """Draw a closed, filled path."""
        self.shapes.append({"kind": kind, "d": d, "fill": fill, **({"box": _round(box)} if box else {}), **more})

    def text(self, x: float, y: float, t: str, anchor: str = "start", kind: str = "small", of: str | None = None) -> None:
        """Write a text; a terminal mark says whose it is (``of``)."""
        self.texts.append(
            {"x": round(x, 1), "y": round(y, 1), "t": t, "anchor": anchor, "kind": kind, **({"of": of} if of else {})}
        )

    def point(
        self, id: str, x: float, y: float, says: str, part: str, tool: str = "meter", node: str | None = None, **more: Any
    ) -> str:
        """Place a test point; a rail met again gets its own id (``X1@2``) and points back to its node."""
        node = node or id.split("@")[0]
        self.points.append(
            {
                "id": id,
                "x": round(x, 1),
                "y": round(y, 1),
                "says": says,
                "part": part,
                "row": round(y, 1),
                "next": [],
                "handle": [0, 0],
                "tool": tool,
                "node": node,
                "short": node.removeprefix(f"{part}:"),
                **more,
            }
        )
        return id

    def part(
        self,
        id: str,
        x: float,
        y: float,
        label: str = "",
        says: str = "",
        w: float = 0.0,
        h: float = BOX_H,
        room: float = MOST_BOX_W,
        **more: Any,
    ) -> float:
        """Place a part box with its middle at x, y; give back its width. A mark wider than the ``room`` there is a trouble."""
        label = label or id
        width = max(BOX_W, w or box_width(label))
        if not w and width > room and label == id:
            self.troubles.append(f"mark {id} is {width:.0f} px wide, {room:.0f} have room; give it a shorter one")
        self.parts.append(
            {
                "id": id,
                "key": id,
                "x": round(x, 1),
                "y": round(y, 1),
                "w": round(width, 1),
                "h": h,
                "label": label,
                "says": says,
                "terminals": [],
                "at": [],
                **more,
            }
        )
        return width

    def free(self, box: Box) -> bool:
        """Whether a rectangle meets no straight line, word or box drawn so far."""
        things = [piece for line in self.lines if line["kind"] in ("wire", "rail") for piece in _pieces(line["d"])]
        things += [text_box(text) for text in self.texts] + [centred(item) for item in (*self.parts, *self.homes.values())]
        return not any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in things)

    def home(self, key: str, x: float, y: float, kind: str, w: float = TAG_W, h: float = TAG_H, **more: Any) -> None:
        """Give the tag of a point, a pair (``a|b``) or a part its place; x, y is the middle."""
        self.homes[key] = {"x": round(x, 1), "y": round(y, 1), "w": w, "h": h, "kind": kind, **more}

    def zones(self, columns: int = 6, rows: str = "ABCD") -> dict[str, list[dict[str, Any]]]:
        """Names and middles of the zones along the edges."""
        wide, high = (self.width - 18) / columns, (self.height - 16) / len(rows)
        return {
            "cols": [{"t": str(k + 1), "x": round(18 + wide * (k + 0.5), 1)} for k in range(columns)],
            "rows": [{"t": letter, "y": round(16 + high * (k + 0.5), 1)} for k, letter in enumerate(rows)],
        }


def _pieces(d: str) -> list[Box]:
    """Straight pieces of a path that was made by :func:`path`."""
    found: list[Box] = []
    for part in d.split("M")[1:]:
        spots = [tuple(map(float, spot.split())) for spot in part.split("L")]
        found += [(min(xa, xb), min(ya, yb), max(xa, xb), max(ya, yb)) for (xa, ya), (xb, yb) in pairwise(spots)]
    return found


def pair(a: str, b: str) -> str:
    """Key of the home of a reading between two terminals, in the order of the alphabet."""
    return f"{min(a, b)}|{max(a, b)}"


def _round(box: Box) -> list[float]:
    return [round(value, 1) for value in box]

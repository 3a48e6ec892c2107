"""NEMA symbols, drawn at rest: no coil energised, no pressure, basin empty, selectors off.

Horizontal symbols belong to rungs, vertical ones to power columns. A symbol draws its own leads up to the two points it stands
between, so nothing has to be blanked out. Shapes from memory of NEMA ICS 19 / ANSI Y32.2; a technician should look at them.
"""

from dataclasses import dataclass

from course.desk.drawing.paper import SIZES, Box, Paper, Spot, bold, path, text_width


@dataclass(frozen=True)
class Glyph:
    """A symbol around its middle: relative path, half the gap it leaves in the wire, and the rectangle it covers."""

    strokes: str
    gap: float
    box: Box
    thin: str = ""
    letter: str = ""


def ring(r: float) -> str:
    """Circle around the pen, pen back in the middle."""
    return f"m{-r:g} 0a{r:g} {r:g} 0 1 0 {2 * r:g} 0a{r:g} {r:g} 0 1 0 {-2 * r:g} 0m{r:g} 0"


_FIXED = f"m-12 0{ring(2.5)}m24 0{ring(2.5)}m-12 0"
_ARM_OPEN = _FIXED + "m-10 1.5l22 8.5m-12 -10"
_ARM_SHUT = _FIXED + "m-10.500 -2l25.500 -1.500m-15 3.500"
_DOWN = (-15.0, -5.0, 15.0, 21.0)

CONTROL: dict[str, Glyph] = {
    "no": Glyph("m-5 -11v22m10 -22v22", 5, (-6, -11, 6, 11)),
    "nc": Glyph("m-5 -11v22m10 -22v22m-15 0l20 -22", 5, (-11, -11, 11, 11)),
    "fuse": Glyph("m-14 -6h28v12h-28z", 14, (-15, -7, 15, 7), thin="m-14 0h28"),
    "coil": Glyph(ring(13), 13, (-14, -14, 14, 14)),
    "lamp": Glyph(ring(11), 11, (-13, -13, 13, 13), thin="m-8 -8l-4 -4m20 4l4 -4m-20 20l-4 4m20 -4l4 4"),
    "hours": Glyph("m-13 -11h26v22h-26z", 13, (-14, -12, 14, 12), letter="h"),
    "element": Glyph("m-15 -7h30v14h-30z", 15, (-16, -8, 16, 8), thin="m-7.500 -7v14m7.500 -14v14m7.500 -14v14"),
    "input": Glyph("m-13 -11h26v22h-26z", 13, (-14, -12, 14, 12), thin="m-5 -6v12l11 -6z"),
    "pressure no": Glyph(_ARM_OPEN, 14.5, _DOWN, thin="m1 6v6.500m-7 6.500a7 6.500 0 0 1 14 0z"),
    "pressure nc": Glyph(_ARM_SHUT, 14.5, _DOWN, thin="m1 -2.500v15m-7 6.500a7 6.500 0 0 1 14 0z"),
    "float no": Glyph(_ARM_OPEN, 14.5, _DOWN, thin=f"m1 6v6m0 3.500{ring(3.5)}"),
    "float nc": Glyph(_ARM_SHUT, 14.5, _DOWN, thin=f"m1 -2.500v14.500m0 3.500{ring(3.5)}"),
    "timed no": Glyph(_ARM_OPEN, 14.5, _DOWN, thin="m1 6v12m-4 -2l4 -4l4 4"),
    "timed nc": Glyph(_ARM_SHUT, 14.5, _DOWN, thin="m1 -2.500v19m-4 -4l4 4l4 -4"),
    "selector": Glyph(_FIXED + "m-12 -7h24m-12 7", 14.5, (-15, -18, 15, 4), thin="m0 -7v-7m-7 -3l14 6"),
    "solenoid": Glyph("m-13 0l4 -9l6 18l6 -18l6 18l4 -9", 13, (-14, -10, 14, 10)),
}
"""Symbols of rungs by name."""


OWN = 12.0
"""Half the width of a symbol that a kind of part brings itself, as strokes around its middle."""


def in_rung(paper: Paper, name: str, x: float, y: float, half: float, part: str) -> None:
    """Draw a control symbol, or a kind's own strokes, between the points at ``x - half`` and ``x + half``."""
    glyph = CONTROL.get(name) or Glyph(name, OWN, (-OWN - 2, -OWN - 2, OWN + 2, OWN + 2))
    start = f"M{x:.1f} {y:.1f}"
    for side in (-1, 1):
        paper.line(path((x + side * half, y), (x + side * glyph.gap, y)), "wire", lead=True)
    box = (x + glyph.box[0], y + glyph.box[1], x + glyph.box[2], y + glyph.box[3])
    paper.line(start + glyph.strokes, "symbol", box, part=part)
    if glyph.thin:
        paper.line(start + glyph.thin, "thin")
    if glyph.letter:
        paper.text(x, y + 4, glyph.letter, "middle", "symbol")


def in_column(paper: Paper, name: str, x: float, top: float, bottom: float, part: str) -> None:
    """Draw one pole of a power symbol between the points at ``top`` and ``bottom``."""
    y = (top + bottom) / 2
    half, strokes, box = {
        "breaker": (13.5, f"m0 -11{ring(2.5)}m0 22{ring(2.5)}m3 2.500c14 -6 14 -21 0 -27", (-3, -14, 14, 14)),
        "contactor": (6.0, "m-12 -6h24m-24 12h24", (-13, -7, 13, 7)),
        "heater": (12.0, "m0 -12a6 6 0 1 1 0 12a6 6 0 1 0 0 12", (-7, -13, 7, 13)),
        "fuse": (13.0, "m-6 -13h12v26h-12z", (-7, -14, 7, 14)),
    }[name]
    paper.line(path((x, top), (x, y - half)), "wire", lead=True)
    paper.line(path((x, y + half), (x, bottom)), "wire", lead=True)
    paper.line(f"M{x:.1f} {y:.1f}{strokes}", "symbol", (x + box[0], y + box[1], x + box[2], y + box[3]), part=part)
    if name == "fuse":
        paper.line(path((x, y - half), (x, y + half)), "thin")


def drive(paper: Paper, poles: list[float], top: float, bottom: float, part: str) -> None:
    """Draw a frequency converter across its poles; it covers its own terminal marks."""
    left, right, upper, lower = poles[0] - 21, poles[-1] + 12, top + 10, bottom - 10
    middle, y = (poles[0] + poles[-1]) / 2, (top + bottom) / 2
    for x in poles:
        paper.line(path((x, top), (x, upper)), "wire", lead=True)
        paper.line(path((x, lower), (x, bottom)), "wire", lead=True)
    paper.line(
        path((left, upper), (right, upper), (right, lower), (left, lower)) + "z",
        "symbol",
        (left, upper, right, lower),
        part=part,
        holds=True,
    )
    paper.text(middle - 20, y + 4, "3~", "middle", "symbol")
    paper.line(f"M{middle - 9:.1f} {y:.1f}h16m-5 -4l5 4l-5 4", "thin")
    paper.text(middle + 20, y + 4, "3~", "middle", "symbol")


def transformer(paper: Paper, poles: list[float], top: float, bottom: float, part: str) -> None:
    """Draw two windings and a core between the rows of primary and secondary terminals."""
    left, right, y = poles[0], poles[-1], (top + bottom) / 2
    r = (right - left) / 8
    for x in (left, right):
        paper.line(path((x, top), (x, y - 12)), "wire", lead=True)
        paper.line(path((x, y + 12), (x, bottom)), "wire", lead=True)
    upper = f"M{left:.1f} {y - 12:.1f}" + f"a{r:.2f} 7 0 0 0 {2 * r:.2f} 0" * 4
    lower = f"M{left:.1f} {y + 12:.1f}" + f"a{r:.2f} 7 0 0 1 {2 * r:.2f} 0" * 4
    paper.line(upper + lower, "symbol", (left, y - 13, right, y + 13), part=part)
    paper.line(path((left, y - 1.5), (right, y - 1.5)) + path((left, y + 1.5), (right, y + 1.5)), "thin")


def motor(paper: Paper, poles: list[float], row: float, r: float, part: str) -> float:
    """Draw a three-phase motor under its terminals; give back the height of its middle. A mark too long for it is on its box."""
    middle, y = poles[1], row + 12 + r
    for x in poles:
        side = (x > middle) - (x < middle)
        reach = 0.75 * r * side
        paper.line(path((x, row), (x, row + 8), (middle + reach, y - r * (0.66 if side else 1.0))), "wire", lead=True)
    paper.circle(middle, y, r, part=part, holds=True, box=[middle - r, y - r, middle + r, y + r])
    fits = text_width(part, SIZES["mark"], bold("mark")) <= 2 * r - 2
    paper.text(middle, y + 1, part if fits else "M", "middle", "mark")
    paper.text(middle, y + 16, "3~", "middle", "symbol")
    return y


def source(paper: Paper, x: float, row: float) -> None:
    """Draw where the supply comes in from above."""
    paper.line(path((x, row - 38), (x, row)), "wire", lead=True)
    paper.line(f"M{x - 6:.1f} {row - 20:.1f}l6 -8l6 8", "thin")


def earth(paper: Paper, x: float, y: float) -> None:
    """Draw the earth sign hanging at x, y."""
    paper.line(f"M{x:.1f} {y:.1f}v8m-11 0h22m-18 5h14m-10 5h6", "thin")


def arrow(paper: Paper, tip: Spot, down: bool = True) -> None:
    """Draw an arrow head where a line leaves the sheet."""
    x, y = tip
    dy = -7 if down else 7
    paper.line(f"M{x - 4:.1f} {y + dy:.1f}L{x:.1f} {y:.1f}L{x + 4:.1f} {y + dy:.1f}", "thin")

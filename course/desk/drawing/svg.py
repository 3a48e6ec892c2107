"""A plain SVG of a sheet: for saved pages, tests and looking. The desk has its own renderer.

Order of drawing, the same in both: shapes, lines, texts, part boxes, points, tags.
"""

from html import escape
from typing import Any

from course.desk.drawing.paper import SIZES, bold

INK, SECOND, SHEET, EDGE, HAIR = "#172024", "#4B585E", "#FCFDFB", "#738287", "#D2D8D5"
FILLS = {"sheet": SHEET, "ink": INK, "none": "none", "water": "#C9DCDD", "pack": "#FAF8F0", "white": "#FFFFFF"}
STYLE = f"""
text {{ font: 12px "Segoe UI", "Helvetica Neue", Arial, "Liberation Sans", sans-serif; fill: {SECOND} }}
text {{ font-variant-numeric: tabular-nums }}
.mark, .title, .symbol-text {{ fill: {INK}; font-weight: 600 }} .crossed {{ text-decoration: underline }}
path, circle, rect {{ fill: none; stroke: #2A363B; stroke-width: 1.5 }}
.symbol {{ stroke-width: 2 }} .thin {{ stroke-width: 1.25 }} .pipe {{ stroke-width: 4 }} .rail, .wire {{ stroke-width: 1.5 }}
.dash {{ stroke-width: 1.25; stroke-dasharray: 7 3 }}
.couple {{ stroke-width: 1; stroke-dasharray: 3 4 }} .hatch {{ stroke: {EDGE}; stroke-width: 1 }}
.dot {{ stroke: none }} .point {{ fill: {SHEET}; stroke-width: 1.75 }} .part {{ fill: {SHEET}; stroke-width: 1.25 }}
.home {{ fill: #fff; stroke: {EDGE}; stroke-width: 1 }} .hair {{ stroke: {HAIR}; stroke-width: 1 }}
.handle {{ stroke: #B42318; stroke-width: 9; opacity: .25 }}
"""


def render(sheet: dict[str, Any], homes: bool = False, handles: bool = False) -> str:
    """SVG text of a sheet; ``homes`` also draws every tag home, ``handles`` every probe direction."""
    width, height = sheet["width"], sheet["height"]
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" viewBox="0 0 {width:g} {height:g}">',
        f"<title>{escape(sheet['title'])}</title><style>{STYLE}</style>",
        f'<rect width="{width:g}" height="{height:g}" style="fill:{SHEET};stroke:none"/>',
    ]
    out += [_text(zone["x"], 12, zone["t"], "middle", "small") for zone in sheet["zones"].get("cols", [])]
    out += [_text(9, zone["y"], zone["t"], "middle", "small") for zone in sheet["zones"].get("rows", [])]
    out += [_shape(shape) for shape in sheet["shapes"]]
    out += [_path(line) for line in sheet["lines"]]
    out += [_text(text["x"], text["y"], text["t"], text["anchor"], text["kind"]) for text in sheet["texts"]]
    out += [_part(part) for part in sheet["parts"]]
    out += [
        f'<circle class="point" cx="{p["x"]}" cy="{p["y"]}" r="6"><title>{escape(p["says"])}</title></circle>'
        for p in sheet["points"]
    ]
    if homes:
        out += [_home(key, home) for key, home in sheet["homes"].items()]
    if handles:
        out += [f'<path class="handle" d="M{p["x"]} {p["y"]}l{p["handle"][0]} {p["handle"][1]}"/>' for p in sheet["points"]]
    return "\n".join([*out, "</svg>\n"])


def _text(x: float, y: float, t: str, anchor: str, kind: str) -> str:
    weight = ' font-weight="600"' if bold(kind) else ""
    place = f'x="{x}" y="{y}" text-anchor="{anchor}"'
    return f'<text class="{kind}" {place}{weight} style="font-size:{SIZES[kind]:g}px">{escape(t)}</text>'


def _path(line: dict[str, Any]) -> str:
    return f'<path class="{line["kind"]}" d="{line["d"]}"/>'


def _shape(shape: dict[str, Any]) -> str:
    fill = FILLS[shape.get("fill", "none")]
    if "d" in shape:
        return f'<path class="{shape["kind"]}" d="{shape["d"]}" style="fill:{fill}"/>'
    return f'<circle class="{shape["kind"]}" cx="{shape["x"]}" cy="{shape["y"]}" r="{shape["r"]}" style="fill:{fill}"/>'


def _part(part: dict[str, Any]) -> str:
    left, top = part["x"] - part["w"] / 2, part["y"] - part["h"] / 2
    box = f'<rect class="part" x="{left:.1f}" y="{top:.1f}" width="{part["w"]}" height="{part["h"]}" rx="2"/>'
    return box + _text(part["x"], part["y"] + 4.5, part["label"], "middle", "mark")


def _home(key: str, home: dict[str, Any]) -> str:
    left, top = home["x"] - home["w"] / 2, home["y"] - home["h"] / 2
    lead = f'<path class="home" d="{home["lead"]}" style="fill:none"/>' if home.get("lead") else ""
    box = f'<rect class="home" x="{left:.1f}" y="{top:.1f}" width="{home["w"]}" height="{home["h"]}" rx="2"/>'
    label = "277.9" if home["kind"] == "earth" else "480.6" if "|" in key else "119.5"
    shown = _text(
        home["x"] + (home["w"] / 2 - 4 if home["kind"] == "earth" else 0),
        home["y"] + 4.5,
        home.get("sample", label),
        "end" if home["kind"] == "earth" else "middle",
        "symbol",
    )
    mark = _text(left + 4, home["y"] + 4.5, home["label"], "start", "small") if home["kind"] == "earth" else ""
    return lead + box + shown + mark

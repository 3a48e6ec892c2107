"""The small drawing of a part whose cover is off: its terminals where it stands, the wires that leave it, and earth.

A wiring sheet is read at the place where it hangs; a coil box, a motor's box or a cut-out is measured where it is mounted. So every
part that stands elsewhere has a drawing of its own, made from the same list; the desk shows it while the cover is off.
"""

from dataclasses import dataclass

from course.desk.drawing import ladder, symbols
from course.desk.drawing.paper import Paper, pair, path
from course.desk.drawing.plan import Plan
from scenarios.electrical.wiring import Element
from scenarios.parts.registry import KINDS

PITCH, LEAST_PITCH, LEFT = 150.0, 104.0, 190.0
"""From terminal to terminal, and at least; room on the left for the part's box and the earth stud [px]."""
ROWS = {1: (0.46,), 2: (0.36, 0.58), 3: (0.28, 0.46, 0.76)}
"""Heights of the rows of terminals as shares of the sheet, by how many there are."""
WIRE, LINE_H, TAG = 52.0, 14.0, 92.0
"""How far a wire is drawn from its screw; height of a line of words; width of a tag beside a wire [px]."""


@dataclass(frozen=True)
class Strip:
    """Terminals side by side at one height; wires leave upward (-1) or downward (1)."""

    terminals: tuple[str, ...]
    y: float
    way: int
    pairs: tuple[Element, ...] = ()
    """What joins neighbours of this strip inside the part."""


def listed(plan: Plan, hangs: dict[int, str]) -> list[dict[str, str]]:
    """One sheet for every part with terminals that stands away from where a wiring sheet that shows it hangs."""
    return [
        {"id": f"opened_{mark}", "title": f"{mark}, cover off", "place": device.place, "kind": "opened", "part": mark}
        for mark, device in plan.wiring.devices.items()
        if device.terminals and any(hangs[number] != device.place for number in plan.seen.get(mark, [0]))
    ]


def draw(paper: Paper, plan: Plan, mark: str, places: dict[str, str]) -> None:
    """Draw one opened part; ``places`` gives the title of every place, for the far ends of wires."""
    device = plan.wiring.devices[mark]
    strips = _strips(paper, plan, mark)
    most = max(len(strip.terminals) for strip in strips)
    pitch = min(PITCH, (paper.width - LEFT - 110) / max(1, most - 1))
    if pitch < LEAST_PITCH:
        paper.troubles.append(f"{mark}: {most} terminals side by side need {LEAST_PITCH * (most - 1):.0f} px")
        return
    first = LEFT + (paper.width - LEFT - 110 - pitch * (most - 1)) / 2
    at = {t: (first + pitch * n, strip.y) for strip in strips for n, t in enumerate(strip.terminals)}
    paper.text(24, 30, f"{mark} {device.says}, cover off", "start", "title")
    _enclosure(paper, first - 158, first + pitch * (most - 1) + 118, strips)
    for strip in strips:
        _strip(paper, plan, strip, at, places, pitch)
    _inside(paper, plan, mark, strips, at)
    paper.part(mark, first - 112, strips[0].y, says=device.says, terminals=list(device.terminals))
    _stud(paper, plan, first - 112, strips[-1].y + (70 if len(strips) == 1 else -16))


def _strips(paper: Paper, plan: Plan, mark: str) -> list[Strip]:
    """Line side, load side, then what else is joined in pairs; each as far as the part has it."""
    kind = KINDS[plan.wiring.devices[mark].kind]
    inner = tuple(e for e in plan.wiring.elements_of(mark) if e.role != "pole")
    rows = [tuple(f"{mark}:{name}" for name in names) for names in (kind.into, kind.out) if names]
    rows += [tuple(t for e in inner for t in (e.a, e.b))] if inner else []
    heights = ROWS[len(rows)]
    return [
        Strip(row, round(share * paper.height, 1), -1 if n == 0 else 1, inner if inner and n == len(rows) - 1 else ())
        for n, (row, share) in enumerate(zip(rows, heights, strict=True))
    ]


def _enclosure(paper: Paper, left: float, right: float, strips: list[Strip]) -> None:
    """The open box, with a gland where wires leave it."""
    top, bottom = strips[0].y - WIRE + 10, strips[-1].y + (118 if len(strips) == 1 else WIRE - 10)
    paper.line(path((left, top), (right, top), (right, bottom), (left, bottom)) + "z", "dash")
    for x in (left + 10, right - 10):
        for y in (top + 10, bottom - 10):
            paper.circle(x, y, 3, "thin")


def _strip(
    paper: Paper, plan: Plan, strip: Strip, at: dict[str, tuple[float, float]], places: dict[str, str], pitch: float
) -> None:
    """Points of one strip with their marks, wires and homes for tags."""
    for terminal in strip.terminals:
        x, y = at[terminal]
        paper.point(terminal, x, y, plan.spoken(terminal), terminal.partition(":")[0], family="opened")
        paper.text(x - 9, y + (-12 if strip.way < 0 else 21), terminal.partition(":")[2], "end", "terminal", of=terminal)
        wide = min(TAG, pitch - 44)
        paper.home(terminal, x + 8 + wide / 2, y + 30 * strip.way, "shelf", wide)
        _wires(paper, plan, terminal, (x, y), strip.way, places)
    inner = {frozenset((e.a, e.b)) for e in strip.pairs}
    for a, b in zip(strip.terminals, strip.terminals[1:], strict=False):
        if not inner:
            paper.home(pair(a, b), (at[a][0] + at[b][0]) / 2, strip.y, "between", 64)
        elif frozenset((a, b)) in inner:
            paper.home(pair(a, b), (at[a][0] + at[b][0]) / 2, strip.y - 36 * strip.way, "between", 64)
    if not inner and len(strip.terminals) == 3:
        (x, y), ends = at[strip.terminals[2]], (strip.terminals[0], strip.terminals[2])
        paper.home(pair(*ends), x + 72, y, "outer", 56, lead=path((x + 7, y), (x + 44, y)))


def _wires(paper: Paper, plan: Plan, terminal: str, spot: tuple[float, float], way: int, places: dict[str, str]) -> None:
    """The wires at a screw, drawn out of the box, with where each of them goes."""
    x, y = spot
    lines: list[str] = []
    for wire in plan.wiring.wires_at.get(terminal, []):
        far = wire.b if wire.a == terminal else wire.a
        device = plan.wiring.devices.get(far.partition(":")[0])
        paper.line(path((x, y), (x, y + way * WIRE)), "wire", exit=terminal, rail=far)
        lines += [f"{wire.name} to {far}", *([places[device.place]] if device else [])]
    for n, words in enumerate(lines if way > 0 else lines[::-1]):
        paper.text(x, y + way * (WIRE + 6 + LINE_H * n) + (10 if way > 0 else 0), words, "middle")


def _inside(paper: Paper, plan: Plan, mark: str, strips: list[Strip], at: dict[str, tuple[float, float]]) -> None:
    """Symbols of what joins the terminals inside the part."""
    device = plan.wiring.devices[mark]
    kind = KINDS[device.kind]
    for e in (e for strip in strips for e in strip.pairs):
        (xa, y), (xb, _) = at[e.a], at[e.b]
        symbols.in_rung(paper, ladder.glyph(e.symbol, device.kind), (xa + xb) / 2, y, abs(xb - xa) / 2, mark)
    poles = [at[f"{mark}:{name}"][0] for name in kind.into]
    if kind.into and kind.out:
        top, bottom = strips[0].y, strips[1].y
        if kind.pole:
            for x in poles:
                symbols.in_column(paper, kind.pole, x, top, bottom, mark)
        else:
            {"drive3": symbols.drive, "transformer": symbols.transformer}[device.kind](paper, poles, top, bottom, mark)
    elif len(poles) == 3:
        symbols.motor(paper, poles, strips[0].y, 36, mark)


def _stud(paper: Paper, plan: Plan, x: float, y: float) -> None:
    """The earth stud of the box."""
    plan.rail_point(paper, plan.wiring.earth, x, y)
    paper.text(x + 12, y + 4, plan.wiring.earth, "start", "terminal", of=paper.points[-1]["id"])
    symbols.earth(paper, x, y + 6)

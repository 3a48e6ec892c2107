"""Ladders: rungs between two control rails, contacts from the left, loads in the last column, ears below what they bridge."""

from dataclasses import dataclass

from course.desk.drawing import symbols
from course.desk.drawing.folding import arrange
from course.desk.drawing.paper import BOX_H, Paper, Spot, box_width, path, text_box, text_width
from course.desk.drawing.plan import Plan
from course.desk.drawing.structure import Cell, Circuit, Rung
from scenarios.parts.registry import KINDS

TOP, BOTTOM = 36.0, 5.0
"""Height of the rail points; margin below."""
PITCH, FOLD_PITCH, FIRST = 102.0, 116.0, 53.0
"""Rung to rung: box below one, tags above the next; with a fold between; rails to first rung."""
DEVICE, GAP, END, WIDE_END, LANE = 54.0, 46.0, 26.0, 42.0, 23.0
"""Wish for the width of an element, least gap between two, least lead to a rail, the same where branches or folds run
down beside it, and how far beside a point they run: midway between two tags."""
LEAST_DEVICE, MOST_GAP = 47.0, 300.0
BESIDE, CLEAR = 6.0, 4.0
"""From a box to the note beside it; from the note to what follows, at least."""
BOX_DROP, TAG_UP = 46.0, 30.0
STRETCH = 0.4


@dataclass
class Grid:
    """Common columns of one ladder."""

    first: float
    step: float
    device: float

    def middle(self, column: int) -> float:
        """Where the middle of an element stands in a column [px]."""
        return self.left(column) + self.device / 2

    def left(self, column: int) -> float:
        """Where the left point of an element stands in a column [px]."""
        return self.first + self.step * column


def most_cells(wide: float, gap: float = GAP) -> int:
    """How many elements fit side by side into a width."""
    return int((wide + gap) // (LEAST_DEVICE + gap))


def _room(plan: Plan, circuits: list[Circuit]) -> Spot:
    """Least gap between two elements, and least lead to the return rail: boxes are as wide as their marks, notes stand between."""
    cells = [cell for circuit in circuits for rung in circuit.rungs for cell in rung.cells]
    box = max(box_width(cell.element.device) for cell in cells)
    words = max(text_width(_note(plan, cell)) for cell in cells)
    beside = BESIDE + words + CLEAR if words else CLEAR
    return max(GAP, box + beside - LEAST_DEVICE), box / 2 + beside - LEAST_DEVICE / 2


def draw(paper: Paper, plan: Plan, circuits: list[Circuit], x0: float, x1: float, fed: bool = False) -> dict[str, Spot]:
    """Draw a ladder between x0 and x1; give back where its hot rail begins. ``fed``: its supply arrives from the left."""
    gap, out = _room(plan, circuits)
    straight = all(len(c.rungs) == 1 and len(c.rungs[0].cells) <= most_cells(x1 - x0 - END - max(END, out), gap) for c in circuits)
    end = END if straight else WIDE_END
    out = max(end, out)
    most = most_cells(x1 - x0 - end - out, gap)
    if most < 1:
        paper.troubles.append(f"a ladder of {x1 - x0:.0f} px holds nothing")
        return {}
    rungs = [rung for circuit in circuits for rung in arrange(paper, circuit, most)]
    if paper.troubles:
        return {}
    count = max(rung.columns[-1] for rung in rungs) + 1
    x1 = min(x1, x0 + end + out + count * DEVICE + (count - 1) * MOST_GAP)
    inner = x1 - x0 - end - out
    device = min(DEVICE, (inner - (count - 1) * gap) / count)
    grid = Grid(x0 + end, (inner - device) / (count - 1) if count > 1 else 0.0, device)
    for rung in rungs:
        if rung.end in plan.wiring.rails:
            rung.columns[-1] = count - 1
    heights = _heights(paper, rungs)
    if paper.troubles:
        return {}
    spots: dict[str, Spot] = {}
    for rung, y in zip(rungs, heights, strict=True):
        _cells(paper, plan, rung, y, grid, (x0, x1), spots)
        if rung.end in plan.wiring.rails:
            _contacts(paper, plan, rung, x1, y)
            _caption(paper, plan, rung, grid, y)
    rails = _rails(paper, plan, circuits[0], rungs, heights, (x0, x1), fed)
    for n, (rung, y) in enumerate(zip(rungs, heights, strict=True)):
        _join(paper, plan, rung, y, (x0, x1), spots, rungs[:n], rails)
    for rung, y in zip(rungs, heights, strict=True):
        for cell, column in zip(rung.cells, rung.columns, strict=True):
            _write(paper, plan, cell, grid.middle(column), y)
    return {circuits[0].hot: (x0, TOP)}


def _heights(paper: Paper, rungs: list[Rung]) -> list[float]:
    least = [PITCH if below.start or not below.main else FOLD_PITCH for below in rungs[1:]]
    spare = paper.height - BOTTOM - (BOX_DROP + BOX_H / 2) - TOP - FIRST - sum(least)
    if spare < 0:
        paper.troubles.append(f"{len(rungs)} rungs from line {rungs[0].line} are {-spare:.0f} px too high")
    share = min(STRETCH, max(0.0, spare) / sum(least)) if least else 0.0
    heights = [TOP + FIRST]
    for value in least:
        heights.append(heights[-1] + value * (1 + share))
    return heights


def _cells(paper: Paper, plan: Plan, rung: Rung, y: float, grid: Grid, rails: Spot, spots: dict[str, Spot]) -> None:
    """Points, symbols, marks, boxes and tag homes of one rung."""
    paper.text(rails[0] - 8, y + 4, rung.line, "end")
    for cell, column in zip(rung.cells, rung.columns, strict=True):
        left = grid.left(column)
        ends = ((cell.left, left, -4.0, "start"), (cell.right, left + grid.device, 4.0, "end"))
        for terminal, x, shift, anchor in ends:
            paper.point(terminal, x, y, plan.spoken(terminal), cell.element.device, line=rung.line, family="control")
            spots[terminal] = (x, y)
            paper.text(x + shift, y + 23, terminal.split(":")[1], anchor, "terminal", of=terminal)
            paper.home(terminal, x, y - TAG_UP, "shelf", min(44.0, grid.device - 3), lead=path((x, y - TAG_UP + 10), (x, y - 8)))
        _element(paper, plan, cell, left + grid.device / 2, y, grid.device / 2, rails[1])


def _element(paper: Paper, plan: Plan, cell: Cell, x: float, y: float, half: float, rail: float) -> None:
    """Symbol, box and note of one element; the note stands left of the box where the return rail is too near."""
    element, mark = cell.element, cell.element.device
    device = plan.wiring.devices[mark]
    symbols.in_rung(paper, glyph(element.symbol, device.kind), x, y, half, mark)
    paper.part(mark, x, y + BOX_DROP, says=device.says, terminals=[cell.left, cell.right])


def _note(plan: Plan, cell: Cell) -> str:
    """What stands beside the box of an element: the position it is made in, the line of its coil, or the sheet of its part."""
    element, mark = cell.element, cell.element.device
    if element.symbol in plan.wiring.devices[mark].positions:
        return element.symbol
    if element.symbol != "coil" and mark in plan.coil_line and plan.coil_sheet[mark] != plan.number:
        return f"({plan.coil_line[mark]})"
    return f"sh {plan.home[mark]}" if plan.home.get(mark, plan.number) != plan.number else ""


def _write(paper: Paper, plan: Plan, cell: Cell, x: float, y: float) -> None:
    """The note of an element, on the side of its box where no wire, rail or word is."""
    words, away = _note(plan, cell), box_width(cell.element.device) / 2 + BESIDE
    if not words:
        return
    for way, anchor in ((1, "start"), (-1, "end")):
        at = x + way * away, y + BOX_DROP + 4.5
        if paper.free(text_box({"x": at[0], "y": at[1], "t": words, "anchor": anchor, "kind": "small"})):
            paper.text(*at, words, anchor)
            return
    paper.troubles.append(f"{words} has no room beside {cell.element.device}; give it a shorter mark")


def glyph(symbol: str, kind: str) -> str:
    """Symbol that an element of the list is drawn with: that of its kind of part, or its own."""
    if KINDS[kind].symbol:
        return KINDS[kind].symbol
    words = {
        "p-no": "pressure no",
        "p-nc": "pressure nc",
        "f-no": "float no",
        "f-nc": "float nc",
        "t-no": "timed no",
        "t-nc": "timed nc",
        "drive-fault": "no",
    }
    return words.get(symbol, symbol)


def _contacts(paper: Paper, plan: Plan, rung: Rung, x1: float, y: float) -> None:
    """Lines of a coil's contacts, right of the return rail; break contacts underlined."""
    for cell in rung.cells:
        if cell.element.symbol == "coil":
            lines = plan.contact_lines.get(cell.element.device, [])[:3]
            for n, (line, breaks) in enumerate(lines):
                paper.text(x1 + 9, y + 4 + (n - (len(lines) - 1) / 2) * 15, line, "start", "crossed" if breaks else "small")


def _caption(paper: Paper, plan: Plan, rung: Rung, grid: Grid, y: float) -> None:
    """In a rung of two elements, say what its load is."""
    if len(rung.cells) != 2:
        return
    says = plan.wiring.devices[rung.cells[1].element.device].says
    left, right = grid.left(rung.columns[0]) + grid.device, grid.left(rung.columns[1])
    for words in (says, says.removesuffix(" solenoid").removesuffix(" liquid")):
        if text_width(words) + 60 < right - left:
            paper.text((left + right) / 2, y + 17, words[0].upper() + words[1:], "middle")
            return


def _rails(
    paper: Paper, plan: Plan, circuit: Circuit, rungs: list[Rung], heights: list[float], ends: Spot, fed: bool
) -> dict[str, str]:
    ids = {}
    for rail, x, side in ((circuit.hot, ends[0], 1), (circuit.back, ends[1], -1)):
        last = max((y for rung, y in zip(rungs, heights, strict=True) if rail in (rung.start, rung.end)), default=TOP)
        ids[rail] = plan.rail_point(paper, rail, x, TOP)
        paper.line(path((x, TOP), (x, last)), "rail", rail=rail)
        if fed and side > 0:
            paper.text(x, TOP - 10, rail, "middle", "title")
        else:
            paper.text(x - side * 12, TOP + 4, rail, "end" if side > 0 else "start", "title")
        paper.home(ids[rail], x + side * 36, TOP - 2, "shelf", 44, 18)
    number = plan.source_of(circuit.hot)
    if number != plan.number:
        words = f"{circuit.hot}, {circuit.back} from sheet {number}"
        paper.text((ends[0] + ends[1]) / 2, TOP + 4, words, "middle")
    return ids


def _join(
    paper: Paper, plan: Plan, rung: Rung, y: float, rails: Spot, spots: dict[str, Spot], above: list[Rung], ids: dict[str, str]
) -> None:
    """Wires of one rung: between its elements, to the rails, to where an ear lands, and the way back of a fold."""
    for one, two in zip(rung.cells, rung.cells[1:], strict=False):
        _wire(paper, plan, one.right, two.left, spots[one.right], spots[two.left])
    first, last = rung.cells[0].left, rung.cells[-1].right
    for end, terminal, x, turn in ((rung.start, first, rails[0], -1), (rung.end, last, rails[1], 1)):
        if end in plan.wiring.rails:
            paper.wire(ids[end], terminal, (x, y), spots[terminal], name=plan.wire_name(end, terminal))
            paper.dot(x, y)
        elif end:
            tx, ty = spots[end]
            own = any(end == (c.left if turn < 0 else c.right) for r in above for c in r.cells)
            lane = tx + LANE * (turn if own else -turn)
            lane = max(lane, spots[terminal][0] + LANE) if turn > 0 else min(lane, spots[terminal][0] - LANE)
            _wire(paper, plan, end, terminal, (tx, ty), (lane, ty), (lane, y), spots[terminal])
            paper.dot(lane, ty)
    if rung.main and not rung.start:
        before = next(r for r in reversed(above) if r.main and r.line == rung.line)
        terminal = before.cells[-1].right
        middle, out = y - TAG_UP - 17, LANE - 8
        (px, py), (x, _) = spots[terminal], spots[first]
        _wire(
            paper,
            plan,
            terminal,
            first,
            (px, py),
            (rails[1] - out, py),
            (rails[1] - out, middle),
            (rails[0] + out, middle),
            (rails[0] + out, y),
            (x, y),
        )


def _wire(paper: Paper, plan: Plan, a: str, b: str, *spots: Spot) -> None:
    paper.wire(a, b, *spots, name=plan.wire_name(a, b))

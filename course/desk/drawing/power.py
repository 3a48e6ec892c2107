"""Power columns: rows of terminals under the bus, symbols between them, earth rail with its tag boxes on the right.

Every interval between two rows has a least height by what stands in it; what is left over is shared, at most a third more.
Side columns share the rows of their main column, so that both can be read across.
"""

from dataclasses import dataclass, field

from course.desk.drawing import earth_rail, symbols
from course.desk.drawing.paper import BOX_H, TAG_H, Paper, Spot, box_width, pair, path
from course.desk.drawing.plan import Plan
from course.desk.drawing.structure import Block, Column, Row
from scenarios.parts.registry import KINDS

TOP, BOTTOM, POLE, LEFT = 16.0, 5.0, 62.0, 66.0
"""Strip for the zone numbers; margin below; distance of two poles; from the left of a column to its first pole, at least."""
BESIDE = 26.0
"""From a part box to the first pole: room for a drive's symbol."""
RAIL = earth_rail.AWAY + earth_rail.WIDTH / 2 + 8
"""From the last pole to the end of a column."""
LEAST = {
    "breaker": 56.0,
    "contactor": 60.0,
    "heater": 52.0,
    "fuse": 50.0,
    "drive3": 60.0,
    "transformer": 70.0,
    "wire": 46.0,
    "crossing": 52.0,
}
STRETCH = 0.34
LEVEL = 9.0
"""Distance between two wires that cross over side by side."""


@dataclass
class Placed:
    """Where a block came to lie."""

    right: float
    spots: dict[str, Spot] = field(default_factory=dict)
    rails: list[Spot] = field(default_factory=list)
    """Point of earth of every earth rail."""
    bus: list[Spot] = field(default_factory=list)
    """Where the block lands on the phases, if it feeds them."""
    open: list[tuple[str, str]] = field(default_factory=list)
    """Terminals that lead to a rail and were left for the sheet to connect."""


def interval(plan: Plan, above: Row, below: Row) -> str:
    """What stands between two rows of a column: the symbol of a device, or a wire."""
    device = plan.wiring.devices[below.device]
    kind = KINDS[device.kind]
    if below.side == "out" and (above.device == below.device or kind.pole == "heater"):
        return kind.pole or device.kind
    return "wire"


def lead(column: Column) -> float:
    """From the left of a column to its first pole: a part box stands between."""
    return max(LEFT, BESIDE + max(box_width(mark) for mark in column.devices))


def width(block: Block) -> float:
    """Width that a block takes."""
    return sum(lead(c) + (max(len(r.terminals) for r in c.rows) - 1) * POLE + RAIL for c in block.columns)


def draw(paper: Paper, plan: Plan, block: Block, x: float) -> Placed:
    """Draw a block with its left edge at x."""
    main = block.columns[0]
    heights, bands = _heights(paper, plan, block)
    done = Placed(x)
    left, base = x, 0
    for column in block.columns:
        base = 0 if column is main else row_of(main, column.tap, "out") + 1
        rows = heights[base : base + len(column.rows)]
        _column(paper, plan, column, left, rows, done)
        if column is not main:
            _crossovers(paper, plan, block, column, done, heights)
        left = done.right
    _feed(paper, plan, block, done, heights[0])
    _tail(paper, plan, block, x, heights[-1], done)
    _rails(paper, plan, block, x, heights, bands, done)
    return done


def row_of(column: Column, device: str, side: str) -> int:
    """Number of the row of a device in a column."""
    return next(n for n, row in enumerate(column.rows) if row.device == device and row.side == side)


def _joins(block: Block, column: Column) -> tuple[int, int | None]:
    """Rows of the main column below which a side column leaves and returns."""
    main = block.columns[0]
    back = next((n for n, row in enumerate(main.rows) if row.device == column.join), None)
    return row_of(main, column.tap, "out"), None if back is None else back - 1


def _heights(paper: Paper, plan: Plan, block: Block) -> tuple[list[float], list[int]]:
    """Heights of the rows of the main column, and the intervals that hold crossovers."""
    main = block.columns[0]
    least = [LEAST[interval(plan, a, b)] for a, b in zip(main.rows, main.rows[1:], strict=False)]
    bands: list[int] = []
    for column in block.columns[1:]:
        tap, join = _joins(block, column)
        bands += [tap] if join is None else [tap, join]
        inner = [LEAST[interval(plan, a, b)] for a, b in zip(column.rows, column.rows[1:], strict=False)]
        if tap + 1 + len(column.rows) > len(main.rows):
            paper.troubles.append(f"{column.devices[0]}: the side column is longer than the main column of {block.root}")
            inner = []
        for n, value in enumerate(inner):
            least[tap + 1 + n] = max(least[tap + 1 + n], value)
    for band in bands:
        least[band] = max(least[band], LEAST["crossing"])
    kind = plan.wiring.devices[main.devices[-1]].kind
    tail = 67.0 if kind == "motor3" else 62.0 if plan.feeds_bus(block) else 40.0
    first = TOP + (66.0 if set(block.feed.values()) & plan.rails_as_points else 50.0 if len(main.rows[0].terminals) == 3 else 34.0)
    bottom = paper.height - BOTTOM if not plan.feeds_bus(block) else 0.62 * paper.height
    spare = bottom - first - sum(least) - tail
    if spare < 0:
        paper.troubles.append(f"column of {block.root} is {-spare:.0f} px too high")
    share = min(STRETCH, max(0.0, spare) / sum(least))
    heights = [first]
    for value in least:
        heights.append(heights[-1] + value * (1 + share))
    return heights, bands


def _column(paper: Paper, plan: Plan, column: Column, left: float, rows: list[float], done: Placed) -> None:
    """Points, marks, tag homes, symbols and straight wires of one column."""
    count = max(len(row.terminals) for row in column.rows)
    poles = [left + lead(column) + POLE * n for n in range(count)]
    for row, y in zip(column.rows, rows, strict=False):
        _row(paper, plan, row, [poles[n] for n in row.poles], left, y, first=row is column.rows[0] and not column.tap, done=done)
    drawn: set[str] = set()
    for n, (above, below) in enumerate(zip(column.rows, column.rows[1:], strict=False)):
        what = interval(plan, above, below)
        if what != "wire":
            drawn.add(below.device)
            _device(paper, plan, below, above, what, [poles[k] for k in below.poles], (rows[n], rows[n + 1]), left)
        elif n + 1 < len(rows):
            _wires(paper, plan, above, below, done)
    for row in column.rows:
        if row.device not in drawn and plan.wiring.devices[row.device].kind == "service":
            drawn.add(row.device)
            _box(paper, plan, row.device, left, rows[0] - 38, row.terminals)
    for above, below in zip(column.rows, column.rows[2:], strict=False):
        _wires(paper, plan, above, below, done)  # one pole that passes a row of the other
    done.right = poles[-1] + RAIL


def _row(paper: Paper, plan: Plan, row: Row, poles: list[float], left: float, y: float, first: bool, done: Placed) -> None:
    kind = plan.wiring.devices[row.device].kind
    heater, source = KINDS[kind].pole == "heater", kind == "service"
    below = heater or source or (row.side == "in" and kind != "motor3")
    for x, terminal in zip(poles, row.terminals, strict=True):
        paper.point(terminal, x, y, plan.spoken(terminal), row.device, family="power")
        done.spots[terminal] = (x, y)
        gap = 10 if kind.startswith("fuse") else 6
        paper.text(x - gap, y + 20 if below else y - 12, terminal.split(":")[1], "end", "terminal", of=terminal)
    for (xa, a), (xb, b) in zip(
        zip(poles, row.terminals, strict=True), list(zip(poles, row.terminals, strict=True))[1:], strict=False
    ):
        paper.home(pair(a, b), (xa + xb) / 2, y, "between", POLE - 16, TAG_H)
    if len(row.terminals) == 3:
        outer = pair(row.terminals[0], row.terminals[2])
        if first and row.side == "in":
            lead = path((poles[0], y - 9), (poles[0], y - 25), (poles[2], y - 25), (poles[2], y - 9))
            paper.home(outer, poles[1], y - 25, "bracket", 46, 18, lead=lead)
        else:
            paper.home(outer, left + 22, y, "outer", 42, 18, lead=path((left + 43, y), (poles[0] - 7, y)))


def _box(paper: Paper, plan: Plan, mark: str, left: float, y: float, terminals: tuple[str, ...]) -> None:
    paper.part(mark, left + box_width(mark) / 2, y, says=plan.wiring.devices[mark].says, terminals=list(terminals))


def _device(paper: Paper, plan: Plan, row: Row, above: Row, what: str, poles: list[float], span: Spot, left: float) -> None:
    """Draw one device between its two rows."""
    mark, middle = row.device, (span[0] + span[1]) / 2
    own = (*above.terminals, *row.terminals) if above.device == mark else row.terminals
    _box(paper, plan, mark, left, middle, own)
    if what == "drive3":
        symbols.drive(paper, poles, span[0], span[1], mark)
    elif what == "transformer":
        symbols.transformer(paper, poles, span[0], span[1], mark)
    else:
        for x in poles:
            symbols.in_column(paper, what, x, span[0], span[1], mark)
        if what in ("breaker", "contactor") and len(poles) > 1:
            paper.line(path((poles[0] - 16, middle), (poles[-1] + 14, middle)), "couple")
    line = plan.coil_line.get(mark)
    if what == "contactor" and line and plan.coil_sheet[mark] != plan.home[mark]:
        paper.text((poles[0] + poles[1]) / 2, middle + 14, f"({line})", "middle")


def _wires(paper: Paper, plan: Plan, above: Row, below: Row, done: Placed) -> None:
    for terminal in above.terminals:
        for wire in plan.wiring.wires_at[terminal]:
            other = wire.b if wire.a == terminal else wire.a
            if other in below.terminals:
                paper.wire(terminal, other, done.spots[terminal], done.spots[other], name=wire.name)


def _crossovers(paper: Paper, plan: Plan, block: Block, column: Column, done: Placed, heights: list[float]) -> None:
    """Wires from the main column to a side column and back, each on its own level, nested so that they cross least."""
    main = block.columns[0]
    tap, join = _joins(block, column)
    ends = [(main.rows[tap], column.rows[0], tap, -1)]
    if join is not None:
        ends.append((main.rows[join + 1], column.rows[-1], join, 1))
    for here, there, band, turn in ends:
        middle = (heights[band] + heights[band + 1]) / 2
        for a in here.terminals:
            for wire in plan.wiring.wires_at[a]:
                b = wire.b if wire.a == a else wire.a
                if b not in there.terminals:
                    continue
                level = middle + turn * (here.terminals.index(a) - 1) * LEVEL
                (xa, ya), (xb, yb) = done.spots[a], done.spots[b]
                paper.wire(a, b, (xa, ya), (xa, level), (xb, level), (xb, yb), name=wire.name)
                paper.dot(xa, level)


def _feed(paper: Paper, plan: Plan, block: Block, done: Placed, y: float) -> None:
    """Where the first row comes from."""
    for terminal, rail in block.feed.items():
        x = done.spots[terminal][0]
        if rail in plan.rails_as_points:
            end = plan.rail_point(paper, rail, x, y - 46)
            paper.wire(end, terminal, (x, y - 46), (x, y), name=plan.wire_name(rail, terminal))
            paper.text(x - 10, y - 42, rail, "end", "title")
            paper.text(x - 10, y - 28, f"sheet {plan.source_of(rail)}", "end")
            paper.home(end, x + 36, y - 48, "shelf", 44, 18)
        else:
            paper.line(path((x, TOP + 6), (x, y)), "wire", feeds=terminal, rail=rail)
            paper.text(x + 6, TOP + 11, rail, "start", "title")
    if block.feed and plan.number_of_bus != plan.number and len(block.feed) > 1:
        paper.text(max(done.spots[t][0] for t in block.feed) + 27, TOP + 11, f"sheet {plan.number_of_bus}")


def _tail(paper: Paper, plan: Plan, block: Block, left: float, y: float, done: Placed) -> None:
    """What stands under the last row: a motor, the bus, or a rail that leaves the sheet."""
    main = block.columns[0]
    last = main.devices[-1]
    device = plan.wiring.devices[last]
    if device.kind == "service" or plan.wiring.devices[main.devices[0]].kind == "service":
        for terminal in main.rows[0].terminals:
            symbols.source(paper, *done.spots[terminal])
    if device.kind == "motor3":
        poles = [done.spots[t][0] for t in main.rows[-1].terminals]
        middle = symbols.motor(paper, poles, y, 26, last)
        _box(paper, plan, last, left, middle - 4, main.rows[-1].terminals)
        paper.text(left, middle + BOX_H / 2 + 9, device.says.removesuffix(" motor"))
    elif plan.feeds_bus(block):
        done.bus = [(done.spots[t][0], y + 46 + 16 * n) for n, t in enumerate(main.rows[-1].terminals)]
        for terminal, (x, level) in zip(main.rows[-1].terminals, done.bus, strict=True):
            rail = block.exits[terminal]
            end = plan.rail_point(paper, rail, x, level)
            paper.wire(terminal, end, done.spots[terminal], (x, level), name=plan.wire_name(terminal, rail))
            paper.home(end, x, done.bus[-1][1] + 28, "shelf", 44, 18, lead=path((x, level + 7), (x, done.bus[-1][1] + 19)))
    else:
        done.open = list(block.exits.items())


def _rails(paper: Paper, plan: Plan, block: Block, x: float, heights: list[float], bands: list[int], done: Placed) -> None:
    """Earth rail of every column."""
    left, main = x, block.columns[0]
    for column in block.columns:
        rail = left + lead(column) + (max(len(row.terminals) for row in column.rows) - 1) * POLE + earth_rail.AWAY
        base = 0 if column is main else row_of(main, column.tap, "out") + 1
        rows = heights[base : base + len(column.rows)]
        motor = plan.wiring.devices[column.devices[-1]].kind == "motor3"
        foot = min(rows[-1] + (10 if plan.feeds_bus(block) else 44 if motor else 40), paper.height - 28)
        crossings = [] if column is block.columns[-1] else [(heights[band] + heights[band + 1]) / 2 for band in bands]
        free = earth_rail.BOND + 5 if block.exits else 9.0
        earth_rail.draw(paper, plan, column.rows, (rail, foot), rows, crossings, free)
        done.rails.append((rail, foot))
        left = rail + earth_rail.WIDTH / 2 + 8

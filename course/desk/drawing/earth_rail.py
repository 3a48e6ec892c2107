"""The dashed earth rail beside a power column: the point of earth at its foot, one box per row for readings to earth."""

from course.desk.drawing import symbols
from course.desk.drawing.paper import Paper, Spot, path
from course.desk.drawing.plan import Plan
from course.desk.drawing.structure import Row

AWAY, WIDTH, LINE_H = 50.0, 66.0, 13.0
"""From the last pole to the rail; width of its tag boxes; height of one line in them."""
BOND = 15.0
"""How far above the point of earth the bond of an earthed control supply lands."""


def draw(paper: Paper, plan: Plan, rows: list[Row], foot: Spot, heights: list[float], crossings: list[float], free: float) -> None:
    """Draw a rail down to ``foot``, with a box beside each row; boxes end ``free`` [px] above it.

    The rail is interrupted where wires cross to a side column.
    """
    x, end = foot
    high = 4 + LINE_H * max(len(row.terminals) for row in rows)
    edges = [heights[0] - 26, *(edge for c in crossings for edge in (c - 15, c + 15)), end - free]
    for low, top in zip(edges[::2], edges[1::2], strict=True):
        mine = [n for n, y in enumerate(heights) if low - 15 < y < top + 15]
        middles = spread([heights[n] for n in mine], high + 2, low, top)
        if middles is None:
            paper.troubles.append(f"earth rail of {rows[0].device}: {len(mine)} boxes do not fit into {top - low:.0f} px")
            continue
        paper.line(path((x, low), (x, end - 6 if top == edges[-1] else top)), "dash")
        for n, middle in zip(mine, middles, strict=True):
            _box(paper, rows[n], plan.wiring.earth, x, middle)
    earth = plan.wiring.earth
    id = plan.rail_point(paper, earth, x, end)
    paper.text(x + 12, end + 4, earth, "start", "terminal", of=id)
    symbols.earth(paper, x, end + 6)


def _box(paper: Paper, row: Row, earth: str, rail: float, middle: float) -> None:
    """Homes of the readings of one row, a line for each pole."""
    high = 4 + LINE_H * len(row.terminals)
    frame = [round(rail - WIDTH / 2, 1), round(middle - high / 2, 1), WIDTH, high]
    for n, terminal in enumerate(row.terminals):
        y = middle - high / 2 + 2 + LINE_H * (n + 0.5)
        more = {"label": terminal.split(":")[1], "frame": frame}
        paper.home(f"{terminal}|{earth}", rail, y, "earth", WIDTH, LINE_H, **more)
        paper.home(terminal, rail, y, "earth", WIDTH, LINE_H, **more)


def spread(middles: list[float], high: float, low: float, top: float) -> list[float] | None:
    """Move boxes of one height as little as possible so that none overlap between two edges (pool adjacent violators).

    >>> spread([10.0, 12.0], 10.0, 0.0, 100.0)
    [6.0, 16.0]
    """
    if len(middles) * high > top - low + 0.01:
        return None
    pools: list[tuple[float, int]] = []
    for n, middle in enumerate(middles):
        pools.append((middle - n * high, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, na), (b, nb) = pools[-2], pools[-1]
            pools[-2:] = [((a * na + b * nb) / (na + nb), na + nb)]
    values = [value for value, count in pools for _ in range(count)]
    first, last = low + high / 2, top - high / 2 - (len(middles) - 1) * high
    return [min(max(value, first), last) + n * high for n, value in enumerate(values)]

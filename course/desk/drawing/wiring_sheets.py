"""Wiring sheets: which parts share a sheet, and how a sheet is put together from columns, ladders and bus taps."""

import re
from dataclasses import replace

from course.desk.drawing import earth_rail, ladder, power, symbols
from course.desk.drawing.paper import BOX_H, Paper, Spot, box_width, path
from course.desk.drawing.plan import Plan, Spec
from course.desk.drawing.structure import Block, Circuit, blocks, circuits
from scenarios.errors import BadRequest
from scenarios.store.model import Store

WIDTH = 962.0
HEIGHTS = {"laptop": 512.0, "short": 470.0}
"""Viewports: the surface of the desk at 1366 x 768 and in a short window."""
EDGE, RIGHT, LADDER_LEFT = 20.0, 912.0, 34.0
MOST_POINTS = 50
TAP, TAP_STEP, LEAST_TAP = 11.0, 76.0, 58.0
"""Wires of one tap apart; taps apart, at best and at least [px]."""
UNDER_BOND = 13.0
"""From the bond of a control supply to the tips of its arrows: their names stand below the bond [px]."""
SKETCHES = ("van", "floor", "walkins", "motor_room", "rack_display", "roof", "more", "opened")
"""What ids of other sheets begin with."""
TAPS_IN_ROW, TAPS_ALONE = 9, 18
"""Taps in a row of a sheet that shows nothing else, and on all of it. [-]"""


def planned(store: Store) -> Plan:
    """Read the list and decide once, for every viewport, what each sheet holds.

    Raises
    ------
    BadRequest
        Something does not fit on a sheet of its own; the sentence says what, and by how many pixels.
    """
    wiring = store.wiring
    plan = Plan(wiring)
    columns, rungs = blocks(wiring), circuits(wiring)
    plan.tapped = [b for b in columns if set(b.feed.values()) & set(wiring.phases)]
    groups = list(
        dict.fromkeys(
            [b.group for b in columns if wiring.devices[b.root].kind == "service"] + [d.group for d in wiring.devices.values()]
        )
    )
    for group in groups:
        plan.specs += _by_supply(plan, group, [b for b in columns if b.group == group], [c for c in rungs if c.group == group])
    plan.settle()
    for spec in plan.specs:
        for viewport in HEIGHTS:
            paper = draw(plan, spec, viewport)
            if paper.troubles:
                raise BadRequest(
                    f"wiring, sheet {spec.title}, {viewport}: {'; '.join(paper.troubles)}; split the group in the store file"
                )
    return plan


def hung(store: Store, plan: Plan) -> dict[int, str]:
    """Place of every wiring sheet, by its number: the panel that holds most of what it shows."""
    panels = [place.name for place in store.places.values() if place.kind == "panel"] or list(store.places)[:1]
    found = {0: panels[0]}
    for spec in plan.specs:
        marks = {mark for mark, numbers in plan.seen.items() if spec.number in numbers}
        count = {name: sum(store.wiring.devices[mark].place == name for mark in marks) for name in panels}
        found[spec.number] = max(panels, key=lambda name: count[name])
    return found


def _by_supply(plan: Plan, group: str, columns: list[Block], rungs: list[Circuit]) -> list[Spec]:
    """Sheets of a group. A ladder has two rails: what hangs on another control supply stands on a sheet named after that."""
    first, *others = list(dict.fromkeys((c.hot, c.back) for c in rungs)) or [("", "")]
    found = _sheets_of(plan, group, columns, [c for c in rungs if (c.hot, c.back) == first])
    for rails in others:
        specs = _sheets_of(plan, group, [], [c for c in rungs if (c.hot, c.back) == rails])
        found += _called(specs, _slug(group), _title(group), " ".join(rails))
    return found


def _title(group: str) -> str:
    return group[0].upper() + group[1:]


def _slug(group: str) -> str:
    slug = re.sub(r"\W+", "_", group)
    return f"wiring_{slug}" if slug.startswith(SKETCHES) else slug


def _sheets_of(plan: Plan, group: str, columns: list[Block], rungs: list[Circuit]) -> list[Spec]:
    """One sheet for power and control if both viewports take it, else power and control apart, else as many as it needs."""
    title, slug = _title(group), _slug(group)
    if any(plan.feeds_bus(b) for b in columns):
        control = _called(_sheets_of(plan, group, [], rungs), slug, title, "control") if rungs else []
        return [*_bus_sheets(plan, Spec(slug, title, columns, [])), *control]
    tries = [Spec(slug, title, columns, rungs)] + [
        Spec(slug, title, columns, rungs, halves) for halves in range((len(rungs) + 1) // 2, len(rungs))
    ]
    for spec in tries:
        if not _troubles(plan, spec):
            return [spec]
    if columns and rungs:
        power = _called(_sheets_of(plan, group, columns, []), slug, title, "power")
        return [*power, *_called(_sheets_of(plan, group, [], rungs), slug, title, "control")]
    if len(columns) + len(rungs) < 2:
        return tries[:1]
    half = max(1, len(columns) // 2), max(1, len(rungs) // 2)
    first, second = (
        _sheets_of(plan, group, columns[: half[0]], rungs[: half[1]]),
        _sheets_of(plan, group, columns[half[0] :], rungs[half[1] :]),
    )
    specs = [*first, *second]
    for n, spec in enumerate(specs, 1):
        spec.id, spec.title = f"{slug}_{n}", f"{title} {n}"
    return specs


def _called(specs: list[Spec], slug: str, title: str, word: str) -> list[Spec]:
    """Sheets with a word after the name of their group."""
    tail = re.sub(r"\W+", "_", word)
    for spec in specs:
        spec.id, spec.title = spec.id.replace(slug, f"{slug}_{tail}", 1), spec.title.replace(title, f"{title}, {word}", 1)
    return specs


def _bus_sheets(plan: Plan, spec: Spec) -> list[Spec]:
    """The sheet on which the bus is made, and as many more as its taps and what else hangs on it need."""
    roots = [b for b in plan.tapped if b not in spec.blocks]
    made = [b for b in spec.blocks if plan.feeds_bus(b)]
    for own in (spec.blocks, made):
        fit = next(
            (n for n in range(len(roots), -1, -1) if not _troubles(plan, replace(spec, blocks=own, taps=roots[:n]))), None
        )
        if fit is not None:
            break
    else:
        return [spec]
    rest = [b for b in spec.blocks if b not in own]
    left = [*roots[fit:], *rest]
    found = [replace(spec, blocks=own, taps=roots[:fit])]
    for n in range(0, len(left), TAPS_ALONE):
        found.append(
            Spec(f"{spec.id}_bus_{n // TAPS_ALONE + 2}", f"{spec.title}, more of the bus", [], [], taps=left[n : n + TAPS_ALONE])
        )
    return found + (_called(_sheets_of(plan, rest[0].group, rest, []), spec.id, spec.title, "2") if rest else [])


def _troubles(plan: Plan, spec: Spec) -> list[str]:
    return [f"{viewport}: {trouble}" for viewport in HEIGHTS for trouble in draw(plan, spec, viewport).troubles]


def draw(plan: Plan, spec: Spec, viewport: str) -> Paper:
    """Lay out one wiring sheet."""
    plan.number = spec.number
    paper = Paper(WIDTH, HEIGHTS[viewport])
    if spec.taps and not spec.blocks:
        _taps_alone(paper, plan, spec)
    placed, right = _columns(paper, plan, spec)
    rails: dict[str, Spot] = {}
    if spec.circuits:
        left = right + 22 + (18 if any(p.open for p in placed) else 0) if spec.blocks else EDGE + LADDER_LEFT
        rails = _ladders(paper, plan, spec, left, any(rail == spec.circuits[0].hot for p in placed for _, rail in p.open))
    elif right > WIDTH - 4:
        paper.troubles.append(f"columns are {right - WIDTH + 4:.0f} px too wide")
    for block in placed:
        for terminal, rail in block.open:
            _leave(paper, plan, block, terminal, rail, rails)
    if len(paper.points) > MOST_POINTS:
        paper.troubles.append(f"{len(paper.points)} points, at most {MOST_POINTS}")
    if not paper.troubles:
        _finish(paper, plan, spec)
    return paper


def _columns(paper: Paper, plan: Plan, spec: Spec) -> tuple[list[power.Placed], float]:
    """Draw the power columns: those that make a bus left, what hangs on it right, taps to other sheets between."""
    placed: list[power.Placed] = []
    right = EDGE
    first = [b for b in spec.blocks if plan.feeds_bus(b)]
    rest = [b for b in spec.blocks if b not in first]
    for block in first:
        placed.append(power.draw(paper, plan, block, right))
        right = placed[-1].right
    if first:
        right = WIDTH - 4 - sum(power.width(b) for b in rest)
        _taps(paper, plan, spec, placed[-1].bus, right - 14)
    for block in rest:
        placed.append(power.draw(paper, plan, block, right))
        right = placed[-1].right
    return placed, right


def _taps(paper: Paper, plan: Plan, spec: Spec, bus: list[Spot], end: float) -> None:
    """Bus lines with a tap to the breaker of every column on another sheet."""
    start = bus[-1][0] + 72
    least = _least_tap(spec.taps)
    step = min(max(TAP_STEP, least), (end - 30 - start) / max(1, len(spec.taps) - 1))
    if spec.taps and step < least:
        paper.troubles.append(f"bus: {len(spec.taps)} taps need {least * len(spec.taps):.0f} px of width")
        return
    _bus(paper, plan, [y for _, y in bus], bus[0][0] - 30, start, step, spec.taps, end)


def _least_tap(taps: list[Block]) -> float:
    """Distance of two taps, at least: their boxes stand side by side [px]."""
    return max([LEAST_TAP, *(box_width(block.root) + 8 for block in taps)])


def _bus(
    paper: Paper, plan: Plan, levels: list[float], left: float, start: float, step: float, taps: list[Block], end: float
) -> None:
    """The lines of a bus from the left, with taps from ``start`` on."""
    stop = start + step * (len(taps) - 1) + 34 if taps else end
    level = dict(zip(plan.wiring.phases, levels, strict=True))
    for rail, y in level.items():
        paper.line(path((left, y), (stop, y)), "rail", rail=rail)
        paper.text(left - 5, y + 4, rail, "end", "title")
    for n, block in enumerate(taps):
        x, top = start + step * n, levels[-1] + 26
        for rail in block.feed.values():
            across = x + TAP * (plan.wiring.phases.index(rail) - 1)
            paper.line(path((across, level[rail]), (across, top)), "wire")
            paper.dot(across, level[rail])
        paper.part(block.root, x, top + BOX_H / 2, says=plan.wiring.devices[block.root].says, elsewhere=True)
        paper.text(x, top + BOX_H + 15, f"sheet {plan.home.get(block.root, 0)}", "middle")


def _taps_alone(paper: Paper, plan: Plan, spec: Spec) -> None:
    """A sheet that goes on with the bus: taps in rows, and no column."""
    step = max(TAP_STEP, _least_tap(spec.taps))
    for n in range(0, len(spec.taps), TAPS_IN_ROW):
        top = 70.0 + 150.0 * (n // TAPS_IN_ROW)
        levels = [top + 16 * k for k in range(len(plan.wiring.phases))]
        _bus(paper, plan, levels, 60.0, 120.0, step, spec.taps[n : n + TAPS_IN_ROW], 900.0)
        paper.text(60.0, top - 18, f"bus, from sheet {plan.number_of_bus}")


def _ladders(paper: Paper, plan: Plan, spec: Spec, left: float, fed: bool) -> dict[str, Spot]:
    """One ladder over the width that is left, or two narrow ones."""
    if not spec.halves:
        return ladder.draw(paper, plan, spec.circuits, left, RIGHT, fed)
    middle = (left + RIGHT) / 2
    rails = ladder.draw(paper, plan, spec.circuits[: spec.halves], left, middle - 38, fed)
    ladder.draw(paper, plan, spec.circuits[spec.halves :], middle + 38, RIGHT)
    return rails


def _leave(paper: Paper, plan: Plan, block: power.Placed, terminal: str, rail: str, rails: dict[str, Spot]) -> None:
    """Lead a terminal to its rail: to the hot rail of the ladder beside it, else to an arrow with the rail's name."""
    x, y = block.spots[terminal]
    if rail in rails:
        lane, end = block.right + 6, rails[rail]
        id = next(p["id"] for p in paper.points if p["node"] == rail and (p["x"], p["y"]) == (round(end[0], 1), round(end[1], 1)))
        under = block.rails[0][1] + 36
        corners = [(x, y), (x, under), (lane, under), (lane, end[1]), end]
        paper.wire(terminal, id, *corners, name=plan.wire_name(terminal, rail))
        return
    low = max(max(spot[1] for spot in block.spots.values()) + 26, block.rails[-1][1] - earth_rail.BOND + UNDER_BOND)
    paper.line(path((x, y), (x, low)), "wire", exit=terminal, rail=rail)
    symbols.arrow(paper, (x, low))
    bonded = plan.wiring.rail_kinds[rail].bonded
    beside = bonded and abs(_bond(paper, block, x) - low + 4) < 10
    paper.text(x + 8, low + (15 if beside else 0), rail, "start", "title")
    numbers = sorted(s.number for s in plan.specs for c in s.circuits if rail in (c.hot, c.back))
    if numbers and plan.wiring.rail_kinds[rail].kind == "hot":
        paper.text(x - 8, low - 10, "to sheets", "end")
        paper.text(x - 8, low + 3, f"{numbers[0]} to {numbers[-1]}", "end")


def _bond(paper: Paper, block: power.Placed, x: float) -> float:
    """The bond of an earthed control supply; its height."""
    rail, y = block.rails[-1][0], block.rails[-1][1] - earth_rail.BOND
    paper.line(path((x, y), (rail, y)), "wire", bond=True)
    paper.dot(x, y)
    paper.dot(rail, y)
    return y


def _finish(paper: Paper, plan: Plan, spec: Spec) -> None:
    """Neighbours by wire and through parts, where each thing stands, other sheets of a part, and one key per box."""
    devices = plan.wiring.devices
    for drawn in (*paper.points, *paper.parts):
        mark = drawn.get("part", drawn["id"])
        drawn["place"] = devices[mark].place if mark in devices else ""
    at = {point["id"]: point for point in paper.points}
    pairs = [(line["from"], line["to"]) for line in paper.lines if "from" in line]
    pairs += [(e.a, e.b) for e in plan.wiring.elements]
    for a, b in pairs:
        if a in at and b in at:
            at[a]["next"].append(b)
            at[b]["next"].append(a)
    count: dict[str, int] = {}
    for part in paper.parts:
        mark = part["id"]
        count[mark] = count.get(mark, 0) + 1
        part["key"] = mark if count[mark] == 1 else f"{mark}#{count[mark]}"
        part["at"] = [plan.specs[n - 1].id for n in plan.seen.get(mark, []) if n != spec.number]

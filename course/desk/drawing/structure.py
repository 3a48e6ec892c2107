"""What there is to draw: power columns and ladder rungs, read from the wiring list. No coordinates.

A bundle that starts at a rail (or at the service) is a main column; one that starts at a part already drawn is a side column
beside it, or its tail where only one pole goes on. A string from rail to rail is a rung; one that starts or ends at a terminal is
a parallel branch (an ear) of the rung that holds this terminal.
"""

from dataclasses import dataclass, field

from scenarios.electrical.wiring import Element, Run, Wiring
from scenarios.errors import BadRequest
from scenarios.parts.registry import KINDS


@dataclass(frozen=True)
class Row:
    """Terminals of one device side by side in a column."""

    device: str
    terminals: tuple[str, ...]
    poles: tuple[int, ...]
    side: str
    """in or out"""


@dataclass
class Column:
    """One vertical path of power devices; a side column hangs between two devices of its main column."""

    devices: list[str]
    rows: list[Row]
    tap: str = ""
    join: str = ""


@dataclass
class Block:
    """A main column, its side columns, and the rails it comes from and goes to."""

    group: str
    columns: list[Column]
    feed: dict[str, str] = field(default_factory=dict)
    """Rail that feeds each terminal of the first row."""
    exits: dict[str, str] = field(default_factory=dict)
    """Rail that a terminal leads to."""

    @property
    def root(self) -> str:
        """First device."""
        return self.columns[0].devices[0]

    @property
    def devices(self) -> list[str]:
        """Every device of the block."""
        return [mark for column in self.columns for mark in column.devices]


@dataclass(frozen=True)
class Cell:
    """One two-terminal element in a rung, with the terminal at each end as drawn."""

    element: Element
    left: str
    right: str


@dataclass
class Rung:
    """One line of a ladder. ``start`` and ``end`` are a rail, a landing terminal, or empty at a fold."""

    cells: list[Cell]
    start: str
    end: str
    main: bool
    columns: list[int] = field(default_factory=list)
    line: str = ""


@dataclass
class Circuit:
    """A rung with its ears."""

    group: str
    hot: str
    back: str
    rungs: list[Rung]


def blocks(wiring: Wiring) -> list[Block]:
    """Power columns of a store in order of the list.

    Raises
    ------
    BadRequest
        A side branch hangs on a side branch.
    """
    found: list[Block] = []
    owner: dict[str, Block] = {}
    for run in wiring.runs:
        if run.kind != "bundle":
            continue
        first = run.parts[0].split(":")[0]
        if first in owner:
            _branch(wiring, run, owner[first])
            new = owner[first]
        else:
            new = _main(wiring, run)
            found.append(new)
        owner.update({mark: new for mark in new.devices})
    return found


def _rows(wiring: Wiring, marks: list[str], poles: dict[str, int]) -> list[Row]:
    rows = []
    for mark in marks:
        kind = KINDS[wiring.devices[mark].kind]
        for side, names in (("in", kind.into), ("out", kind.out)):
            if names:
                terminals = tuple(f"{mark}:{name}" for name in names)
                rows.append(Row(mark, terminals, tuple(poles.get(t, n) for n, t in enumerate(terminals)), side))
    return rows


def _main(wiring: Wiring, run: Run) -> Block:
    marks = [token.split(":")[0] for token in run.parts if token.split(":")[0] in wiring.devices]
    block = Block(wiring.devices[marks[0]].group, [Column(marks, _rows(wiring, marks, {}))])
    _rails(wiring, block)
    return block


def _rails(wiring: Wiring, block: Block) -> None:
    """Note which terminals of the block come from a rail and which go to one."""
    block.feed.clear()
    block.exits.clear()
    first = set(block.columns[0].rows[0].terminals) if block.columns[0].rows[0].side == "in" else set()
    for column in block.columns:
        for row in column.rows:
            for terminal in row.terminals:
                for wire in wiring.wires_at[terminal]:
                    rail = wire.b if wire.a == terminal else wire.a
                    if rail in wiring.rails:
                        (block.feed if terminal in first else block.exits)[terminal] = rail


def _branch(wiring: Wiring, run: Run, block: Block) -> None:
    main = block.columns[0]
    first, last = run.parts[0].split(":")[0], run.parts[-1].split(":")[0]
    marks = [
        token.split(":")[0]
        for token in run.parts[1:]
        if token.split(":")[0] in wiring.devices and token.split(":")[0] not in block.devices
    ]
    if first not in main.devices:
        raise BadRequest(f"wiring: bundle {run.name} hangs on side branch of {first}; draw it from a part of the main path")
    if ":" in run.parts[0]:
        pole = next(row.poles[row.terminals.index(run.parts[0])] for row in main.rows if run.parts[0] in row.terminals)
        main.rows += _rows(
            wiring,
            marks,
            {
                f"{mark}:{name}": pole
                for mark in marks
                for name in (*KINDS[wiring.devices[mark].kind].into, *KINDS[wiring.devices[mark].kind].out)
            },
        )
        main.devices += marks
    else:
        block.columns.append(Column(marks, _rows(wiring, marks, {}), first, last if last in main.devices else ""))
    _rails(wiring, block)


def circuits(wiring: Wiring) -> list[Circuit]:
    """Rungs of a store in order of the list, each with its ears.

    Raises
    ------
    BadRequest
        A string starts and ends at terminals that no rung holds.
    """
    found: list[Circuit] = []
    at: dict[str, Circuit] = {}
    elements = {frozenset((e.a, e.b)): e for e in wiring.elements}
    for run in wiring.runs:
        if run.kind != "string":
            continue
        cells = [Cell(elements[frozenset(stop)], stop[0], stop[1]) for stop in run.stops if len(stop) == 2]
        ends = [stop[0] if len(stop) == 1 else "" for stop in (run.stops[0], run.stops[-1])]
        landings = [end for end in ends if end and end not in wiring.rails]
        rung = Rung(cells, ends[0], ends[1], not landings)
        if landings:
            home = at.get(landings[0])
            if home is None or any(at.get(end) is not home for end in landings):
                raise BadRequest(
                    f"wiring: string {run.name} lands on {' and '.join(landings)}, which no earlier rung holds; list it first"
                )
            home.rungs.append(rung)
        else:
            home = Circuit(_group(wiring, cells), ends[0], ends[1], [rung])
            found.append(home)
        at.update({t: home for cell in cells for t in (cell.left, cell.right)})
    return found


def _group(wiring: Wiring, cells: list[Cell]) -> str:
    """A rung belongs where its load belongs."""
    loads = [cell.element.device for cell in cells if cell.element.role == "load"] or [cells[-1].element.device]
    return wiring.devices[loads[-1]].group

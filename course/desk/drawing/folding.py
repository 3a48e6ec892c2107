"""Columns of a ladder: where each element of a rung stands, how an ear pushes its rung apart, how a long rung is folded."""

from dataclasses import replace

from course.desk.drawing.paper import Paper
from course.desk.drawing.structure import Circuit, Rung


def arrange(paper: Paper, circuit: Circuit, most: int) -> list[Rung]:
    """Rungs of a circuit with their columns; a main rung that is too long is folded in balanced pieces, never inside an ear."""
    main, ears = circuit.rungs[0], circuit.rungs[1:]
    columns = _pushed(main, ears)
    if columns[-1] < most:
        rungs = [replace(main, columns=columns), *(_placed(ear, main, columns, most) for ear in ears)]
    else:
        rungs = _folded(main, ears, most)
    for rung in rungs:
        if not rung.columns or rung.columns[-1] >= most:
            paper.troubles.append(f"line {main.line}: no more than {most} elements fit in a row here")
            break
    return rungs


def _landing(terminal: str, rung: Rung) -> tuple[int, bool] | None:
    """Which cell of a rung holds a terminal, and whether it is the right end."""
    for n, cell in enumerate(rung.cells):
        if terminal in (cell.left, cell.right):
            return n, terminal == cell.right
    return None


def _span(ear: Rung, main: Rung) -> tuple[int, int]:
    """First and last cell of the main rung that an ear bridges."""
    start, end = _landing(ear.start, main), _landing(ear.end, main)
    first = 0 if start is None else start[0] + start[1]
    last = len(main.cells) - 1 if end is None else end[0] - (not end[1])
    return first, last


def _pushed(main: Rung, ears: list[Rung]) -> list[int]:
    """Columns of the main rung; an ear longer than what it bridges pushes what follows to the right."""
    columns = list(range(len(main.cells)))
    for ear in ears:
        first, last = _span(ear, main)
        lack = len(ear.cells) - (columns[last] - columns[first] + 1)
        if lack > 0:
            columns = [c + lack if n > last else c for n, c in enumerate(columns)]
    return columns


def _placed(ear: Rung, main: Rung, columns: list[int], most: int) -> Rung:
    first, _ = _span(ear, main)
    start = columns[min(first, len(columns) - 1)]
    return replace(ear, columns=[min(start + n, most) for n in range(len(ear.cells))])


def _folded(main: Rung, ears: list[Rung], most: int) -> list[Rung]:
    """Cut a long rung; each piece is followed by the ears that land on it."""
    spans = [_span(ear, main) for ear in ears]
    count = -(-len(main.cells) // most)
    even = -(-len(main.cells) // count)
    cuts = [0]
    while len(main.cells) - cuts[-1] > most:
        cut = min(cuts[-1] + even, len(main.cells) - 1)
        while cut > cuts[-1] and any(first < cut <= last or cut in (first, last + 1) for first, last in spans):
            cut -= 1
        if cut == cuts[-1]:
            return [replace(main, columns=[])]
        cuts.append(cut)
    rungs = []
    for start, end in zip(cuts, [*cuts[1:], len(main.cells)], strict=True):
        piece = Rung(
            main.cells[start:end],
            main.start if start == 0 else "",
            main.end if end == len(main.cells) else "",
            True,
            list(range(end - start)),
            main.line,
        )
        rungs.append(piece)
        rungs += [
            _placed(ear, piece, piece.columns, most) for ear, (a, b) in zip(ears, spans, strict=True) if start <= a and b < end
        ]
    return rungs

"""Sparse elimination that keeps gigaohm leaks beside milliohm contacts.

Unknowns are node voltages to earth. The diagonal of the admittance matrix is never formed: a row keeps its off-diagonals and
its *excess*, the admittance to earth (the row's sum). At pivot k

    d         = excess[k] - sum of off[k, j]          nothing cancels: off-diagonals are minus an admittance
    l         = off[i, k] / d                         for each remaining neighbour i
    excess[i] = excess[i] - l excess[k]
    off[i, j] = off[i, j] - l off[k, j]               i and j different

so the smallest leak survives next to the largest conductance. The pattern does not depend on switches or faults: the order
(minimum degree) and every index are worked out once for a store.

Nodes whose admittances change while a balance is looked for, and all that their elimination reaches, come last: from `live` on. The
rest is eliminated once, and what changes is gone through again from there.

Source: the row-sum form of Grassmann, Taksar and Heyman (1985) for Markov chains, carried over to admittances (from memory).
"""

from collections.abc import Iterable
from heapq import heapify, heappop, heappush
from typing import Any, NamedTuple

import numpy as np

from scenarios.compiling.kernel import compiled


class Program(NamedTuple):
    """Order of elimination and every index it needs; node numbers inside are places in that order."""

    start: Any
    """Where each pivot's entries begin, one more than pivots."""
    later: Any
    """Place of the later node of every entry."""
    pair_start: Any
    """Where each pivot's pairs begin, one more than pivots."""
    pair: Any
    """Entry that joins two later neighbours of a pivot, for every pair in order."""
    live: Any
    """(1,): place of the first node that changes or is reached by one that does."""


def order_of(count: int, joined: Iterable[tuple[int, int]]) -> tuple[list[int], list[set[int]]]:
    """Nodes by minimum degree, ties by number, and the neighbours each has left when its turn comes."""
    near: list[set[int]] = [set() for _ in range(count)]
    for a, b in joined:
        if a != b:
            near[a].add(b)
            near[b].add(a)
    heap = [(len(n), k) for k, n in enumerate(near)]
    heapify(heap)
    done = [False] * count
    order, left = [], []
    while heap:
        degree, k = heappop(heap)
        if done[k] or degree != len(near[k]):
            continue
        done[k] = True
        order.append(k)
        left.append(near[k])
        for i in near[k]:
            near[i] |= near[k]
            near[i] -= {i, k}
            heappush(heap, (len(near[i]), i))
    return order, left


def live_last(order: list[int], left: list[set[int]], changing: Iterable[int]) -> tuple[list[int], list[set[int]], int]:
    """The same elimination with what changes at its end: order, neighbours left, and where that end begins.

    The later neighbours of a node that changes do so too. No other node has one of them before it that it depends on, so moving
    them back alters nobody's neighbours.
    """
    reached = set(changing)
    for node, near in zip(order, left, strict=True):
        if node in reached:
            reached |= near
    turns = [n for n, node in enumerate(order) if node not in reached] + [n for n, node in enumerate(order) if node in reached]
    return [order[n] for n in turns], [left[n] for n in turns], len(order) - len(reached)


def program_for(
    count: int, joined: Iterable[tuple[int, int]], changing: Iterable[int] = ()
) -> tuple[Program, list[int], dict[tuple[int, int], int]]:
    """Plan the elimination of a network.

    Parameters
    ----------
    count : int
        Number of nodes. [-]
    joined : iterable of pairs
        Nodes that some branch may ever join. [-]
    changing : iterable of int
        Nodes of branches that change from turn to turn of a balance. [-]

    Returns
    -------
    tuple
        The program; the place of every node in the order; the entry of every pair of places, earlier first.
    """
    order, left, live = live_last(*order_of(count, joined), changing)
    place = [0] * count
    for position, node in enumerate(order):
        place[node] = position
    entry: dict[tuple[int, int], int] = {}
    start: list[int] = [0]
    later: list[int] = []
    for k, neighbours in enumerate(left):
        for j in sorted(place[n] for n in neighbours):
            entry[k, j] = len(later)
            later.append(j)
        start.append(len(later))
    pair_start: list[int] = [0]
    pair: list[int] = []
    for k in range(count):
        ahead = later[start[k] : start[k + 1]]
        pair += [entry[i, j] for n, i in enumerate(ahead) for j in ahead[n + 1 :]]
        pair_start.append(len(pair))
    arrays = (np.array(values, np.int64) for values in (start, later, pair_start, pair, [live]))
    return Program(*arrays), place, entry


@compiled
def factor(program: Program, upper: Any, lower: Any, excess: Any, pivot: Any) -> None:
    """Eliminate the whole, in place; arguments as of `eliminate` [S, ohm]."""
    eliminate(program, upper, lower, excess, pivot, 0, pivot.size)


@compiled
def eliminate(program: Program, upper: Any, lower: Any, excess: Any, pivot: Any, begin: int, end: int) -> None:
    """Eliminate some pivots, in place.

    Parameters
    ----------
    program : Program
        The plan.
    begin, end : int
        First place, and the place after the last. [-]
    upper, lower : array
        Off-diagonals, of the row of the earlier and of the later node; `lower` becomes the multipliers. [S]
    excess : array
        Admittance to earth of every row; consumed. [S]
    pivot : array
        Where one over every pivot goes. [ohm]
    """
    for k in range(begin, end):
        first, last = program.start[k], program.start[k + 1]
        d = excess[k]
        for p in range(first, last):
            d -= upper[p]
        square = d.real * d.real + d.imag * d.imag
        one_over = complex(d.real / square, -d.imag / square)
        pivot[k] = one_over
        for p in range(first, last):
            share = lower[p] * one_over
            lower[p] = share
            excess[program.later[p]] -= share * excess[k]
        q = program.pair_start[k]
        for a in range(first, last):
            for b in range(a + 1, last):
                entry = program.pair[q]
                upper[entry] -= lower[a] * upper[b]
                lower[entry] -= lower[b] * upper[a]
                q += 1


@compiled
def solve(program: Program, upper: Any, lower: Any, pivot: Any, x: Any) -> None:
    """Turn injected currents into node voltages, in place.

    Parameters
    ----------
    program, upper, lower, pivot
        What `factor` left. [S, ohm]
    x : array
        Currents injected into every node [A] before, voltages to earth after. [V]
    """
    forward(program, lower, x, 0, pivot.size)
    back(program, upper, pivot, x, 0, pivot.size)


@compiled
def forward(program: Program, lower: Any, x: Any, begin: int, end: int) -> None:
    """Hand on the currents of places `begin` to `end` [-] to those after; the rest as of `solve` [S, A]."""
    for k in range(begin, end):
        for p in range(program.start[k], program.start[k + 1]):
            x[program.later[p]] -= lower[p] * x[k]


@compiled
def back(program: Program, upper: Any, pivot: Any, x: Any, begin: int, end: int) -> None:
    """Volts of places `begin` to `end` [-] from those after; the rest as of `solve` [S, ohm, A to V]."""
    for k in range(end - 1, begin - 1, -1):
        left = x[k]
        for p in range(program.start[k], program.start[k + 1]):
            left -= upper[p] * x[program.later[p]]
        x[k] = left * pivot[k]

"""Loops round the physics for measuring it, compiled like the physics itself."""

from typing import Any, NamedTuple

import numpy as np

from scenarios.compiling.kernel import compiled
from scenarios.electrical.sparse import factor, solve
from scenarios.refrigeration.fluid import saturation


@compiled
def look_up(fluid: Any, pressures: Any) -> float:
    """Dew and bubble, enthalpy and volume of the gas for a column of pressures, summed so that none is left out."""
    total = 0.0
    for n in range(pressures.size):
        at = saturation(fluid, pressures[n])
        total += at.t_dew + at.t_bub + at.h_gas + at.v_gas
    return total


class Room(NamedTuple):
    """Memory that solving a network needs."""

    upper: Any
    lower: Any
    excess: Any
    pivot: Any
    volts: Any

    @classmethod
    def of(cls, program: Any, nodes: int) -> "Room":
        """Room for a network of so many nodes."""
        entries = program.later.size
        return cls(*(np.zeros(size, np.complex128) for size in (entries, entries, nodes, nodes, nodes)))


@compiled
def solve_network(program: Any, entries: Any, admittances: Any, leaks: Any, worlds: int, room: Room) -> float:
    """Assemble and solve a network for so many worlds; the sum of the volts at its first place."""
    total = 0.0
    for _ in range(worlds):
        for p in range(room.upper.size):
            room.upper[p] = 0.0
        for n in range(entries.size):
            room.upper[entries[n]] -= admittances[n]
        for p in range(room.upper.size):
            room.lower[p] = room.upper[p]
        for k in range(leaks.size):
            room.excess[k] = leaks[k]
            room.volts[k] = 0.0
        room.volts[0] = 100.0
        factor(program, room.upper, room.lower, room.excess, room.pivot)
        solve(program, room.upper, room.lower, room.pivot, room.volts)
        total += room.volts[0].real
    return total

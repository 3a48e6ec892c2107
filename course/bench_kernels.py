"""Loops round the physics for measuring it, compiled like the physics itself."""

from typing import Any

import numpy as np

from scenarios.electrical.sparse import factor, solve
from scenarios.kernel import compiled
from scenarios.refrigeration.fluid import saturation


@compiled
def look_up(fluid: Any, pressures: Any) -> float:
    """Dew and bubble, enthalpy and volume of the gas for a column of pressures, summed so that none is left out."""
    total = 0.0
    for n in range(pressures.size):
        at = saturation(fluid, pressures[n])
        total += at.t_dew + at.t_bub + at.h_gas + at.v_gas
    return total


@compiled
def solve_network(program: Any, entries: Any, admittances: Any, leaks: Any, worlds: int) -> float:
    """Assemble and solve a network for so many worlds; the sum of the volts at its first place."""
    count = leaks.size
    total = 0.0
    for _ in range(worlds):
        upper = np.zeros(program.later.size, np.complex128)
        for n in range(entries.size):
            upper[entries[n]] -= admittances[n]
        lower = upper.copy()
        pivot = np.zeros(count, np.complex128)
        volts = np.zeros(count, np.complex128)
        volts[0] = 100.0
        factor(program, upper, lower, leaks.copy(), pivot)
        solve(program, upper, lower, pivot, volts)
        total += volts[0].real
    return total

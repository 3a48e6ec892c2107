"""The network solved for an instrument: with true loads, or as a direct current sees it; then one ampere driven through it."""

from typing import Any

from scenarios.compiling.kernel import compiled
from scenarios.electrical.assemble import assemble_base, refresh, restart_matrix, stamp_windings_direct, take_positions
from scenarios.electrical.balance import balance, eliminate_live
from scenarios.electrical.layouts import Net, Parameters, State
from scenarios.electrical.sparse import factor, solve
from scenarios.electrical.step import OMEGA_PER_HERTZ, Inputs


@compiled
def solve_present(net: Net, par: Parameters, state: State, inputs: Inputs) -> None:
    """Volts of the present positions with true loads; leaves the factors for probes."""
    hertz = par.phases[0].hertz
    refresh(net, par, state, OMEGA_PER_HERTZ * hertz, True)
    for m in range(len(net.motors)):
        state.torque[m] = min(max(inputs.load[m], 0.0), 15.0)
    for d in range(len(net.drives)):
        state.pitch[d] = state.drives[d].hertz / hertz
    balance(net, par, state, OMEGA_PER_HERTZ * hertz)
    eliminate_live(net, par, state)  # what a meter sees behind its points, at the speeds that were found


@compiled
def solve_direct(net: Net, par: Parameters, state: State, tested: bool) -> None:
    """Factors of the network as a direct current sees it."""
    refresh(net, par, state, 0.0, tested)
    take_positions(net, par, state, 0.0)
    assemble_base(net, par, state, 0.0)
    restart_matrix(state)
    for m in range(len(net.motors)):
        stamp_windings_direct(net, par, state, m)
    for d in range(len(net.drives)):
        for i in range(3):
            state.upper[net.drives[d].rectifier[i]] -= 1e-6
            state.lower[net.drives[d].rectifier[i]] -= 1e-6
            state.excess[net.drives[d].leads[i]] += 1e-9
    factor(net.program, state.upper, state.lower, state.excess, state.pivot)


@compiled
def across(net: Net, state: State, a: int, b: int, x: Any) -> complex:
    """Volts between two places for one ampere driven from one to the other. [ohm]"""
    for k in range(x.size):
        x[k] = 0.0
    x[a] += 1.0
    x[b] -= 1.0
    solve(net.program, state.upper, state.lower, state.pivot, x)
    return complex(x[a] - x[b])


@compiled
def to_earth(net: Net, state: State, a: int, x: Any) -> complex:
    """Volts at a place for one ampere driven into it from earth. [ohm]"""
    for k in range(x.size):
        x[k] = 0.0
    x[a] = 1.0
    solve(net.program, state.upper, state.lower, state.pivot, x)
    return complex(x[a])

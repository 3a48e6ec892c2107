"""One set of switch positions: volts everywhere, speeds of running motors and what drives draw, all in agreement."""

import math

from scenarios.electrical.assemble import armature, assemble_base, restart_matrix, stamp_motor
from scenarios.electrical.motor import branch, is_whole, run_up_time, sequences, square, stamp, steady_speed
from scenarios.electrical.sparse import factor, solve
from scenarios.electrical.topology import Net
from scenarios.electrical.world import FACTORS, Parameters, State
from scenarios.kernel import compiled

OUTPUT_OHMS = 0.05
"""Impedance a drive's output stands behind [ohm]."""
AGREED = 1e-11
"""Speeds and drive power have settled when none moves by more than this [-]."""
MOST_TURNS = 40
"""Iterations before it is left at that."""
ENOUGH = 0.15
"""Forward volts below this share of rated volts turn nothing [-]."""
UNDERVOLTS = 0.72
"""A drive under power needs this share of its rated volts [-]. Common practice."""


@compiled
def drive_of(net: Net, par: Parameters, state: State, m: int) -> int:
    """Drive that feeds a motor now, -1 if none: it runs and its output contactor is in."""
    for d in range(len(net.drives)):
        contactor = net.drives[d, 11]
        if net.drives[d, 10] == m and state.drives[d].runs and (contactor < 0 or armature(contactor, par, state)):
            return d
    return -1


@compiled
def frequency(net: Net, par: Parameters, state: State, m: int) -> float:
    """Frequency at a motor's leads over supply frequency. [-]"""
    d = drive_of(net, par, state, m)
    return 1.0 if d < 0 else max(state.pitch[d], 0.02)


@compiled
def stamp_drive(net: Net, par: Parameters, state: State, d: int) -> None:
    """A drive's rectifier as three like conductances that take its power, and its output as volts behind impedance."""
    drive, row = par.drives[d], net.drives[d]
    for i in range(3):
        state.upper[row[6 + i]] -= state.draw[d]
        state.lower[row[6 + i]] -= state.draw[d]
    if not state.drives[d].runs:
        return
    size = drive.volts * min(state.pitch[d], 1.0) / math.sqrt(3.0)
    y = 1.0 / OUTPUT_OHMS
    for i in range(3):
        phasor = (
            complex(size, 0.0) if i == 0 else complex(-0.5 * size, (0.8660254037844386 if i == 2 else -0.8660254037844386) * size)
        )
        state.excess[row[3 + i]] += y
        state.volts[row[3 + i]] += y * phasor


@compiled
def output_amps(net: Net, par: Parameters, state: State, d: int, i: int) -> complex:
    """Current a drive gives out at one output terminal. [A]"""
    if not state.drives[d].runs:
        return complex(0.0, 0.0)
    size = par.drives[d].volts * min(state.pitch[d], 1.0) / math.sqrt(3.0)
    phasor = complex(size, 0.0) if i == 0 else complex(-0.5 * size, (0.8660254037844386 if i == 2 else -0.8660254037844386) * size)
    return complex((phasor - state.volts[net.drives[d, 3 + i]]) / OUTPUT_OHMS)


@compiled
def line_squares(net: Net, state: State, d: int) -> tuple[float, float]:
    """Sum of the squares of a drive's three line voltages, and the largest of them. [V2]"""
    total, most = 0.0, 0.0
    for i in range(3):
        one = square(state.volts[net.drives[d, i]] - state.volts[net.drives[d, (i + 1) % 3]])
        total += one
        most = max(most, one)
    return total, most


@compiled
def renew_draw(net: Net, par: Parameters, state: State, d: int) -> float:
    """Let a drive take the power it needs at the volts it has; returns how far that moved. [-]"""
    drive = par.drives[d]
    total, most = line_squares(net, state, d)
    rated = 3.0 * drive.volts * drive.volts
    if most < 0.16 * drive.volts * drive.volts:
        need = 1e-7
    else:
        watts = drive.idle
        for i in range(3):
            here = output_amps(net, par, state, d, i)
            v = state.volts[net.drives[d, 3 + i]]
            watts += max(v.real * here.real + v.imag * here.imag, 0.0) / drive.efficiency
        need = watts / max(total, 0.3 * rated)
    moved = abs(need - state.draw[d]) / max(need, 1e-7)
    state.draw[d] = need
    return float(moved)


@compiled
def gap_squares(net: Net, par: Parameters, state: State, m: int, f: float) -> tuple[float, float]:
    """Squares of the forward and backward volts that drive a motor's gap fields, at `f` [-] over rated frequency. [V2]

    With three like windings these are the terminal volts; otherwise what the sequence currents make of the sequence impedances.
    """
    row = net.motors[m]
    a, b, c = state.volts[row[0]], state.volts[row[1]], state.volts[row[2]]
    if is_whole(par.motors[m]):
        both = sequences(a, b, c)
        return square(both.forward), square(both.backward)
    n = state.speed[m]
    stamp(par.motors[m], n, f, state.block)
    k = state.block
    amps = sequences(
        k[0, 0] * a + k[0, 1] * b + k[0, 2] * c, k[1, 0] * a + k[1, 1] * b + k[1, 2] * c, k[2, 0] * a + k[2, 1] * b + k[2, 2] * c
    )
    z1, z2 = branch(par.motors[m], (f - n) / f, f).impedance, branch(par.motors[m], (f + n) / f, f).impedance
    return square(amps.forward * z1), square(amps.backward * z2)


@compiled
def renew_speed(net: Net, par: Parameters, state: State, m: int) -> float:
    """Let a running motor find its speed at the volts it has; returns how far it moved. [-]"""
    f = frequency(net, par, state, m)
    driven = drive_of(net, par, state, m) >= 0
    if state.stalled[m] != 0 or not (state.motors[m].running or driven):
        return 0.0
    forward, backward = gap_squares(net, par, state, m, f)
    rated = par.motors[m].volts * f
    n = 0.0
    if max(forward, backward) * 3.0 > ENOUGH * ENOUGH * rated * rated:
        if forward >= backward:
            n = steady_speed(par.motors[m], forward, backward, state.torque[m], f)
        else:
            n = -steady_speed(par.motors[m], backward, forward, state.torque[m], f)
    if n == 0.0:
        state.stalled[m] = 1
    moved = abs(n - state.speed[m])
    state.speed[m] = n
    return float(moved)


@compiled
def first_guess(net: Net, par: Parameters, state: State) -> None:
    """Begin every solve at the same place: rated speed if running, rest if not; so the answer depends on the key alone."""
    for m in range(len(net.motors)):
        state.stalled[m] = 0
        d = drive_of(net, par, state, m)
        running = state.motors[m].running or d >= 0
        state.speed[m] = par.motors[m].rated_speed * frequency(net, par, state, m) if running else 0.0
    for d in range(len(net.drives)):
        state.draw[d] = par.drives[d].idle / (3.0 * par.drives[d].volts * par.drives[d].volts)


@compiled
def balance(net: Net, par: Parameters, state: State, omega: float) -> None:
    """Solve the network with speeds and drive power in agreement; leaves volts and the factors behind.

    Parameters
    ----------
    net, par, state
        The world; `state.torque` and `state.pitch` say the loads and the drives' frequencies.
    omega : float
        Angular frequency of the supply. [rad/s]
    """
    assemble_base(net, par, state, omega)
    first_guess(net, par, state)
    for _ in range(MOST_TURNS):
        restart_matrix(state)
        for m in range(len(net.motors)):
            stamp_motor(net, par, state, m, frequency(net, par, state, m))
        for d in range(len(net.drives)):
            stamp_drive(net, par, state, d)
        factor(net.program, state.upper, state.lower, state.excess, state.pivot)
        solve(net.program, state.upper, state.lower, state.pivot, state.volts)
        state.tally[FACTORS] += 1
        moved = 0.0
        for m in range(len(net.motors)):
            moved = max(moved, renew_speed(net, par, state, m))
        for d in range(len(net.drives)):
            moved = max(moved, renew_draw(net, par, state, d))
        if moved < AGREED:
            break


@compiled
def time_to_start(net: Net, par: Parameters, state: State, m: int) -> float:
    """Time a standing motor needs to come up to speed; `NEVER` if it cannot, -1 if nothing drives it. [s]"""
    forward, backward = gap_squares(net, par, state, m, 1.0)
    rated = par.motors[m].volts
    if max(forward, backward) * 3.0 < ENOUGH * ENOUGH * rated * rated:
        return -1.0
    begins = 0.6 if par.motors[m].law == 0 else 1.0
    return run_up_time(par.motors[m], max(forward, backward), min(forward, backward), begins)

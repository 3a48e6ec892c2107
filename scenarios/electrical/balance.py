"""One set of switch positions: volts everywhere, speeds of running motors and what drives draw, all in agreement."""

import math

from scenarios.compiling.kernel import compiled
from scenarios.electrical.assemble import armature, keep_still, restart_live, stamp_motor
from scenarios.electrical.layouts import FACTORS, Net, Parameters, State
from scenarios.electrical.motor import branch, demand, is_whole, nearby_speed, run_up_time, sequences, square, stamp, steady_speed
from scenarios.electrical.parts import Motor
from scenarios.electrical.sparse import back, eliminate, forward

OUTPUT_OHMS = 0.05
"""Impedance a drive's output stands behind [ohm]."""
AGREED = 1e-8
"""Speeds have settled when none moves by more than this, drive power at ten times as much [-]."""
FAR = 2e-3
"""A speed that moves by more than this asks for a new elimination; less, and what drives draw, is made up for by currents [-]."""
PATIENCE = 10
"""Turns after which there is a new elimination in any case."""
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
        contactor = net.drives[d].contactor
        if net.drives[d].motor == m and state.drives[d].runs and (contactor < 0 or armature(contactor, par, state)):
            return d
    return -1


@compiled
def frequency(net: Net, par: Parameters, state: State, m: int) -> float:
    """Frequency at a motor's leads over supply frequency. [-]"""
    d = drive_of(net, par, state, m)
    return 1.0 if d < 0 else max(state.pitch[d], 0.02)


@compiled
def stamp_drive(net: Net, par: Parameters, state: State, d: int) -> None:
    """A drive's rectifier as three like conductances that take its power, and what its output stands behind."""
    row = net.drives[d]
    for i in range(3):
        state.upper[row.rectifier[i]] -= state.draw[d]
        state.lower[row.rectifier[i]] -= state.draw[d]
        if state.drives[d].runs:
            state.excess[row.leads[i]] += 1.0 / OUTPUT_OHMS
    state.drawn[d] = state.draw[d]


@compiled
def output_volts(par: Parameters, state: State, d: int, i: int) -> complex:
    """What a drive makes for one output terminal, behind its impedance. [V]"""
    size = par.drives[d].volts * min(state.pitch[d], 1.0) / math.sqrt(3.0)
    return complex(size, 0.0) if i == 0 else complex(-0.5 * size, (0.8660254037844386 if i == 2 else -0.8660254037844386) * size)


@compiled
def output_amps(net: Net, par: Parameters, state: State, d: int, i: int) -> complex:
    """Current a drive gives out at one output terminal. [A]"""
    if not state.drives[d].runs:
        return complex(0.0, 0.0)
    return complex((output_volts(par, state, d, i) - state.volts[net.drives[d].leads[i]]) / OUTPUT_OHMS)


@compiled
def line_squares(net: Net, state: State, d: int) -> tuple[float, float]:
    """Sum of the squares of a drive's three line voltages, and the largest of them. [V2]"""
    total, most = 0.0, 0.0
    for i in range(3):
        one = square(state.volts[net.drives[d].line[i]] - state.volts[net.drives[d].line[(i + 1) % 3]])
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
            v = state.volts[net.drives[d].leads[i]]
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
    a, b, c = state.volts[row.leads[0]], state.volts[row.leads[1]], state.volts[row.leads[2]]
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
def settled_speed(motor: Motor, forward: float, backward: float, load: float, f: float, before: float) -> float:
    """Speed of a running motor, looked for near the one before first.

    Parameters
    ----------
    motor : Motor
        The machine.
    forward, backward : float
        Squares of the sequence voltages. [V2]
    load, f, before : float
        Load over rated torque, frequency over supply frequency, speed before. [-]

    Returns
    -------
    float
        Speed over synchronous speed. [-]
    """
    n = nearby_speed(motor, forward, backward, load, f, before) if before > 0.0 and not motor.seized and forward >= 1.0 else 0.0
    return n if n > 0.0 else steady_speed(motor, forward, backward, load, f)


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
            n = settled_speed(par.motors[m], forward, backward, state.torque[m], f, state.speed[m])
        else:
            n = -settled_speed(par.motors[m], backward, forward, state.torque[m], f, -state.speed[m])
    if n == 0.0:
        state.stalled[m] = 1
    moved = abs(n - state.speed[m])
    state.speed[m] = n
    return float(moved)


@compiled
def first_guess(net: Net, par: Parameters, state: State) -> None:
    """Begin every solve at the same place: speed at rated volts if running, rest if not; so the answer depends on the key alone."""
    for m in range(len(net.motors)):
        state.stalled[m] = 0
        d = drive_of(net, par, state, m)
        state.speed[m] = 0.0
        if state.motors[m].running or d >= 0:
            f = frequency(net, par, state, m)
            n = steady_speed(par.motors[m], par.motors[m].volts * par.motors[m].volts * f * f / 3.0, 0.0, state.torque[m], f)
            state.speed[m] = n if n > 0.0 else par.motors[m].rated_speed * f
    for d in range(len(net.drives)):
        drive, m, watts = par.drives[d], net.drives[d].motor, par.drives[d].idle
        if m >= 0 and drive_of(net, par, state, m) == d and state.speed[m] > 0.0:
            watts += demand(par.motors[m], state.torque[m], state.speed[m]) * state.speed[m]
        state.draw[d] = watts / (3.0 * drive.volts * drive.volts)


@compiled
def balance(net: Net, par: Parameters, state: State, omega: float) -> None:
    """Solve the network with speeds and drive power in agreement; leaves volts, and the factors of its last elimination, behind.

    Parameters
    ----------
    net, par, state
        The world; `state.torque` and `state.pitch` say the loads and the drives' frequencies.
    omega : float
        Angular frequency of the supply. [rad/s]
    """
    keep_still(net, par, state, omega)
    first_guess(net, par, state)
    live, count = net.program.live[0], state.pivot.size
    moved, far = 1.0, 1.0
    for turn in range(MOST_TURNS):
        agreed = moved < AGREED
        anew = far > FAR or turn % PATIENCE == 0
        if anew:
            eliminate_live(net, par, state)
        inject(net, par, state, not anew)
        forward(net.program, state.lower, state.volts, live, count)
        back(net.program, state.upper, state.pivot, state.volts, live, count)
        if agreed:
            break
        far = 0.0
        for m in range(len(net.motors)):
            far = max(far, renew_speed(net, par, state, m))
        moved = far
        for d in range(len(net.drives)):
            moved = max(moved, 0.1 * renew_draw(net, par, state, d))
        if anew and moved == 0.0:
            break
    for k in range(live):
        state.volts[k] = state.inject[k]
    back(net.program, state.upper, state.pivot, state.volts, 0, live)


@compiled
def eliminate_live(net: Net, par: Parameters, state: State) -> None:
    """Factors of the network with motors and drives as they are now."""
    restart_live(net, state)
    for m in range(len(net.motors)):
        stamp_motor(net, par, state, m, frequency(net, par, state, m))
    for d in range(len(net.drives)):
        stamp_drive(net, par, state, d)
    eliminate(net.program, state.upper, state.lower, state.excess, state.pivot, net.program.live[0], state.pivot.size)
    state.tally[FACTORS] += 1


@compiled
def inject(net: Net, par: Parameters, state: State, moved: bool) -> None:
    """Put into the live part of `state.volts` the currents that sources drive there, and what makes up for speeds that have `moved`
    since the elimination.

    A motor or rectifier of admittance Y that stands in the factors as Y0 takes (Y - Y0) times its volts beside.
    """
    live = net.program.live[0]
    for k in range(live, state.away.size):
        state.away[k] = 0.0
    if moved:
        for m in range(len(net.motors)):
            makes_up(net, par, state, m)
        for d in range(len(net.drives)):
            for i in range(3):
                a, b = net.drives[d].line[i], net.drives[d].line[(i + 1) % 3]
                amps = (state.draw[d] - state.drawn[d]) * (state.volts[a] - state.volts[b])
                state.away[a] += amps
                state.away[b] -= amps
    for k in range(live, state.away.size):
        state.volts[k] = state.inject[k] - state.away[k]
    for d in range(len(net.drives)):
        if state.drives[d].runs:
            for i in range(3):
                state.volts[net.drives[d].leads[i]] += output_volts(par, state, d, i) / OUTPUT_OHMS


@compiled
def makes_up(net: Net, par: Parameters, state: State, m: int) -> None:
    """Currents that a motor takes beyond what its admittances in the factors say, added to `state.away`."""
    if state.speed[m] == state.stamped_at[m]:
        return
    stamp(par.motors[m], state.speed[m], frequency(net, par, state, m), state.block)
    for i in range(3):
        for j in range(3):
            if i != j:
                a, b = net.motors[m].leads[i], net.motors[m].leads[j]
                state.away[a] += (state.block[i, j] - state.stamped[m, i, j]) * (state.volts[b] - state.volts[a])


@compiled
def time_to_start(net: Net, par: Parameters, state: State, m: int) -> float:
    """Time a standing motor needs to come up to speed; `NEVER` if it cannot, -1 if nothing drives it. [s]"""
    forward, backward = gap_squares(net, par, state, m, 1.0)
    rated = par.motors[m].volts
    if max(forward, backward) * 3.0 < ENOUGH * ENOUGH * rated * rated:
        return -1.0
    begins = 0.6 if par.motors[m].law == 0 else 1.0
    return run_up_time(par.motors[m], max(forward, backward), min(forward, backward), begins)

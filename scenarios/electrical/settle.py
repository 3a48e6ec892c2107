"""From one discrete state to the next that stands: solve, trip what trips at once, move the fastest coil, until nothing moves."""

from typing import Any

from scenarios.compiling.exact import on_grid, size
from scenarios.compiling.kernel import compiled
from scenarios.electrical.assemble import armature, closes
from scenarios.electrical.balance import UNDERVOLTS, balance, drive_of, line_squares, output_amps, time_to_start
from scenarios.electrical.layouts import EVENTS, HAPPENED, LINK, MOVED, SOLVES, Net, Parameters, State

TRIP, MELT, OVERLOAD, PULL, DROP, DRIVE, BURN, CHATTER, START, GROWL, GUARD = range(1, 12)
"""Events: breaker trips, fuse melts, overload trips, coil pulls in, lets go, drive trips, pole burns open, coil chatters,
motor comes up to speed, motor stands and growls, motor protector opens."""
MOST_MOVES = 4
"""A coil that moves more often than this within one settling chatters [-]."""
ROUNDS = 60
"""Solves within one settling before it is left at that; chatter is named long before."""
WORKS = 0.70
"""Share of rated volts at which a load works [-]. Common practice."""


@compiled
def happened(state: State, kind: int, part: int) -> None:
    """Write down an event; whatever is one, the key may have changed with it."""
    state.tally[MOVED] = 1
    n = state.tally[HAPPENED] % EVENTS
    state.events[n, 0], state.events[n, 1], state.events[n, 2] = state.clock[0], kind, part
    state.tally[HAPPENED] += 1


@compiled
def protector_amps(net: Net, state: State, k: int) -> float:
    """Current through one protecting element. [A]"""
    n = net.protectors[k].switch
    return size((state.volts[net.switches[n].a] - state.volts[net.switches[n].b]) * state.switch_y[n])


@compiled
def trip_worst(net: Net, par: Parameters, state: State) -> bool:
    """Open the one protector furthest above its magnetic level; whether there was one."""
    worst, which = 1.0, -1
    for k in range(len(net.protectors)):
        here = par.protectors[k]
        ratio = protector_amps(net, state, k) / (here.magnetic * here.rating * here.weak)
        if ratio > worst and closes(net, par, state, net.protectors[k].switch):
            worst, which = ratio, k
    if which < 0:
        return False
    open_protector(net, state, which)
    return True


@compiled
def open_protector(net: Net, state: State, k: int) -> None:
    """What happens when an element's heat or field opens it: a fuse melts, anything else trips its device."""
    if net.protectors[k].kind == LINK:
        state.switches[net.protectors[k].switch].blown = True
    else:
        state.devices[net.protectors[k].part].tripped = True


@compiled
def load_ratio(net: Net, par: Parameters, state: State, n: int) -> float:
    """Volts on a load over rated; zero where its winding cannot work. [-]"""
    load = par.loads[n]
    if load.opened or load.shorted:
        return 0.0
    return float(size(state.volts[net.loads[n].a] - state.volts[net.loads[n].b]) / load.volts)


@compiled
def trip_drive(net: Net, par: Parameters, state: State) -> bool:
    """Latch the first drive fault; whether there was one."""
    for d in range(len(net.drives)):
        drive, here = par.drives[d], state.drives[d]
        _, most = line_squares(net, state, d)
        share = most / (drive.volts * drive.volts)
        here.powered = share >= 0.16
        if not here.powered:
            here.fault = 0
            continue
        if here.fault != 0:
            continue
        if share < UNDERVOLTS * UNDERVOLTS:
            here.fault = 1
        elif here.runs:
            u, v, w = output_amps(net, par, state, d, 0), output_amps(net, par, state, d, 1), output_amps(net, par, state, d, 2)
            least, largest = min(size(u), size(v), size(w)), max(size(u), size(v), size(w))
            if size(u + v + w) > 0.25 * drive.amps:
                here.fault = 2
            elif largest > 2.2 * drive.amps:
                here.fault = 4
            elif largest > 0.25 * drive.amps and least < 0.1 * largest:
                here.fault = 5
        if here.fault != 0:
            here.runs = False
            return True
    return False


@compiled
def moves_fastest(net: Net, par: Parameters, state: State) -> bool:
    """Move the fastest coil that wants to, else a drive's run command; whether one did."""
    for c in range(len(net.movers)):
        device, load = net.movers[c].part, net.movers[c].load
        here = state.devices[device]
        if here.chatter:
            continue
        ratio = load_ratio(net, par, state, load)
        wanted = ratio >= (par.devices[device].drop_out if here.picked else par.devices[device].pull_in)
        if wanted != here.picked:
            here.picked = wanted
            state.moves[device] += 1
            if state.moves[device] > MOST_MOVES:
                here.chatter, here.picked = True, False
            return True
    for d in range(len(net.drives)):
        drive, here = par.drives[d], state.drives[d]
        asked = net.drives[d].run_input >= 0 and load_ratio(net, par, state, net.drives[d].run_input) >= WORKS
        wanted = asked and here.powered and here.fault == 0 and not (drive.blind or drive.dead)
        if wanted != here.runs:
            here.runs = wanted
            return True
    return False


@compiled
def settle(net: Net, par: Parameters, state: State, omega: float) -> None:
    """Bring contacts, trips, speeds and volts into agreement.

    Parameters
    ----------
    net, par, state
        The world; its devices, switches, drives and motors are moved.
    omega : float
        Angular frequency of the supply. [rad/s]
    """
    for device in range(len(state.devices)):
        state.moves[device] = 0
        state.devices[device].chatter = False
    for _ in range(ROUNDS):
        balance(net, par, state, omega)
        state.tally[SOLVES] += 1
        if trip_worst(net, par, state) or trip_drive(net, par, state) or moves_fastest(net, par, state):
            continue
        break
    for m in range(len(net.motors)):
        driven = drive_of(net, par, state, m) >= 0
        state.motors[m].running = (state.motors[m].running or driven) and state.stalled[m] == 0


@compiled
def motor_watts(net: Net, state: State, m: int) -> float:
    """Electrical power into a motor, from the currents that its wires bring to its leads. [W]"""
    watts = 0.0
    for i in range(3):
        v, amps = state.volts[net.motors[m].leads[i]], state.away[net.motors[m].leads[i]]
        watts += v.real * amps.real + v.imag * amps.imag
    return watts


@compiled
def write_row(net: Net, par: Parameters, state: State, row: Any) -> None:
    """Put the solution and the discrete state it settled in into one row, rounded to the grid."""
    at = 0
    for k in range(state.away.size):
        state.away[k] = 0.0
    for n in range(len(net.wires)):
        amps = (state.volts[net.wires[n].a] - state.volts[net.wires[n].b]) * state.wire_y[n]
        state.away[net.wires[n].a] -= amps
        state.away[net.wires[n].b] += amps
        row[at], row[at + 1] = on_grid(amps.real), on_grid(amps.imag)
        at += 2
    for k in range(len(net.protectors)):
        row[at] = on_grid(protector_amps(net, state, k))
        row[at + 1] = 1.0 if state.switches[net.protectors[k].switch].blown else 0.0
        at += 2
    for m in range(len(net.motors)):
        running = state.motors[m].running
        needs = 0.0 if running else time_to_start(net, par, state, m)
        row[at], row[at + 1], row[at + 2] = on_grid(state.speed[m]), on_grid(motor_watts(net, state, m)), 1.0 if running else 0.0
        row[at + 3] = needs
        row[at + 4] = 1.0 if (running or needs >= 0.0) else 0.0
        at += 5
    for n in range(len(net.loads)):
        row[at] = 1.0 if load_ratio(net, par, state, n) >= WORKS else 0.0
        at += 1
    for d in range(len(state.devices)):
        here = state.devices[d]
        row[at] = (1.0 if here.tripped else 0.0) + (2.0 if here.picked else 0.0) + (4.0 if here.chatter else 0.0)
        at += 1
    for d in range(len(net.drives)):
        row[at], row[at + 1], row[at + 2] = (
            1.0 if state.drives[d].runs else 0.0,
            state.drives[d].fault,
            1.0 if state.drives[d].powered else 0.0,
        )
        at += 3


@compiled
def adopt(net: Net, par: Parameters, state: State, row: Any) -> None:
    """Take a row as the present solution: positions, speeds, currents; write down what was heard, hold the highest amps."""
    for k in range(row.size):
        state.row[k] = row[k]
    at = 2 * len(net.wires)
    for k in range(len(net.protectors)):
        link = state.switches[net.protectors[k].switch]
        link.blown = row[at + 1] > 0.5
        at += 2
    for m in range(len(net.motors)):
        here = state.motors[m]
        here.speed, here.watts, here.running, here.needs = row[at], row[at + 1], row[at + 2] > 0.5, row[at + 3]
        if here.running or row[at + 4] < 0.5:
            here.starting = 0.0
        at += 5
    for n in range(len(net.loads)):
        state.loads[n].energised = row[at] > 0.5
        at += 1
    for d in range(len(state.devices)):
        here, bits = state.devices[d], int(row[at])
        here.tripped, here.picked, here.chatter = bits % 2 == 1, (bits // 2) % 2 == 1, bits >= 4
        at += 1
    for d in range(len(net.drives)):
        state.drives[d].runs, state.drives[d].fault, state.drives[d].powered = row[at] > 0.5, int(row[at + 1]), row[at + 2] > 0.5
        at += 3
    hold_most(net, state)


@compiled
def hold_most(net: Net, state: State) -> None:
    """Amps into every terminal from its wires, and the highest of them since cleared. [A]"""
    for k in range(state.amps.size):
        state.away[k] = 0.0
    for n in range(len(net.wires)):
        flow = complex(state.row[2 * n], state.row[2 * n + 1])
        state.away[net.wires[n].a] -= flow
        state.away[net.wires[n].b] += flow
    for k in range(state.amps.size):
        state.amps[k] = 0.0
        if state.away[k] != 0.0:
            state.amps[k] = size(state.away[k])
            state.most[k] = max(state.most[k], state.amps[k])


@compiled
def armatures(net: Net, par: Parameters, state: State, d: int) -> bool:
    """Whether a device's armature is in. [-]"""
    return armature(d, par, state)

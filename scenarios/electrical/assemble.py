"""From parameters and positions to the matrix: alternating current as it stands, direct current as a tester sees it."""

from typing import Any

from scenarios.compiling.kernel import compiled
from scenarios.electrical.conductors import MUTUAL
from scenarios.electrical.joints import LOOSE as LOOSE_OHMS
from scenarios.electrical.layouts import BREAK, BREAKER, FAULT, FOLLOW, FUSE, LOOSE, MAKE, POLE, POSITION, Net, Parameters, State
from scenarios.electrical.motor import stamp
from scenarios.electrical.sparse import eliminate, forward

OPEN_SIEMENS = 1e-10
"""Conductance of an open contact [S]."""
OPEN_FARADS = 3e-12
"""Capacitance of an open contact [F]."""
TINY = 1e-12
"""Admittance of a broken conductor: nearly nothing, never nothing [S]."""
SHORTED_OHMS = 0.4
"""What is left of a shorted coil [ohm]."""
OPENED_OHMS = 1e9
"""An open winding [ohm]."""


@compiled
def armature(device: int, par: Parameters, state: State) -> bool:
    """Whether a device's armature, or what the plant moves of it, is in its worked position."""
    if par.devices[device].stuck != 0:
        return bool(par.devices[device].stuck > 0)
    here = state.devices[device]
    return bool(here.picked or here.hand or here.follows)


@compiled
def closes(net: Net, par: Parameters, state: State, n: int) -> bool:
    """Whether one switch's own mechanism holds it closed, before welds and burns."""
    what, device = net.switches[n].closer, net.switches[n].part
    here = state.devices[device]
    if what == BREAKER:
        return bool(here.shut and not here.tripped)
    if what == FUSE:
        return not state.switches[n].blown
    if what in (POLE, MAKE, FOLLOW):
        return bool(armature(device, par, state) or (what == MAKE and here.tripped))
    if what == BREAK:
        return not (armature(device, par, state) or bool(here.tripped))
    if what == POSITION:
        return bool(here.spot == net.switches[n].position)
    if what == FAULT:
        for d in range(len(net.drives)):
            if net.drives[d].part == device:
                return bool(state.drives[d].fault != 0)
        return False
    return True


@compiled
def is_closed(net: Net, par: Parameters, state: State, n: int) -> bool:
    """(computed or welded) and not burnt."""
    switch = par.switches[n]
    if switch.burnt or state.switches[n].cooked >= 1.0:
        return False
    return switch.welded or closes(net, par, state, n)


@compiled
def wire_impedance(par: Parameters, state: State, n: int) -> complex:
    """One conductor with its two joints as the network last took them up. [ohm]"""
    wire, here = par.wires[n], state.wires[n]
    ohms = wire.ohms + wire.joint_a * here.used_a + wire.joint_b * here.used_b
    return complex(max(ohms, 1e-5), wire.reactance)


@compiled
def is_through(par: Parameters, state: State, n: int) -> bool:
    """Whether a conductor is whole and landed at both ends."""
    return not (par.wires[n].broken or state.wires[n].lifted_a or state.wires[n].lifted_b)


@compiled
def refresh(net: Net, par: Parameters, state: State, omega: float, tested: bool) -> None:
    """Work out what only acts and faults change: wires, shunts to earth and the list of joints to follow in time.

    Parameters
    ----------
    net, par, state
        The world.
    omega : float
        Angular frequency; zero for direct current. [rad/s]
    tested : bool
        Whether there are volts enough for a carbonised path to conduct. [-]
    """
    state.still[0] = 0
    for n in range(len(par.nodes)):
        node = par.nodes[n]
        state.shunt[net.place[n]] = complex(node.leak + (node.track if tested else 0.0), omega * node.farads)
    count = 0
    for n in range(len(net.wires)):
        wire, here = par.wires[n], state.wires[n]
        z = wire_impedance(par, state, n)
        whole = is_through(par, state, n)
        state.wire_y[n] = (1.0 / z if omega > 0.0 else 1.0 / complex(z.real, 0.0)) if whole else complex(TINY, 0.0)
        half = 0.5 * complex(wire.leak + (wire.track if tested else 0.0), omega * wire.farads)
        at_a = 0.0 if here.lifted_a else (2.0 if here.lifted_b else 1.0)
        at_b = 0.0 if here.lifted_b else (2.0 if here.lifted_a else 1.0)
        state.shunt[net.wires[n].a] += at_a * half
        state.shunt[net.wires[n].b] += at_b * half
        if wire.joint_a > LOOSE_OHMS or here.warm_a > 1.0:
            state.loose[count] = 2 * n
            count += 1
        if wire.joint_b > LOOSE_OHMS or here.warm_b > 1.0:
            state.loose[count] = 2 * n + 1
            count += 1
    state.tally[LOOSE] = count


@compiled
def coil_impedance(net: Net, par: Parameters, state: State, n: int) -> complex:
    """One load at supply frequency, its armature as it stands. [ohm]"""
    load = par.loads[n]
    if load.opened:
        return complex(OPENED_OHMS, 0.0)
    if load.shorted:
        return complex(SHORTED_OHMS, 0.0)
    z = complex(load.ohms, load.reactance)
    return z if armature(net.loads[n].part, par, state) else z / load.rush


@compiled
def join(base: Any, entry: int, y: complex) -> None:
    """Stamp a branch of admittance `y` [S]: two off-diagonals, nothing else."""
    base[entry] -= y


@compiled
def stamp_transformer(net: Net, par: Parameters, base: Any, n: int, direct: bool) -> None:
    """A control transformer: y u u' with u = (r, -r, -1, 1), and its magnetising branch; two lone windings to a direct current."""
    t = par.transformers[n]
    row = net.transformers[n]
    if direct:
        if not t.primary_open:
            join(base, row.primary, complex(2.0 * t.ratio * t.ratio / t.ohms, 0.0))
        if not t.secondary_open:
            join(base, row.secondary, complex(2.0 / t.ohms, 0.0))
        return
    if t.primary_open:
        if not t.secondary_open:  # the iron still magnetises from the other side
            join(base, row.secondary, 1.0 / complex(0.0, t.magnetising * t.ratio * t.ratio))
        return
    join(base, row.primary, 1.0 / complex(0.0, t.magnetising) + 1.0 / t.core)
    if t.secondary_open:
        return
    y = 1.0 / complex(t.ohms, t.reactance)
    join(base, row.primary, t.ratio * t.ratio * y)
    join(base, row.secondary, y)
    join(base, row.h1_x1, t.ratio * y)
    join(base, row.h4_x2, t.ratio * y)
    join(base, row.h1_x2, -t.ratio * y)
    join(base, row.h4_x1, -t.ratio * y)


@compiled
def take_positions(net: Net, par: Parameters, state: State, omega: float) -> bool:
    """Admittances of switches and loads as they stand at angular frequency `omega` [rad/s]; whether any is another than before."""
    moved, direct = False, omega == 0.0
    for n in range(len(net.switches)):
        y = (
            complex(1.0 / par.switches[n].ohms, 0.0)
            if is_closed(net, par, state, n)
            else complex(OPEN_SIEMENS, omega * OPEN_FARADS)
        )
        moved = moved or y != state.switch_y[n]
        state.switch_y[n] = y
    for n in range(len(net.loads)):
        load = par.loads[n]
        z = coil_impedance(net, par, state, n)
        if direct and not (load.opened or load.shorted):
            z = complex(load.winding, 0.0)
        moved = moved or 1.0 / z != state.load_y[n]
        state.load_y[n] = 1.0 / z
    return moved


@compiled
def assemble_base(net: Net, par: Parameters, state: State, omega: float) -> None:
    """Everything but motors and drives, which change from iteration to iteration.

    Parameters
    ----------
    net, par, state
        The world, its positions taken.
    omega : float
        Angular frequency; zero for direct current. [rad/s]
    """
    base, direct = state.stays, omega == 0.0
    for p in range(base.size):
        base[p] = 0.0
    for k in range(state.stays_excess.size):
        state.stays_excess[k] = state.shunt[k]
        state.inject[k] = 0.0
    for n in range(len(net.wires)):
        join(base, net.wires[n].entry, state.wire_y[n])
    for n in range(len(net.switches)):
        join(base, net.switches[n].entry, state.switch_y[n])
    for n in range(len(net.loads)):
        join(base, net.loads[n].entry, state.load_y[n])
    for n in range(len(net.transformers)):
        stamp_transformer(net, par, base, n, direct)
    for n in range(len(net.near)):
        join(base, net.near[n].entry, complex(0.0, omega * MUTUAL * net.near_farads[n]))
    for n in range(len(net.jumpers)):
        if net.jumpers[n].entry >= 0:
            join(base, net.jumpers[n].entry, complex(1.0 / par.jumpers[n].ohms, 0.0))
    stamp_sources(net, par, state, direct)


@compiled
def stamp_sources(net: Net, par: Parameters, state: State, direct: bool) -> None:
    """The utility and whatever comes from elsewhere: volts behind impedance, as current beside admittance."""
    for n in range(net.service.size):
        phase, k = par.phases[n % 3], net.service[n]
        y = complex(1e-9, 0.0) if phase.lost else 1.0 / complex(phase.ohms, 0.0 if direct else phase.reactance)
        state.stays_excess[k] += y
        if not direct:
            state.inject[k] += y * complex(phase.re, phase.im)
    for n in range(len(par.foreign)):
        source = par.foreign[n]
        if source.node >= 0:
            k = net.place[source.node]
            y = complex(1.0 / source.ohms, 0.0)
            state.stays_excess[k] += y
            if not direct:
                state.inject[k] += y * complex(source.re, source.im)


@compiled
def stamp_motor(net: Net, par: Parameters, state: State, m: int, f: float) -> None:
    """Put one motor at its present trial speed, frequency `f` [-] over rated, into the matrix."""
    stamp(par.motors[m], state.speed[m], f, state.block)
    row, block = net.motors[m], state.block
    state.stamped_at[m] = state.speed[m]
    for i in range(3):
        j = (i + 1) % 3
        state.stamped[m, i, j], state.stamped[m, j, i] = block[i, j], block[j, i]
        past = par.motors[m].short_12 if i == 0 else (par.motors[m].short_23 if i == 1 else par.motors[m].short_31)
        out, back = block[i, j] - past, block[j, i] - past
        entry = row.windings[i]
        if row.backward[i] == 1:
            out, back = back, out
        state.upper[entry] += out
        state.lower[entry] += back


@compiled
def stamp_windings_direct(net: Net, par: Parameters, state: State, m: int) -> None:
    """One motor to a direct current: three resistances in star, star point eliminated."""
    motor, row = par.motors[m], net.motors[m]
    g1, g2, g3 = 1.0 / (motor.stator + motor.open_1), 1.0 / (motor.stator + motor.open_2), 1.0 / (motor.stator + motor.open_3)
    total = g1 + g2 + g3
    for i in range(3):
        y = (
            g1 * g2 / total + motor.short_12
            if i == 0
            else (g2 * g3 / total + motor.short_23 if i == 1 else g3 * g1 / total + motor.short_31)
        )
        state.upper[row.windings[i]] -= y
        state.lower[row.windings[i]] -= y


@compiled
def keep_still(net: Net, par: Parameters, state: State, omega: float) -> None:
    """Eliminate what motors and drives do not reach, and keep what that makes of the rest for as long as no position changes.

    Most solves are asked for by a load or a drive's frequency alone. `refresh` says when anything else is no longer what it was.

    Parameters
    ----------
    net, par, state
        The world.
    omega : float
        Angular frequency of the supply. [rad/s]
    """
    if not take_positions(net, par, state, omega) and state.still[0] != 0:
        return
    assemble_base(net, par, state, omega)
    restart_matrix(state)
    live, count = net.program.live[0], state.pivot.size
    eliminate(net.program, state.upper, state.lower, state.excess, state.pivot, 0, live)
    forward(net.program, state.lower, state.inject, 0, live)
    for p in range(net.program.start[live], net.program.start[count]):
        state.stays[p], state.stays_lower[p] = state.upper[p], state.lower[p]
    for k in range(live, count):
        state.stays_excess[k] = state.excess[k]
    state.still[0] = 1


@compiled
def restart_live(net: Net, state: State) -> None:
    """Bring the live part of the matrix back to where `keep_still` left it."""
    live, count = net.program.live[0], state.pivot.size
    for p in range(net.program.start[live], net.program.start[count]):
        state.upper[p], state.lower[p] = state.stays[p], state.stays_lower[p]
    for k in range(live, count):
        state.excess[k] = state.stays_excess[k]


@compiled
def restart_matrix(state: State) -> None:
    """Copy what stays into the matrix that will be eliminated."""
    for p in range(state.stays.size):
        state.upper[p] = state.stays[p]
        state.lower[p] = state.stays[p]
    for k in range(state.excess.size):
        state.excess[k] = state.stays_excess[k]

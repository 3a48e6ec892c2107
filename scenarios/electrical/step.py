"""One step of the electrical world on the plant's clock.

What the plant tells contacts, the load buckets and the drives' frequencies make a key, with everything that is open or closed.
The network is solved only when the key changes, and the result is remembered: a solve is a pure function of the key, so a memory
of any length, or none, gives the same bits. The key is read anew only after something in it has moved. Heaters, joints and
counters are integrated exactly over every span between events, so a start that cannot succeed trips its overload at the second
its class says, inside a step of any length.
"""

from typing import Any, NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.electrical.assemble import refresh
from scenarios.electrical.balance import drive_of
from scenarios.electrical.layouts import GOOD, HITS, MOVED, REMEMBER, STALE, Net, Parameters, State
from scenarios.electrical.memory import clear_memory, free_slot, remembered, same, write_key
from scenarios.electrical.protection import fade_of
from scenarios.electrical.settle import CHATTER, DRIVE, DROP, MELT, PULL, TRIP, adopt, happened, hold_most, settle, write_row
from scenarios.electrical.spans import count_hours, hear_growls, next_event, turn_motors, warm_drives, warm_joints, warm_protectors

OMEGA_PER_HERTZ = 6.283185307179586
BUCKETS = 8.0
"""Load buckets per rated torque [-]."""
HERTZ = 2.0
"""Width of a bucket of a drive's output frequency [Hz]; the plant's shaft follows the drive exactly."""
HOLD = 0.75
"""A bucket is left only when the load is this many buckets away [-]."""
MOST_SPANS = 64
"""Events within one step before the rest of it is integrated in one go."""


class Inputs(NamedTuple):
    """What the plant tells the wiring each step."""

    follows: Any
    """Per follower: relay called, cut-out or float contact closed. [-]"""
    load: Any
    """Per motor: shaft torque at rated speed over rated torque. [-]"""
    reference: Any
    """Per drive: speed asked for, 0 to 1. [-]"""


class Outputs(NamedTuple):
    """What the wiring gives back."""

    speed: Any
    """Per motor, over rated speed, signed. [-]"""
    amps: Any
    """(motors, 3). [A]"""
    watts: Any
    """Per motor. [W]"""
    energised: Any
    """Per load. [-]"""
    picked: Any
    """Per device. [-]"""


@compiled
def take_bucket(state: State, here: Any, bucket: int) -> None:
    """Put a motor or a drive into a bucket [-]."""
    if here.bucket != bucket:
        here.bucket, state.tally[MOVED] = bucket, 1


@compiled
def take_inputs(net: Net, par: Parameters, state: State, inputs: Inputs, dt: float) -> None:
    """Move what the plant moves, put loads and references into buckets."""
    for k in range(net.followers.size):
        device, told = state.devices[net.followers[k]], inputs.follows[k] != 0
        if device.follows != told:
            device.follows, state.tally[MOVED] = told, 1
    for m in range(len(net.motors)):
        here, load = state.motors[m], min(max(inputs.load[m], 0.0), 15.0) * BUCKETS
        if not here.running or abs(load - here.bucket) > HOLD:
            take_bucket(state, here, int(load + 0.5))
    for d in range(len(net.drives)):
        drive, here = par.drives[d], state.drives[d]
        goal = max(min(inputs.reference[d], 1.0) * drive.hertz, drive.least_hertz) if here.runs else 0.0
        reach = drive.ramp * dt
        here.hertz = min(max(goal, here.hertz - reach), here.hertz + reach)
        if not here.runs:
            here.hertz = 0.0
        if abs(here.hertz / HERTZ - here.bucket) > HOLD:
            take_bucket(state, here, int(here.hertz / HERTZ + 0.5))


@compiled
def set_conditions(net: Net, par: Parameters, state: State) -> None:
    """Loads and frequencies as the key has them."""
    for m in range(len(net.motors)):
        state.torque[m] = state.motors[m].bucket / BUCKETS
    for d in range(len(net.drives)):
        state.pitch[d] = state.drives[d].bucket * HERTZ / par.drives[d].hertz


@compiled
def listen(net: Net, state: State) -> None:
    """Write down what changed between the key before (`state.trial`) and the present state, for whoever listens."""
    at = 0
    for d in range(len(state.devices)):
        before, here = state.trial[at], state.devices[d]
        if here.picked != ((before & 4) != 0):
            happened(state, PULL if here.picked else DROP, d)
        if here.chatter:
            happened(state, CHATTER, d)
        if here.tripped and (before & 2) == 0:
            happened(state, TRIP, d)
        at += 1
    for k in range(len(net.protectors)):
        if state.switches[net.protectors[k].switch].blown and state.trial[at] == 0:
            happened(state, MELT, net.protectors[k].part)
        at += 1
    at += 2 * len(net.motors)
    for d in range(len(net.drives)):
        if state.drives[d].fault != 0 and state.trial[at + 1] == 0:
            happened(state, DRIVE, net.drives[d].part)
        at += 4


@compiled
def renew(net: Net, par: Parameters, state: State) -> None:
    """Make the present solution that of the present discrete state: keep it, remember it, or solve."""
    hertz = par.phases[0].hertz
    if state.tally[STALE] != 0:
        clear_memory(state)
        refresh(net, par, state, OMEGA_PER_HERTZ * hertz, True)
        state.tally[STALE] = 0
    if state.tally[GOOD] != 0 and state.tally[MOVED] == 0:
        return
    write_key(net, state, state.trial)
    if state.tally[GOOD] != 0 and same(state.trial, state.key):
        state.tally[MOVED] = 0
        return
    slot = remembered(state, state.trial) if state.tally[REMEMBER] != 0 else -1
    if slot >= 0:
        state.tally[HITS] += 1
        adopt(net, par, state, state.memo_rows[slot])
    else:
        set_conditions(net, par, state)
        settle(net, par, state, OMEGA_PER_HERTZ * hertz)
        slot = free_slot(state, state.trial)
        for k in range(state.trial.size):
            state.memo_keys[slot, k] = state.trial[k]
        write_row(net, par, state, state.memo_rows[slot])
        state.memo_used[slot] = 1 if state.tally[REMEMBER] != 0 else 0
        adopt(net, par, state, state.memo_rows[slot])
    listen(net, state)
    write_key(net, state, state.key)
    state.tally[GOOD], state.tally[MOVED] = 1, 0


@compiled
def set_fades(net: Net, par: Parameters, state: State, dt: float) -> None:
    """Fades of a whole step, worked out once for its length."""
    count = len(net.protectors)
    if state.fade[count] == dt:
        return
    for k in range(count):
        state.fade[k] = fade_of(dt, par.protectors[k].tau)
    state.fade[count] = dt


@compiled
def write_outputs(net: Net, par: Parameters, state: State, outputs: Outputs) -> None:
    """Hand back speeds, amps, watts and what is energised."""
    for m in range(len(net.motors)):
        outputs.speed[m] = state.motors[m].speed / par.motors[m].rated_speed
        outputs.watts[m] = state.motors[m].watts
        for i in range(3):
            outputs.amps[m, i] = state.amps[net.motors[m].leads[i]]
    for d in range(len(net.drives)):
        m, here = net.drives[d].motor, state.drives[d]
        if m >= 0 and here.bucket > 0 and drive_of(net, par, state, m) == d:  # the network knows its speed in the bucket only
            outputs.speed[m] *= here.hertz / (here.bucket * HERTZ)
    for n in range(len(state.loads)):
        outputs.energised[n] = 1 if state.loads[n].energised else 0
    for d in range(len(state.devices)):
        outputs.picked[d] = 1 if state.devices[d].picked else 0


@compiled
def go_on(net: Net, par: Parameters, state: State, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """Advance an electrical world; whoever did something to its parts since the last step says so in its tally (`MOVED`).

    Parameters
    ----------
    net, par, state
        The world; `state` is changed in place.
    inputs : Inputs
        What the plant tells it.
    outputs : Outputs
        What it gives back; changed in place.
    dt : float
        Length of the step. [s]
    """
    take_inputs(net, par, state, inputs, dt)
    set_fades(net, par, state, dt)
    left = dt
    for n in range(MOST_SPANS):
        renew(net, par, state)
        span = left if n == MOST_SPANS - 1 else min(left, next_event(net, par, state))
        if span > 0.0 or left > 0.0:
            hear_growls(net, state, span)
            state.clock[0] += span  # first, so that what happens at the end of the span is written down at its time
            warm_protectors(net, par, state, span, span == dt)
            turn_motors(net, par, state, span)
            warm_joints(net, par, state, span)
            warm_drives(net, par, state, span)
            count_hours(state, span)
            left -= span
        elif left <= 0.0:
            break
    write_outputs(net, par, state, outputs)


@compiled
def bring_back(net: Net, par: Parameters, state: State) -> None:
    """After a probe or a snapshot: scratch as the step left it."""
    hertz = par.phases[0].hertz
    refresh(net, par, state, OMEGA_PER_HERTZ * hertz, True)
    hold_most(net, state)

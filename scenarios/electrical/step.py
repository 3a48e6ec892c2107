"""One step of the electrical world on the plant's clock.

What the plant tells contacts, the load buckets and the drives' frequencies make a key together with everything that is open or closed.
The network is solved only when the key changes, and the result is remembered by its key: a solve is a pure function of the key, so a
memory of any length, or none, gives the same bits. Heaters, joints and counters are integrated exactly over every span between
events, so a start that cannot succeed trips its overload at the second its class says, inside a step of any length.
"""

from typing import Any, NamedTuple

from scenarios.electrical.assemble import refresh
from scenarios.electrical.joints import MOST_WORSE, REFRESH, ageing, cooking, rise
from scenarios.electrical.protection import WINDING_RESET, WINDING_TAU, WINDING_TRIP, advanced, drive_to, fade_of, time_to_reach
from scenarios.electrical.settle import (
    BURN, CHATTER, DRIVE, DROP, GROWL, GUARD, MELT, OVERLOAD, PULL, START, TRIP, adopt, happened, open_protector, settle, write_row,
)  # fmt: skip
from scenarios.electrical.topology import Net
from scenarios.electrical.world import GOOD, HITS, LOOSE, REMEMBER, STALE, Parameters, State
from scenarios.exact import size
from scenarios.kernel import compiled

OMEGA_PER_HERTZ = 6.283185307179586
BUCKETS = 16.0
"""Load buckets per rated torque [-]."""
HOLD = 0.75
"""A bucket is left only when the load is this many buckets away [-]."""
FARTHEST = 1e30
"""No event in sight [s]."""
ENDLESS = 1e29
"""A run-up time above this never ends [s]."""
PROBES = 8
"""Places looked at for a remembered solution."""
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
def take_inputs(net: Net, par: Parameters, state: State, inputs: Inputs, dt: float) -> None:
    """Move what the plant moves, put loads and references into buckets."""
    for k in range(net.followers.size):
        state.devices[net.followers[k]].follows = inputs.follows[k] != 0
    for m in range(len(net.motors)):
        here, load = state.motors[m], min(max(inputs.load[m], 0.0), 15.0) * BUCKETS
        if not here.running or abs(load - here.bucket) > HOLD:
            here.bucket = int(load + 0.5)
    for d in range(len(net.drives)):
        drive, here = par.drives[d], state.drives[d]
        goal = max(min(inputs.reference[d], 1.0) * drive.hertz, drive.least_hertz) if here.runs else 0.0
        reach = drive.ramp * dt
        here.hertz = min(max(goal, here.hertz - reach), here.hertz + reach)
        if not here.runs:
            here.hertz = 0.0
        if abs(2.0 * here.hertz - here.bucket) > HOLD:
            here.bucket = int(2.0 * here.hertz + 0.5)


@compiled
def write_key(net: Net, state: State, key: Any) -> None:
    """The discrete state, as bytes."""
    at = 0
    for d in range(len(state.devices)):
        here = state.devices[d]
        bits = (1 if here.shut else 0) + (2 if here.tripped else 0) + (4 if here.picked else 0) + (8 if here.hand else 0)
        key[at] = bits + (16 if here.follows else 0) + 32 * here.spot
        at += 1
    for k in range(len(net.protectors)):
        key[at] = 1 if state.switches[net.protectors[k, 0]].blown else 0
        at += 1
    for m in range(len(net.motors)):
        key[at] = 1 if state.motors[m].running else 0
        key[at + 1] = state.motors[m].bucket if state.motors[m].running else 0
        at += 2
    for d in range(len(net.drives)):
        here = state.drives[d]
        key[at] = (1 if here.runs else 0) + (2 if here.powered else 0)
        key[at + 1], key[at + 2], key[at + 3] = here.fault, here.bucket, 0
        if here.runs:  # the motor a drive turns may stand on its ramp: its load still matters
            key[at + 3] = state.motors[net.drives[d, 10]].bucket if net.drives[d, 10] >= 0 else 0
        at += 4


@compiled
def same(a: Any, b: Any) -> bool:
    """Whether two keys agree."""
    for k in range(a.size):
        if a[k] != b[k]:
            return False
    return True


@compiled
def first_slot(state: State, key: Any) -> int:
    """Where to begin looking for a key (Fowler, Noll and Vo's hash, low bits folded)."""
    h = 14695981039346656037 & 0x7FFFFFFFFFFFFFFF
    for k in range(key.size):
        h = ((h ^ int(key[k])) * 1099511628211) & 0x7FFFFFFFFFFFFFFF
    return (h ^ (h >> 29)) % state.memo_used.size


@compiled
def remembered(state: State, key: Any) -> int:
    """Slot that holds a key, -1 if none."""
    slot = first_slot(state, key)
    for n in range(PROBES):
        here = (slot + n) % state.memo_used.size
        if state.memo_used[here] == 0:
            return -1
        if same(state.memo_keys[here], key):
            return here
    return -1


@compiled
def free_slot(state: State, key: Any) -> int:
    """Slot to write a key to: the first free one near its home, else its home."""
    slot = first_slot(state, key)
    for n in range(PROBES):
        here = (slot + n) % state.memo_used.size
        if state.memo_used[here] == 0:
            return here
    return slot


@compiled
def clear_memory(state: State) -> None:
    """Forget every solution: a wire, a part or a joint is no longer what it was."""
    for n in range(state.memo_used.size):
        state.memo_used[n] = 0
    state.tally[GOOD] = 0


@compiled
def set_conditions(net: Net, state: State) -> None:
    """Loads and frequencies as the key has them."""
    for m in range(len(net.motors)):
        state.torque[m] = state.motors[m].bucket / BUCKETS
    for d in range(len(net.drives)):
        state.pitch[d] = state.drives[d].bucket / 120.0


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
        if state.switches[net.protectors[k, 0]].blown and state.trial[at] == 0:
            happened(state, MELT, net.protectors[k, 1])
        at += 1
    for m in range(len(net.motors)):
        at += 2
    for d in range(len(net.drives)):
        if state.drives[d].fault != 0 and state.trial[at + 1] == 0:
            happened(state, DRIVE, net.drives[d, 12])
        at += 4


@compiled
def renew(net: Net, par: Parameters, state: State) -> None:
    """Make the present solution that of the present discrete state: keep it, remember it, or solve."""
    hertz = 60.0 if len(net.drives) == 0 else par.drives[0].hertz
    if state.tally[STALE] != 0:
        clear_memory(state)
        refresh(net, par, state, OMEGA_PER_HERTZ * hertz, True)
        state.tally[STALE] = 0
    write_key(net, state, state.trial)
    if state.tally[GOOD] != 0 and same(state.trial, state.key):
        return
    slot = remembered(state, state.trial) if state.tally[REMEMBER] != 0 else -1
    if slot >= 0:
        state.tally[HITS] += 1
        adopt(net, par, state, state.memo_rows[slot])
    else:
        set_conditions(net, state)
        settle(net, par, state, OMEGA_PER_HERTZ * hertz)
        slot = free_slot(state, state.trial)
        for k in range(state.trial.size):
            state.memo_keys[slot, k] = state.trial[k]
        write_row(net, par, state, state.memo_rows[slot])
        state.memo_used[slot] = 1 if state.tally[REMEMBER] != 0 else 0
        adopt(net, par, state, state.memo_rows[slot])
    listen(net, state)
    write_key(net, state, state.key)
    state.tally[GOOD] = 1


@compiled
def has_opened(net: Net, state: State, k: int) -> bool:
    """Whether an element has melted, or its device has tripped, already."""
    if net.protectors[k, 2] == 3:
        return bool(state.switches[net.protectors[k, 0]].blown)
    return bool(state.devices[net.protectors[k, 1]].tripped)


@compiled
def next_event(net: Net, par: Parameters, state: State) -> float:
    """Time to the first trip, melt or motor up to speed. [s]"""
    soonest = FARTHEST
    at = 2 * len(net.wires)
    for k in range(len(net.protectors)):
        here = par.protectors[k]
        goal = drive_to(state.row[at + 2 * k], here.rating * here.weak)
        if goal > here.trips_at and not has_opened(net, state, k):
            soonest = min(soonest, time_to_reach(state.protectors[k].heat, goal, here.trips_at, here.tau))
    for m in range(len(net.motors)):
        here = state.motors[m]
        if not here.running and 0.0 <= here.needs < ENDLESS:
            soonest = min(soonest, max(here.needs - here.starting, 0.0))
    return soonest


@compiled
def warm_protectors(net: Net, par: Parameters, state: State, span: float, whole: bool) -> None:
    """Advance every element's heat; what has reached its trip level opens."""
    at = 2 * len(net.wires)
    for k in range(len(net.protectors)):
        here = par.protectors[k]
        goal = drive_to(state.row[at + 2 * k], here.rating * here.weak)
        if goal == 0.0 and state.protectors[k].heat == 0.0:
            continue
        fade = state.fade[k] if whole else fade_of(span, here.tau)
        heat = advanced(state.protectors[k].heat, goal, fade)
        if heat < 1e-9:
            heat = 0.0
        if heat >= here.trips_at * (1.0 - 1e-12) and goal > here.trips_at and not has_opened(net, state, k):
            open_protector(net, state, k)
            sort = net.protectors[k, 2]
            happened(state, MELT if sort == 3 else (OVERLOAD if sort == 2 else TRIP), net.protectors[k, 1])
        state.protectors[k].heat = heat


@compiled
def turn_motors(net: Net, par: Parameters, state: State, span: float) -> None:
    """Starts that come to their end, windings that warm, and the time a motor stands and growls."""
    for m in range(len(net.motors)):
        here = state.motors[m]
        amps = max(state.amps[net.motors[m, 0]], state.amps[net.motors[m, 1]], state.amps[net.motors[m, 2]])
        if amps > 0.0 or here.warmth > 0.0:
            here.warmth = advanced(here.warmth, drive_to(amps, par.motors[m].amps), fade_of(span, WINDING_TAU))
        if here.running or here.needs < 0.0:
            continue
        here.starting += span
        if here.needs >= ENDLESS:
            if here.growl == 0.0:
                happened(state, GROWL, m)
            here.growl += span
        elif here.starting >= here.needs * (1.0 - 1e-12):
            here.running, here.starting = True, 0.0
            happened(state, START, m)
    for g in range(len(net.guards)):
        warmth, device = state.motors[net.guards[g, 1]].warmth, state.devices[net.guards[g, 0]]
        if warmth >= WINDING_TRIP and not device.tripped:
            device.tripped = True
            happened(state, GUARD, net.guards[g, 0])
        elif warmth < WINDING_RESET:
            device.tripped = False


@compiled
def warm_joints(net: Net, par: Parameters, state: State, span: float) -> None:
    """Heat, discolour and age the joints that are not sound, and cook the poles beside them."""
    for n in range(state.tally[LOOSE]):
        w, second = state.loose[n] // 2, state.loose[n] % 2
        wire, here = par.wires[w], state.wires[w]
        amps = size(complex(state.row[2 * w], state.row[2 * w + 1]))
        worse = here.worse_b if second else here.worse_a
        warm = here.warm_b if second else here.warm_a
        goal = rise(amps, (wire.joint_b if second else wire.joint_a) * worse)
        warm = advanced(warm, goal, fade_of(span, 240.0))
        worse = min(worse * (1.0 + ageing(warm) * span), MOST_WORSE)
        beside = net.wires[w, 4 if second else 3]
        if beside >= 0:
            cook(state, beside, cooking(warm) * span, net.switches[beside, 4])
        if second:
            here.warm_b, here.worse_b, here.peak_b = warm, worse, max(here.peak_b, warm)
        else:
            here.warm_a, here.worse_a, here.peak_a = warm, worse, max(here.peak_a, warm)
        if worse > REFRESH * (here.used_b if second else here.used_a):
            if second:
                here.used_b = worse
            else:
                here.used_a = worse
            state.tally[STALE] = 1


@compiled
def cook(state: State, switch: int, dose: float, device: int) -> None:
    """Take life off a pole; at the end of it the pole is open."""
    here = state.switches[switch]
    if here.cooked >= 1.0:
        return
    here.cooked += dose
    if here.cooked >= 1.0:
        here.cooked = 1.0
        state.tally[STALE] = 1
        happened(state, BURN, device)


@compiled
def count_hours(state: State, span: float) -> None:
    """Time under volts of every load."""
    for n in range(len(state.loads)):
        if state.loads[n].energised:
            state.loads[n].on_time += span


@compiled
def warm_drives(net: Net, par: Parameters, state: State, span: float) -> None:
    """A drive's own reckoning of its motor's heat: class 10 at its rated amps."""
    for d in range(len(net.drives)):
        here, lead = state.drives[d], net.drives[d, 3]
        amps = state.amps[lead] if here.runs else 0.0
        here.heat = advanced(here.heat, drive_to(amps, par.drives[d].amps), fade_of(span, 214.0))
        if here.heat > 1.32 and here.fault == 0:
            here.fault, here.runs = 3, False
            happened(state, DRIVE, net.drives[d, 12])


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
            outputs.amps[m, i] = state.amps[net.motors[m, i]]
    for n in range(len(state.loads)):
        outputs.energised[n] = 1 if state.loads[n].energised else 0
    for d in range(len(state.devices)):
        outputs.picked[d] = 1 if state.devices[d].picked else 0


@compiled
def step(net: Net, par: Parameters, state: State, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """Advance the electrical world.

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

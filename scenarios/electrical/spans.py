"""What goes on between two events: heat, joints, starts and counters, each advanced exactly over a span of any length."""

from scenarios.compiling.exact import size
from scenarios.compiling.kernel import compiled
from scenarios.electrical.joints import MOST_WORSE, REFRESH, TAU, ageing, cooking, rise
from scenarios.electrical.layouts import HEATERS, LINK, LOOSE, MOVED, STALE, Net, Parameters, State
from scenarios.electrical.protection import WINDING_RESET, WINDING_TAU, WINDING_TRIP, advanced, drive_to, fade_of, time_to_reach
from scenarios.electrical.settle import BURN, DRIVE, GROWL, GUARD, MELT, OVERLOAD, START, TRIP, happened, open_protector

FARTHEST = 1e30
"""No event in sight [s]."""
ENDLESS = 1e29
"""A run-up time above this never ends [s]."""


@compiled
def has_opened(net: Net, state: State, k: int) -> bool:
    """Whether an element has melted, or its device has tripped, already."""
    if net.protectors[k].kind == LINK:
        return bool(state.switches[net.protectors[k].switch].blown)
    return bool(state.devices[net.protectors[k].part].tripped)


@compiled
def next_event(net: Net, par: Parameters, state: State) -> float:
    """Time to the first trip, melt or motor up to speed. [s]"""
    soonest = FARTHEST
    at = 2 * len(net.wires)
    for k in range(len(net.protectors)):
        here, amps = par.protectors[k], state.row[at + 2 * k]
        limit = here.rating * here.weak
        if amps * amps > here.trips_at * limit * limit and not has_opened(net, state, k):
            goal = drive_to(amps, limit)
            soonest = min(soonest, time_to_reach(state.protectors[k].heat, goal, here.trips_at, here.tau))
    for m in range(len(net.motors)):
        here = state.motors[m]
        if not here.running and 0.0 <= here.needs < ENDLESS:
            soonest = min(soonest, max(here.needs - here.starting, 0.0))
    return soonest


@compiled
def warm_protectors(net: Net, par: Parameters, state: State, span: float, whole: bool) -> None:
    """Advance every element's heat by `span` [s]; what has reached its trip level opens."""
    at = 2 * len(net.wires)
    for k in range(len(net.protectors)):
        here, amps = par.protectors[k], state.row[at + 2 * k]
        if amps == 0.0 and state.protectors[k].heat == 0.0:
            continue
        goal = drive_to(amps, here.rating * here.weak)
        fade = state.fade[k] if whole else fade_of(span, here.tau)
        heat = advanced(state.protectors[k].heat, goal, fade)
        if heat < 1e-9:
            heat = 0.0
        if heat >= here.trips_at * (1.0 - 1e-12) and goal > here.trips_at and not has_opened(net, state, k):
            open_protector(net, state, k)
            kind = net.protectors[k].kind
            happened(state, MELT if kind == LINK else (OVERLOAD if kind == HEATERS else TRIP), net.protectors[k].part)
        state.protectors[k].heat = heat


@compiled
def hear_growls(net: Net, state: State, span: float) -> None:
    """Write down, as a `span` [s] begins, which motors begin to stand under current."""
    for m in range(len(net.motors)):
        here = state.motors[m]
        if span > 0.0 and not here.running and here.needs >= ENDLESS and here.starting == 0.0:
            happened(state, GROWL, m)


@compiled
def turn_motors(net: Net, par: Parameters, state: State, span: float) -> None:
    """Over `span` [s]: starts that come to their end, windings that warm, and the time a motor stands and growls."""
    fade = fade_of(span, WINDING_TAU)
    for m in range(len(net.motors)):
        here = state.motors[m]
        amps = max(state.amps[net.motors[m].leads[0]], state.amps[net.motors[m].leads[1]], state.amps[net.motors[m].leads[2]])
        if amps > 0.0 or here.warmth > 0.0:
            here.warmth = advanced(here.warmth, drive_to(amps, par.motors[m].amps), fade)
        if here.running or here.needs < 0.0:
            continue
        here.starting += span
        if here.needs >= ENDLESS:
            here.growl += span
        elif here.starting >= here.needs * (1.0 - 1e-12):
            here.running, here.starting = True, 0.0
            happened(state, START, m)
    for g in range(len(net.guards)):
        warmth, device = state.motors[net.guards[g].motor].warmth, state.devices[net.guards[g].part]
        if warmth >= WINDING_TRIP and not device.tripped:
            device.tripped = True
            happened(state, GUARD, net.guards[g].part)
        elif warmth < WINDING_RESET and device.tripped:
            device.tripped, state.tally[MOVED] = False, 1


@compiled
def warm_joints(net: Net, par: Parameters, state: State, span: float) -> None:
    """Heat, discolour and age the joints that are not sound over `span` [s], and cook the poles beside them."""
    for n in range(state.tally[LOOSE]):
        w, second = state.loose[n] // 2, state.loose[n] % 2
        wire, here = par.wires[w], state.wires[w]
        amps = size(complex(state.row[2 * w], state.row[2 * w + 1]))
        worse = here.worse_b if second else here.worse_a
        warm = here.warm_b if second else here.warm_a
        goal = rise(amps, (wire.joint_b if second else wire.joint_a) * worse)
        warm = advanced(warm, goal, fade_of(span, TAU))
        worse = min(worse * (1.0 + ageing(warm) * span), MOST_WORSE)
        beside = net.wires[w].beside_b if second else net.wires[w].beside_a
        if beside >= 0:
            cook(state, beside, cooking(warm) * span, net.switches[beside].part)
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
    """Take a `dose` [-] of life off a pole; at the end of it the pole is open."""
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
    """Add `span` [s] to the time under volts of every load that has them."""
    for n in range(len(state.loads)):
        if state.loads[n].energised:
            state.loads[n].on_time += span


@compiled
def warm_drives(net: Net, par: Parameters, state: State, span: float) -> None:
    """A drive's own reckoning of its motor's heat over `span` [s]: class 10 at its rated amps."""
    for d in range(len(net.drives)):
        here, lead = state.drives[d], net.drives[d].leads[0]
        amps = state.amps[lead] if here.runs else 0.0
        here.heat = advanced(here.heat, drive_to(amps, par.drives[d].amps), fade_of(span, 214.0))
        if here.heat > 1.32 and here.fault == 0:
            here.fault, here.runs = 3, False
            happened(state, DRIVE, net.drives[d].part)

"""What the tables of one electrical world are called: indices, parameters that faults edit, state, and scratch room for the kernel.

Compiled code needs these names and nothing of how a store's wiring list is read.
"""

from typing import Any, NamedTuple

from scenarios.electrical.sparse import Program

BREAKER, FUSE, POLE, HEATER, MAKE, BREAK, FOLLOW, POSITION, FAULT = range(9)
"""What closes a switch: handle; link whole; armature; always; armature or trip; its opposite; the plant; selector; drive trip."""
JUMPERS = 6
"""Paths a store may have at once that its wiring list does not."""
FOREIGNERS = 2
"""Sources from elsewhere a store may have at once."""
EVENTS = 256
"""Events a world remembers; the oldest is overwritten."""


class Net(NamedTuple):
    """Indices of one store. Nodes are places in the elimination order; `place` leads from node number to place."""

    program: Program
    place: Any
    wires: Any
    """(wires, 5): place a, place b, entry, switch next to end a, switch next to end b; -1 none."""
    switches: Any
    """(switches, 6): place a, place b, entry, what closes it, device, position of a selector."""
    loads: Any
    """(loads, 4): place a, place b, entry, device."""
    motors: Any
    """(motors, 9): three places, entries of 12, 23, 31, and whether each entry runs backward."""
    transformers: Any
    """(transformers, 10): places H1 H4 X1 X2, entries of the pairs 01 02 03 12 13 23."""
    drives: Any
    """(drives, 13): line places, output places, entries of the line pairs, run input's load, motor, output contactor, device."""
    service: Any
    """(3,): places of the incoming phases."""
    near: Any
    """(couplings, 3): place a, place b, entry of conductors side by side."""
    near_farads: Any
    protectors: Any
    """(protectors, 3): switch, device, motor's own protector 0 / overload 2 / breaker 1 / fuse 3."""
    movers: Any
    """(coils, 2): device and load, fastest first."""
    followers: Any
    """(followers,): devices the plant moves."""
    guards: Any
    """(guards, 2): motor protector's device, its motor."""
    jumpers: Any
    """(jumpers, 3): place a, place b, entry; -1 none."""


class Parameters(NamedTuple):
    """What faults edit: tables of records, one row per thing, in the order of the wiring list."""

    wires: Any
    switches: Any
    devices: Any
    loads: Any
    motors: Any
    protectors: Any
    transformers: Any
    drives: Any
    phases: Any
    foreign: Any
    nodes: Any
    jumpers: Any


class State(NamedTuple):
    """What a world carries along; the tables and tables to `row` make a snapshot, the rest is scratch."""

    wires: Any
    switches: Any
    devices: Any
    loads: Any
    motors: Any
    protectors: Any
    drives: Any
    clock: Any
    """(1,): seconds since the start."""
    tally: Any
    """(9,): stale, events so far, solves, eliminations, memo hits, memo on, key is good, loose joints, something has moved."""
    events: Any
    """(EVENTS, 3): time, kind, number of the part."""
    most: Any
    """Highest amps at every place since cleared [A]."""
    key: Any
    """Discrete state that the present solution belongs to."""
    row: Any
    """The present solution."""
    # ---- scratch --------------------------------------------------------------------------------------------------------
    trial: Any
    memo_keys: Any
    memo_rows: Any
    memo_used: Any
    volts: Any
    """Node voltages of the last solve, by place [V]."""
    upper: Any
    lower: Any
    excess: Any
    pivot: Any
    stays: Any
    """What motors and drives leave alone of the matrix: `upper`, once its still part is eliminated."""
    stays_lower: Any
    stays_excess: Any
    inject: Any
    away: Any
    stamped: Any
    stamped_at: Any
    drawn: Any
    wire_y: Any
    switch_y: Any
    load_y: Any
    still: Any
    """(1,): whether the still part of the matrix is eliminated for the positions that `switch_y` and `load_y` stand for."""
    shunt: Any
    block: Any
    speed: Any
    torque: Any
    pitch: Any
    draw: Any
    amps: Any
    fade: Any
    loose: Any
    moves: Any
    stalled: Any


SAVED = (
    "wires",
    "switches",
    "devices",
    "loads",
    "motors",
    "protectors",
    "drives",
    "clock",
    "tally",
    "events",
    "most",
    "key",
    "row",
)
"""Fields of the state that a snapshot keeps."""
MEMORY = ("memo_keys", "memo_rows")
"""Large fields of the state that remember solutions; nothing reads them where `memo_used` is zero, and the bits are the same."""
STALE, HAPPENED, SOLVES, FACTORS, HITS, REMEMBER, GOOD, LOOSE, MOVED = range(9)

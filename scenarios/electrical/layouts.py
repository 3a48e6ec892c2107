"""What the tables of one electrical world are called: indices, parameters that faults edit, state, and scratch room for the kernel.

Compiled code needs these names and nothing of how a store's wiring list is read.
"""

from typing import Any, NamedTuple

from scenarios.compiling.quantities import quantity, record
from scenarios.electrical.sparse import Program

BREAKER, FUSE, POLE, HEATER, MAKE, BREAK, FOLLOW, POSITION, FAULT = range(9)
"""What closes a switch: handle; link whole; armature; always; armature or trip; its opposite; the plant; selector; drive trip."""
LATCH, HEATERS, LINK = 1, 2, 3
"""What heat opens: a breaker's latch, an overload relay's heaters, a fuse's link."""
JUMPERS = 6
"""Paths a store may have at once that its wiring list does not."""
FOREIGNERS = 2
"""Sources from elsewhere a store may have at once."""
EVENTS = 256
"""Events a world remembers; the oldest is overwritten."""


Three = tuple[int, int, int]
PLACE_A, PLACE_B = "place of its first end", "place of its second end"
ENTRY = "entry of the matrix that joins them"
PART = "row of its part"


@record
class PathAt:
    """Where a path between two places stands in the matrix."""

    a: int = quantity("-", PLACE_A, default=-1)
    b: int = quantity("-", PLACE_B, default=-1)
    entry: int = quantity("-", f"{ENTRY}, -1 none", default=-1)


@record
class WireAt:
    """Where a conductor stands, and the switches next to its ends, which a hot joint cooks."""

    a: int = quantity("-", PLACE_A)
    b: int = quantity("-", PLACE_B)
    entry: int = quantity("-", ENTRY)
    beside_a: int = quantity("-", "switch next to the first end, -1 none")
    beside_b: int = quantity("-", "switch next to the second end, -1 none")


@record
class SwitchAt:
    """Where a switching element stands, and what moves it."""

    a: int = quantity("-", PLACE_A)
    b: int = quantity("-", PLACE_B)
    entry: int = quantity("-", ENTRY)
    closer: int = quantity("-", "what closes it: BREAKER to FAULT")
    part: int = quantity("-", PART)
    position: int = quantity("-", "position of a selector that closes it, -1 none")


@record
class LoadAt:
    """Where a coil, lamp or heater stands."""

    a: int = quantity("-", PLACE_A)
    b: int = quantity("-", PLACE_B)
    entry: int = quantity("-", ENTRY)
    part: int = quantity("-", PART)


@record
class MotorAt:
    """Where a motor's three leads and the three pairs of them stand."""

    leads: Three = quantity("-", "places of T1, T2, T3")
    windings: Three = quantity("-", "entries of the pairs 12, 23, 31")
    backward: Three = quantity("-", "1 where the entry of a pair runs from its second lead to its first")


@record
class TransformerAt:
    """Entries of the six pairs of a control transformer's terminals."""

    primary: int = quantity("-", "entry of H1 and H4")
    h1_x1: int = quantity("-", "entry of H1 and X1")
    h1_x2: int = quantity("-", "entry of H1 and X2")
    h4_x1: int = quantity("-", "entry of H4 and X1")
    h4_x2: int = quantity("-", "entry of H4 and X2")
    secondary: int = quantity("-", "entry of X1 and X2")


@record
class DriveAt:
    """Where a drive stands, what asks it to run and what it turns."""

    line: Three = quantity("-", "places of L1, L2, L3")
    leads: Three = quantity("-", "places of U, V, W")
    rectifier: Three = quantity("-", "entries of the pairs of line places")
    run_input: int = quantity("-", "load of its run input, -1 none")
    motor: int = quantity("-", "motor that its leads go to, -1 none")
    contactor: int = quantity("-", "part of the contactor on the way to it, -1 none")
    part: int = quantity("-", PART)


@record
class ProtectorAt:
    """An element that heat opens."""

    switch: int = quantity("-", "the switching element")
    part: int = quantity("-", PART)
    kind: int = quantity("-", "LATCH, HEATERS or LINK")


@record
class Mover:
    """A coil and what it moves."""

    part: int = quantity("-", PART)
    load: int = quantity("-", "its coil")


@record
class Guard:
    """A motor protector."""

    part: int = quantity("-", PART)
    motor: int = quantity("-", "the motor whose windings it feels")


class Net(NamedTuple):
    """Indices of one store. Nodes are places in the elimination order; `place` leads from node number to place."""

    program: Program
    place: Any
    wires: Any
    """Table of `WireAt`."""
    switches: Any
    """Table of `SwitchAt`."""
    loads: Any
    """Table of `LoadAt`."""
    motors: Any
    """Table of `MotorAt`."""
    transformers: Any
    """Table of `TransformerAt`."""
    drives: Any
    """Table of `DriveAt`."""
    service: Any
    """(3,): places of the incoming phases."""
    near: Any
    """Table of `PathAt`: conductors side by side."""
    near_farads: Any
    protectors: Any
    """Table of `ProtectorAt`."""
    movers: Any
    """Table of `Mover`, fastest first."""
    followers: Any
    """(followers,): parts the plant moves."""
    guards: Any
    """Table of `Guard`."""
    jumpers: Any
    """Table of `PathAt`: jumpers and shorts beside the list."""


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

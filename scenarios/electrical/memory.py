"""The discrete state as a key, and solutions remembered by it."""

from typing import Any

from scenarios.compiling.kernel import compiled
from scenarios.electrical.layouts import GOOD, Net, State

PROBES = 8
"""Places looked at for a remembered solution."""


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
        key[at] = 1 if state.switches[net.protectors[k].switch].blown else 0
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
            key[at + 3] = state.motors[net.drives[d].motor].bucket if net.drives[d].motor >= 0 else 0
        at += 4


@compiled
def same(a: Any, b: Any) -> bool:
    """Whether two keys agree."""
    for k in range(a.size):  # noqa: SIM110 (a generator does not compile)
        if a[k] != b[k]:
            return False
    return True


@compiled
def first_slot(state: State, key: Any) -> int:
    """Where to begin looking for a key (Fowler, Noll and Vo's hash, low bits folded)."""
    h = 14695981039346656037 & 0x7FFFFFFFFFFFFFFF
    for k in range(key.size):
        h = ((h ^ int(key[k])) * 1099511628211) & 0x7FFFFFFFFFFFFFFF
    return int((h ^ (h >> 29)) % state.memo_used.size)


@compiled
def remembered(state: State, key: Any) -> int:
    """Slot that holds a key, -1 if none."""
    slot = first_slot(state, key)
    for n in range(PROBES):
        here = (slot + n) % state.memo_used.size
        if state.memo_used[here] == 0:
            return -1
        if same(state.memo_keys[here], key):
            return int(here)
    return -1


@compiled
def free_slot(state: State, key: Any) -> int:
    """Slot to write a key to: the first free one near its home, else its home."""
    slot = first_slot(state, key)
    for n in range(PROBES):
        here = (slot + n) % state.memo_used.size
        if state.memo_used[here] == 0:
            return int(here)
    return slot


@compiled
def clear_memory(state: State) -> None:
    """Forget every solution: a wire, a part or a joint is no longer what it was."""
    for n in range(state.memo_used.size):
        state.memo_used[n] = 0
    state.tally[GOOD] = 0

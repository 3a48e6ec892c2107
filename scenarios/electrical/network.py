"""The electrical side of a store: build it, step it, operate it, copy it, save it.

Everything that takes long is compiled; this module is the door to it. Parameters and state are plain arrays (`world.py`), so a fork
is a copy and a snapshot is a handful of tables. Probes (volts, ohms, insulation, amps) live in `probes.py`.
"""

from copy import copy
from typing import Any, NamedTuple

import numpy as np

from scenarios.compiling.blocks import Block
from scenarios.electrical import topology
from scenarios.electrical.layouts import EVENTS, HAPPENED, LOOSE, MEMORY, MOVED, SAVED, STALE, Parameters
from scenarios.electrical.protection import RESET_BELOW, WINDING_RESET
from scenarios.electrical.settle import BURN, CHATTER, DRIVE, DROP, GROWL, GUARD, MELT, OVERLOAD, PULL, START, TRIP
from scenarios.electrical.step import Inputs, Outputs, bring_back, go_on
from scenarios.electrical.wiring import Wiring
from scenarios.electrical.world import fresh_state, lengths, parameters
from scenarios.errors import BadRequest
from scenarios.facts import EventKind

SLOTS, MOST_MEMORY = 4096, 24e6
"""Solutions a world remembers at most, and the room they may take [bytes]; three days bring some thousands. More room would be
fetched anew from the system for every copy of a world, which takes longer than solving."""
HAPPENINGS = {
    TRIP: EventKind.BREAKER_TRIPS, MELT: EventKind.FUSE_MELTS, OVERLOAD: EventKind.OVERLOAD_TRIPS, PULL: EventKind.PULLS_IN,
    DROP: EventKind.LETS_GO, DRIVE: EventKind.DRIVE_TRIPS, BURN: EventKind.POLE_BURNS_OPEN, CHATTER: EventKind.CHATTERS,
    START: EventKind.UP_TO_SPEED, GROWL: EventKind.GROWLS, GUARD: EventKind.PROTECTOR_OPENS,
}  # fmt: skip
"""What the numbers in `State.events` mean."""


class Start(NamedTuple):
    """What somebody saw and heard who watched for a while."""

    most: dict[str, list[float]]
    """Highest amps of every motor's three leads. [A]"""
    events: list[tuple[float, EventKind, str]]
    """Time since the beginning [s], kind and mark."""
    growl: dict[str, float]
    """How long every motor stood and growled. [s]"""


class Network:
    """One electrical world of one store."""

    def __init__(self, wiring: Wiring, net: Block, par: Block, state: Block) -> None:
        self.wiring = wiring
        self.net, self.par, self.state = net, par, state
        self.healthy = par.copy()
        self.motors = topology.of_kind(wiring, "motor3")
        self.drives = topology.of_kind(wiring, "drive3")
        self.transformers = topology.of_kind(wiring, "transformer")
        self.followers = topology.followers(wiring)
        self.switches = [e for e in wiring.elements if e.role != "load"]
        self.loads = [e for e in wiring.elements if e.role == "load"]
        self.wires = [name for name, _, _ in topology.all_wires(wiring)]
        self.wire_number = {name: n for n, name in enumerate(self.wires)}
        self.number = {mark: n for n, mark in enumerate(wiring.devices)}
        self.loads_of = {mark: [n for n, e in enumerate(self.loads) if e.device == mark] for mark in wiring.devices}
        self.inputs = Block(
            Inputs(np.ones(len(self.followers), np.uint8), np.full(len(self.motors), 0.8), np.ones(len(self.drives)))
        )
        self.outputs = Block(
            Outputs(
                np.zeros(len(self.motors)),
                np.zeros((len(self.motors), 3)),
                np.zeros(len(self.motors)),
                np.zeros(len(self.loads), np.uint8),
                np.zeros(len(wiring.devices), np.uint8),
            )
        )

    @classmethod
    def build(cls, wiring: Wiring, slots: int = 0) -> "Network":
        """A healthy world at rest: handles on, no call from the plant yet.

        Parameters
        ----------
        wiring : Wiring
            The checked list.
        slots : int
            Solutions to remember; as many as there is room for, where none is said. [-]
        """
        net = topology.build(wiring, [])
        key, row = lengths(wiring, net)
        slots = slots or min(SLOTS, int(MOST_MEMORY / (key + 8 * row)))
        return cls(wiring, Block(net), Block(parameters(wiring)), Block(fresh_state(wiring, net, slots)))

    def fork(self, *, memory: bool = True) -> "Network":
        """An independent copy; without its `memory` of solutions a copy is cheap, and shows the same bits.

        Only slots in use are copied: fetching ten megabytes takes longer than an hour of the store.
        """
        twin = copy(self)  # names and numbers are the wiring's, the same in every world
        twin.par, twin.state = self.par.copy(), self.state.copy(MEMORY)
        twin.inputs, twin.outputs = self.inputs.copy(), self.outputs.copy()
        if memory:
            used = np.flatnonzero(self.state.memo_used)
            twin.state.memo_keys[used], twin.state.memo_rows[used] = self.state.memo_keys[used], self.state.memo_rows[used]
        else:
            twin.state.memo_used[:] = 0
        return twin

    def step(self, dt: float) -> Block:
        """Advance by `dt` [s] under `self.inputs`."""
        self.state.tally[MOVED] = 1  # who knows what was done since
        go_on(*self.blocks, dt)
        return self.outputs

    @property
    def blocks(self) -> tuple[Any, Any, Any, Any, Any]:
        """What compiled functions take: indices, parameters, state, inputs, outputs."""
        return self.net.taken, self.par.taken, self.state.taken, self.inputs.taken, self.outputs.taken

    def touched(self) -> None:
        """Say that a part, a wire or a position is no longer what it was; the memory is cleared at the next step."""
        self.state.tally[STALE] = 1

    # ---- saving ---------------------------------------------------------------------------------------------------------

    def snapshot(self) -> dict[str, Any]:
        """Everything but the memory, as arrays by name, ready for npz."""
        found = {f"state.{name}": getattr(self.state, name).copy() for name in SAVED}
        found |= {f"par.{name}": getattr(self.par, name).copy() for name in Parameters._fields}
        return {name: np.asarray(array) for name, array in found.items()}

    def restore(self, saved: dict[str, Any]) -> None:
        """Take up a snapshot of a world of the same store."""
        for name in Parameters._fields:
            getattr(self.par, name)[...] = saved[f"par.{name}"]
        self.rewire()
        for name in SAVED:
            getattr(self.state, name)[...] = saved[f"state.{name}"]
        self.resume()

    def resume(self) -> None:
        """Bring the scratch that a probe used, or that a snapshot does not hold, in line with the tables; no state changes."""
        stale, loose = self.state.tally[STALE], self.state.tally[LOOSE]
        most = self.state.most.copy()
        bring_back(*self.blocks[:3])
        self.state.most[:] = most
        self.state.tally[STALE] = stale
        if stale:
            self.state.tally[LOOSE] = loose

    # ---- jumpers and shorts -----------------------------------------------------------------------------------------------

    def rewire(self) -> None:
        """Plan the elimination afresh for the jumpers there are now."""
        extra = [(int(j.a), int(j.b)) for j in self.par.jumpers if j.a >= 0]
        kept = {name: getattr(self.state, name) for name in SAVED}
        most = dict(zip(range(len(self.wiring.terminals)), self.state.most[self.net.place], strict=True))
        net = topology.build(self.wiring, extra)
        state = fresh_state(self.wiring, net, len(self.state.memo_used))
        self.net, self.state = Block(net), Block(state)
        for name in SAVED:
            getattr(self.state, name)[...] = kept[name]
        for node, amps in most.items():
            self.state.most[self.net.place[node]] = amps
        self.touched()

    def bridge(self, a: str, b: str, ohms: float = 0.01) -> None:
        """Lay a path between two points that the list does not have: a jumper lead or a short. [ohm]"""
        if self.node(a) == self.node(b):
            raise BadRequest(f"{a} to {b}: that is one terminal; a jumper goes between two points")
        rows = self.par.jumpers
        ends = {self.node(a), self.node(b)}
        if any({int(row.a), int(row.b)} == ends for row in rows):
            raise BadRequest(f"{a} to {b}: a jumper hangs there already; take it off, or choose two other points")
        free = next((n for n in range(len(rows)) if rows[n].a < 0), None)
        if free is None:
            raise BadRequest(f"{a} to {b}: all {len(rows)} jumper leads are in use; take one off first")
        # paths in use come first, so that row and plan agree
        rows.a[free], rows.b[free], rows.ohms[free] = self.node(a), self.node(b), ohms
        self.rewire()

    def unbridge(self, a: str, b: str) -> bool:
        """Take a path away again; whether there was one."""
        ends = {self.node(a), self.node(b)}
        rows = [tuple(j) for j in self.par.jumpers if j.a >= 0]
        left = [row for row in rows if {int(row[0]), int(row[1])} != ends]
        if len(left) == len(rows):
            return False
        for n in range(len(self.par.jumpers)):
            self.par.jumpers[n] = left[n] if n < len(left) else (-1, -1, 0.01)
        self.rewire()
        return True

    # ---- acts ---------------------------------------------------------------------------------------------------------------

    def node(self, point: str) -> int:
        """Node number of a terminal or rail; refuses what the list does not have."""
        number = self.wiring.node.get(point)
        if number is None:
            raise BadRequest(f"{point!r} is no terminal or rail of this store; write it as K5:1 or L1")
        return number

    def device(self, mark: str) -> int:
        """Number of a part; refuses what the list does not have."""
        if mark not in self.number:
            raise BadRequest(f"{mark!r} is no electrical part of this store; marks look like K5")
        return self.number[mark]

    def operate(self, mark: str, position: str) -> None:
        """Move a handle or selector: ``on``, ``off``, ``in``, ``out`` (armature by hand) or a selector's position."""
        n, device = self.device(mark), self.wiring.devices[mark]
        if device.positions:
            if position not in device.positions:
                raise BadRequest(f"{mark} has no position {position!r}; it has {', '.join(device.positions)}")
            self.state.devices.spot[n] = device.positions.index(position)
        elif position in ("in", "out"):
            self.state.devices.hand[n] = position == "in"
        elif device.kind.startswith("breaker") and position in ("on", "off"):
            if position == "off":  # a tripped breaker latches again on its way through off
                self.state.devices.tripped[n] = False
            self.state.devices.shut[n] = position == "on"
        else:
            raise BadRequest(f"{mark} cannot be put {position!r}; it is a {device.says}")
        self.touched()

    def reset(self, mark: str) -> tuple[bool, str]:
        """Push a reset: whether it took, and what was felt."""
        n, device = self.device(mark), self.wiring.devices[mark]
        if device.kind == "drive3":
            row = self.drives.index(mark)
            self.state.drives.fault[row], self.state.drives.heat[row] = 0, min(self.state.drives.heat[row], 1.0)
            self.touched()
            return True, "the display clears"
        if device.kind == "motor_protector":
            warmth = max((self.state.motors.warmth[g.motor] for g in self.net.guards if g.part == n), default=0.0)
            return (True, "nothing to push") if warmth < WINDING_RESET else (False, "it is still hot and opens by itself")
        if not self.state.devices.tripped[n]:
            return True, "it was not tripped"
        if device.kind == "overload3" and self.heat(mark) >= RESET_BELOW:
            return False, "it will not latch: the heaters are still hot"
        self.state.devices.tripped[n] = False
        self.touched()
        return True, "it clicks and stays"

    def heat(self, mark: str) -> float:
        """Hottest element of a part, over the heat at its rating. [-]"""
        n = self.device(mark)
        rows = [k for k in range(len(self.net.protectors)) if self.net.protectors[k].part == n]
        return max((float(self.state.protectors.heat[k]) for k in rows), default=0.0)

    def set_dial(self, mark: str, amps: float) -> None:
        """Turn an overload relay's dial. [A]"""
        self._overload(mark)
        for k in self._protectors(mark):
            self.par.protectors.rating[k] = amps
        self.touched()

    def dial(self, mark: str) -> float:
        """Where an overload relay's dial stands. [A]"""
        self._overload(mark)
        return float(self.par.protectors.rating[self._protectors(mark)[0]])

    def _overload(self, mark: str) -> None:
        self.device(mark)
        if self.wiring.devices[mark].kind != "overload3":
            raise BadRequest(f"{mark} has no dial; only an overload relay has one")

    def _protectors(self, mark: str) -> list[int]:
        return [k for k in range(len(self.net.protectors)) if self.net.protectors[k].part == self.number[mark]]

    def ends_at(self, terminal: str, wire: str = "") -> list[tuple[int, str]]:
        """Wires under a terminal's screw, as (row, end a or b); one of them if `wire` names it."""
        self.node(terminal)
        found = [
            (self.wire_number[w.name], "a" if w.a == terminal else "b")
            for w in self.wiring.wires_at[terminal]
            if wire in ("", w.name)
        ]
        if not found:
            raise BadRequest(f"{terminal}: no wire {wire or 'of the list'} lands there")
        return found

    def lift(self, terminal: str, wire: str = "") -> list[str]:
        """Take the wires off a terminal; their names."""
        return self._set_lifted(terminal, wire, True)

    def land(self, terminal: str, wire: str = "") -> list[str]:
        """Put the wires back; their names."""
        return self._set_lifted(terminal, wire, False)

    def _set_lifted(self, terminal: str, wire: str, lifted: bool) -> list[str]:
        ends = self.ends_at(terminal, wire)
        for row, end in ends:
            self.state.wires[f"lifted_{end}"][row] = lifted
        self.touched()
        return [self.wires[row] for row, _ in ends]

    def renew_joint(self, terminal: str, wire: str = "") -> None:
        """Make the joints at a terminal new: cut back, new lug, torque."""
        for row, end in self.ends_at(terminal, wire):
            self.par.wires[f"joint_{end}"][row] = self.healthy.wires[f"joint_{end}"][row]
            for field, value in (("warm", 0.0), ("peak", 0.0), ("worse", 1.0), ("used", 1.0)):
                self.state.wires[f"{field}_{end}"][row] = value
        self.touched()

    def tighten(self, terminal: str, wire: str = "") -> None:
        """Torque the screws at a terminal: a merely loose joint is sound again, a burnt one keeps a third of what it had."""
        for row, end in self.ends_at(terminal, wire):
            burnt = self.state.wires[f"peak_{end}"][row] > 90.0
            sound = self.healthy.wires[f"joint_{end}"][row]
            ohms = self.par.wires[f"joint_{end}"][row] * self.state.wires[f"worse_{end}"][row]
            self.par.wires[f"joint_{end}"][row] = max(ohms / 3.0, sound) if burnt else sound
            self.state.wires[f"worse_{end}"][row] = self.state.wires[f"used_{end}"][row] = 1.0
        self.touched()

    def replace(self, mark: str) -> None:
        """Put a new part in: its parameters as bought, nothing worn, cold, set as the old one was."""
        n = self.device(mark)
        self.par.devices[n] = self.healthy.devices[n]
        for row, e in enumerate(self.switches):
            if e.device == mark:
                self.par.switches[row] = self.healthy.switches[row]
                self.state.switches[row] = (0.0, False)
        for row, e in enumerate(self.loads):
            if e.device == mark:
                self.par.loads[row] = self.healthy.loads[row]
        dials = {k: self.par.protectors.rating[k] for k in self._protectors(mark) if self.wiring.devices[mark].kind == "overload3"}
        for k in self._protectors(mark):
            self.par.protectors[k] = self.healthy.protectors[k]
            self.par.protectors.rating[k] = dials.get(k, self.par.protectors.rating[k])
            self.state.protectors.heat[k] = 0.0
        for marks, table in ((self.motors, "motors"), (self.drives, "drives"), (self.transformers, "transformers")):
            if mark in marks:
                getattr(self.par, table)[marks.index(mark)] = getattr(self.healthy, table)[marks.index(mark)]
        if mark in self.drives:
            self.state.drives.fault[self.drives.index(mark)] = 0
        for terminal in self.wiring.devices[mark].terminals:
            self.par.nodes[self.node(terminal)] = self.healthy.nodes[self.node(terminal)]
        self.state.devices.tripped[n] = self.state.devices.hand[n] = False
        self.touched()

    # ---- what was heard and held --------------------------------------------------------------------------------------------

    def events(self, since: float = -1.0) -> list[tuple[float, EventKind, str]]:
        """Time [s], kind and mark of what happened after a moment."""
        count = int(self.state.tally[HAPPENED])
        marks, found = list(self.wiring.devices), []
        for n in range(count - 1, max(0, count - EVENTS) - 1, -1):  # newest first: most are long past
            time, kind, part = self.state.events[n % EVENTS].tolist()
            if time <= since:
                break
            which = HAPPENINGS[int(kind)]
            found.append((time, which, (self.motors if kind in (START, GROWL) else marks)[int(part)]))
        return found[::-1]

    def most_amps(self, terminal: str) -> float:
        """Highest amps at a terminal since cleared. [A]"""
        return float(self.state.most[self.net.place[self.node(terminal)]])

    def start(self, seconds: float) -> Start:
        """Let time pass under `self.inputs` and say what was seen and heard meanwhile; held maxima are kept.

        Parameters
        ----------
        seconds : float
            How long somebody watches. [s]
        """
        held, growled, since = self.state.most.copy(), self.state.motors.growl.copy(), float(self.state.clock[0])
        self.state.most[:] = 0.0
        self.touched()
        self.step(seconds)
        peaks = {mark: [self.most_amps(f"{mark}:T{n}") for n in (1, 2, 3)] for mark in self.motors}
        self.state.most[:] = np.maximum(held, self.state.most)
        growl = dict(zip(self.motors, (self.state.motors.growl - growled).tolist(), strict=True))
        return Start(peaks, [(time - since, kind, mark) for time, kind, mark in self.events(since - 1e-9)], growl)

    def clear_most(self) -> None:
        """Begin the highest amps anew from the present ones."""
        self.state.most[:] = self.state.amps
        self.state.motors.growl[:] = 0.0

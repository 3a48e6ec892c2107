"""A store as one machine: wiring, plant, weather and clock, and what can be asked of it.

A `World` is a store in one condition. Faults edit its parameters, mending copies the sound ones back, `advance` lets time pass,
`fork` makes another world of it. Acts are in `handling`, sights in `scenery`.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from scenarios import weather
from scenarios.controls.alarms import KINDS, MOST_EVENTS
from scenarios.electrical.layouts import STALE
from scenarios.electrical.meters import Probe
from scenarios.electrical.network import Network
from scenarios.electrical.wiring import Wiring
from scenarios.errors import BadRequest
from scenarios.facts import AlarmKind, Event
from scenarios.faults import paths
from scenarios.faults.catalogue import Fault
from scenarios.loop import STEP, TREND_EVERY, Night, Ties, run, trend_columns
from scenarios.refrigeration import observe as plant_eyes
from scenarios.refrigeration import store as plant_store
from scenarios.refrigeration.alarm_list import NamedAlarm
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs, Outputs, copy_inputs, copy_outputs, new_inputs, new_outputs
from scenarios.store import entries
from scenarios.store.model import Place, Store
from scenarios.store.ties import ties

DAYS_BEFORE = 3.0
"""Whole days between the plant's time zero and the midnight before the ticket [d]."""
DAY = 86400.0


def night_of(call: dict[str, Any]) -> Night:
    """Weather and doors of a call."""
    doors = [[h * 3600.0, h * 3600.0 + m * 60.0, n - 1] for h, n, m in call.get("noise", [])]
    return Night(weather.profile(call["weather"]), np.array(doors, np.float64).reshape(len(doors), 3))


@dataclass
class World:
    """One store in one condition at one moment."""

    store: Store
    night: Night
    network: Network
    plant: Plant
    plant_in: Inputs
    plant_out: Outputs
    starts: float
    """Time of day of the ticket [s]."""
    t: float
    """Time from the ticket [s]."""
    trend: Any
    trend_from: float

    @classmethod
    def fresh(cls, store: Store, call: dict[str, Any], begin: float, trend_rows: int = 0) -> "World":
        """A sound store at a cool standstill at time `begin` [s] from the ticket."""
        world = cls.at_rest(store, call, begin, trend_rows)
        world.network.step(0.0)
        return world

    @classmethod
    def at_rest(cls, store: Store, call: dict[str, Any], begin: float, trend_rows: int = 0) -> "World":
        """The same, its contacts not settled yet; nothing of the wiring is computed."""
        hours, minutes = str(call["starts"]).split(":")
        starts = int(hours) * 3600.0 + int(minutes) * 60.0
        plant = entries.plant_of(store)
        plant.clock[0].time = DAYS_BEFORE * DAY + starts + begin
        network = Network.build(store.wiring)
        trend = np.zeros((trend_rows, len(trend_columns(plant))))
        return cls(store, night_of(call), network, plant, new_inputs(plant), new_outputs(plant), starts, begin, trend, begin)

    # ---- time ------------------------------------------------------------------------------------------------------------

    @cached_property
    def ties(self) -> Ties:
        """What crosses between plant and wiring."""
        return ties(self.store, self.network, self.plant)

    def advance(self, seconds: float) -> None:
        """Let time pass, in steps of 5 s. [s]"""
        self.t = run(
            *self.network.blocks,
            self.plant,
            self.plant_in,
            self.plant_out,
            self.ties,
            self.night,
            self.t,
            round(seconds / STEP),
            self.trend,
            self.trend_from,
        )
        self._probe = None

    # ---- copies ----------------------------------------------------------------------------------------------------------

    def fork(self, *, trend: bool = True, memory: bool = True) -> "World":
        """An independent world that begins where this one stands; without its trend log if that is not wanted."""
        return World(
            self.store,
            self.night,
            self.network.fork(memory=memory),
            plant_store.copy(self.plant),
            copy_inputs(self.plant, self.plant_in),
            copy_outputs(self.plant, self.plant_out),
            self.starts,
            self.t,
            self.trend.copy() if trend else self.trend[:0].copy(),
            self.trend_from,
        )

    def glance(self) -> "World":
        """A copy to look at, not to go on with; it carries no trend log."""
        return self.fork(trend=False, memory=False)

    def settle(self) -> None:
        """Let contacts follow what was just moved; no time passes."""
        if self.network.state.tally[STALE]:
            self.network.step(0.0)
            self._probe = None

    def unmoved(self) -> "World":
        """What may be measured without moving anything: itself, or a glance where an act is still to settle."""
        return self.glance() if self.network.state.tally[STALE] else self

    def snapshot(self) -> dict[str, Any]:
        """Everything that decides what comes next, as arrays by name, ready for npz."""
        found = {f"wires.{name}": value for name, value in self.network.snapshot().items()}
        for label, group in (
            ("plant", self.plant),
            ("in", self.plant_in),
            ("out", self.plant_out),
            ("wires_in", self.network.inputs),
            ("wires_out", self.network.outputs),
        ):
            for name in group._fields:
                if name != "fluids":
                    found[f"{label}.{name}"] = np.asarray(getattr(group, name)).copy()
        return found | {"t": np.array([self.t]), "trend": self.trend.copy(), "trend_from": np.array([self.trend_from])}

    def restore(self, saved: dict[str, Any]) -> None:
        """Take up a snapshot of a world of the same store and call."""
        self.network.restore({name[6:]: value for name, value in saved.items() if name.startswith("wires.")})
        for label, group in (
            ("plant", self.plant),
            ("in", self.plant_in),
            ("out", self.plant_out),
            ("wires_in", self.network.inputs),
            ("wires_out", self.network.outputs),
        ):
            for name in group._fields:
                if name != "fluids":
                    getattr(group, name)[...] = saved[f"{label}.{name}"]
        self.t, self.trend = float(saved["t"][0]), saved["trend"].copy()
        self.trend_from = float(saved["trend_from"][0])
        self._probe = None

    # ---- faults ----------------------------------------------------------------------------------------------------------

    def apply(self, fault: Fault, severity: int = 0) -> None:
        """Put a fault in: edit the parameters it names, as a share of the sound ones where it says so."""
        for change in fault.changes:
            if change.side == "electrical":
                for spot in paths.electrical(self.wiring, change.path):
                    self._set(self.network.par, self.network.healthy, spot, change, severity)
                self.network.touched()
            else:
                for spot in paths.plant(change.path):
                    self._set(self.plant, self.healthy, spot, change, severity)
        self._probe = None

    @staticmethod
    def _set(tables: Any, sound: Any, spot: paths.Spot, change: Any, severity: int) -> None:
        where, was = getattr(tables, spot.table), getattr(sound, spot.table)
        if spot.field not in where.dtype.names or spot.row >= len(where):
            raise BadRequest(f"{change.path}: this store has no {spot.table}[{spot.row}].{spot.field}")
        where[spot.field][spot.row] = change.of(was[spot.field][spot.row], severity)

    # ---- asking ----------------------------------------------------------------------------------------------------------

    _probe: Probe | None = None

    @property
    def wiring(self) -> Wiring:
        """The wiring list."""
        return self.store.wiring

    @property
    def places(self) -> dict[str, Place]:
        """Places of the store in the order one walks through them."""
        return self.store.places

    @property
    def healthy(self) -> Plant:
        """A sound plant of the store, for copying parameters back."""
        return entries.healthy(self.store)

    @property
    def probe(self) -> Probe:
        """The network as it stands now, solved afresh when first asked."""
        if self._probe is None or self.network.state.tally[STALE]:
            self._probe = Probe(self.network)
        return self._probe

    def volts(self, a: str, b: str, meter: str = "high") -> float:
        """Volts between two points with a meter across them. [V]"""
        return self.probe.volts(a, b, meter)

    def ohms(self, a: str, b: str, held: str | None = None) -> float:
        """Ohms between two points, an armature held in by hand if named; endless on a live pair. [ohm]"""
        if held is not None:
            self.network.operate(held, "in")
            self._probe = None
        try:
            live = self.probe.volts(a, b, "high") > 3.0
            return float("inf") if live else self.probe.ohms(a, b)
        finally:
            if held is not None:
                self.network.operate(held, "out")
                self._probe = None

    def insulation(self, a: str, b: str) -> float:
        """Insulation at 500 V. [ohm]"""
        return self.probe.insulation(a, b)

    def amps(self, terminal: str) -> float:
        """Amps in the wire at a terminal. [A]"""
        return self.probe.amps(terminal)

    def most_amps(self, terminal: str) -> float:
        """Highest amps there since cleared. [A]"""
        return max(self.network.most_amps(terminal), self.amps(terminal))

    def touch_volts(self, mark: str) -> float:
        """Highest volts on a part, by the solver. [V]"""
        return self.probe.touch_volts(mark)

    def point(self, name: str) -> float:
        """True value at a test point of the plant; ``T5.wick`` is its wet bulb. [Pa absolute or C]

        Raises
        ------
        BadRequest
            The store has no such point.
        """
        point = self.store.points.get(name.removesuffix(".wick"))
        if point is None:
            raise BadRequest(f"{name}: this store has no such test point; there are {', '.join(self.store.points)}")
        return plant_eyes.observe(self.plant, self.plant_in, point, wick=name.endswith(".wick"))

    def clear_probe(self) -> None:
        """Forget the last solution: something was changed by hand."""
        self._probe = None

    # ---- history ---------------------------------------------------------------------------------------------------------

    def clock_of(self, plant_time: float) -> float:
        """Time from the ticket of a time by the plant's clock. [s]"""
        return plant_time - DAYS_BEFORE * DAY - self.starts

    @property
    def alarms(self) -> list[NamedAlarm]:
        """Every alarm of the controllers, by row."""
        return entries.alarms_of(self.store)

    def alarm_events(self) -> list[Event]:
        """The controller's log, oldest first, by the controller's own clock."""
        rows = []
        for r, log in enumerate(self.plant.log.written):
            events = self.plant.events[r * MOST_EVENTS : (r + 1) * MOST_EVENTS]
            rows += [events[n % MOST_EVENTS] for n in range(max(0, int(log) - MOST_EVENTS), int(log))]
        if len(self.plant.log) > 1:
            rows.sort(key=lambda row: float(row.time))
        alarms = self.alarms
        return [
            Event(self.clock_of(float(row.time)), AlarmKind(KINDS[alarm.alarm.kind]), alarm.id, bool(row.on))
            for row in rows
            for alarm in [alarms[int(row.alarm)]]
        ]

    def events(self) -> list[Event]:
        """Alarms and what happened in the wiring, oldest first."""
        first = self.trend_from if len(self.trend) else 0.0
        return sorted([*self.alarm_events(), *self.wired_events(first - DAY)], key=lambda event: event.t)

    def wired_events(self, since: float) -> list[Event]:
        """What happened in the wiring after a time [s], oldest first; it keeps the last few hundred only."""
        shift = float(self.network.state.clock[0]) - self.t
        return [Event(time - shift, kind, mark) for time, kind, mark in self.network.events(since + shift)]

    def trends(self) -> dict[str, Any]:
        """The controllers' trend log up to now: first time [s], step [s], rows in SI, and where each column stands."""
        rows = int((self.t - self.trend_from) / TREND_EVERY) + 1
        kept = self.trend[: max(0, min(rows, len(self.trend)))]
        columns = {column: n for n, column in enumerate(trend_columns(self.plant))}
        return {"from": self.trend_from, "step": TREND_EVERY, "rows": kept, "columns": columns}

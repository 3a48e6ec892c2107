"""A store as one machine: wiring, plant, weather and clock, and what can be asked of it.

A `World` is a store in one condition. Faults edit its parameters, mending copies the sound ones back, `advance` lets time pass,
`fork` makes another world of it. Acts are in `handling`, sights in `scenery`.
"""

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from scenarios import weather
from scenarios.electrical.layouts import STALE
from scenarios.electrical.meters import Probe
from scenarios.electrical.network import Network
from scenarios.electrical.wiring import Wiring
from scenarios.errors import BadRequest
from scenarios.facts import Event
from scenarios.faults import paths
from scenarios.faults.catalogue import Fault
from scenarios.files import yamlfile
from scenarios.loop import (
    BASIN,
    COMPRESSOR_CALL,
    FAN_CALL,
    HIGH_PRESSURE,
    LIQUID_CALL,
    LOW_PRESSURE,
    PUMP_CALL,
    STEP,
    TREND_EVERY,
    Links,
    Night,
    run,
)  # fmt: skip
from scenarios.parts.kind import Part
from scenarios.records import table
from scenarios.refrigeration import observe as plant_eyes
from scenarios.refrigeration import store as plant_store
from scenarios.refrigeration.plant import CIRCUITS, COMPRESSORS, Inputs, Orders, Outputs, Outside, Plant
from scenarios.store.present import parts_of

DAYS_BEFORE = 3.0
"""Whole days between the plant's time zero and the midnight before the ticket [d]."""
DAY = 86400.0
FOLLOWS = {
    "call compressor": COMPRESSOR_CALL, "high pressure": HIGH_PRESSURE, "low pressure": LOW_PRESSURE, "call pump": PUMP_CALL,
    "call fan": FAN_CALL, "call liquid": LIQUID_CALL, "basin level": BASIN,
}  # fmt: skip
CHANNELS = 4 + CIRCUITS


@dataclass
class Store:
    """What all worlds of one store share."""

    data: dict[str, Any]

    @classmethod
    def load(cls, name: str) -> "Store":
        """Read a store by its id."""
        return cls(yamlfile.load(yamlfile.FOLDERS["store"] / f"{name}.yaml"))

    @cached_property
    def wiring(self) -> Wiring:
        """Its wiring list, checked."""
        return Wiring.load(self.data)

    @cached_property
    def _instances(self) -> tuple[dict[str, Part], dict[str, dict[str, Part]]]:
        return parts_of(self.data, self.wiring)

    @property
    def parts(self) -> dict[str, Part]:
        """Every part by its mark: those of the wiring list first."""
        return self._instances[0]

    @property
    def has(self) -> dict[str, dict[str, Part]]:
        """What belongs to a part of the plant, by its mark and the role."""
        return self._instances[1]

    @property
    def charges(self) -> list[float]:
        """Charge of every rack [kg]."""
        return [float(self.data["charge_kg"])]

    @cached_property
    def healthy(self) -> Plant:
        """A sound plant, for copying parameters back."""
        return plant_store.build(self.data)

    @cached_property
    def points(self) -> dict[str, dict[str, str]]:
        """Test points of the plant."""
        return plant_eyes.points(self.data)

    @cached_property
    def alarms(self) -> list[tuple[str, str]]:
        """Id and title of every alarm row."""
        return [(name, title) for name, title, _ in plant_store.alarm_rows(self.data)]

    def links(self, network: Network) -> Links:
        """Match `plant:` entries of the wiring list with the plant."""
        devices = self.wiring.devices
        names = {device.plant: mark for mark, device in devices.items() if device.plant}

        def row(mark: str) -> tuple[int, int]:
            what, _, number = devices[mark].plant.rpartition(" ")
            if what in FOLLOWS and number.isdigit():
                return FOLLOWS[what], int(number) - 1
            return FOLLOWS[devices[mark].plant], 0

        loads = [(element.device, n) for n, element in enumerate(network.loads)]
        coil = {mark: n for mark, n in loads}
        return Links(
            np.array([row(mark) for mark in network.followers], np.int64),
            np.array([network.motors.index(names[f"compressor {n + 1}"]) for n in range(COMPRESSORS)], np.int64),
            network.motors.index(names["fan"]),
            network.motors.index(names["pump"]),
            np.array([coil[names[f"solenoid {n + 1}"]] for n in range(CIRCUITS)], np.int64),
            np.array([coil[names[f"crankcase {n + 1}"]] for n in range(COMPRESSORS)], np.int64),
        )


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
    starts: float
    """Time of day of the ticket [s]."""
    t: float = 0.0
    """Time from the ticket [s]."""
    trend: Any = field(default_factory=lambda: np.zeros((0, CHANNELS)))
    trend_from: float = 0.0
    plant_in: Inputs = field(
        default_factory=lambda: Inputs(
            table([Outside()]),
            np.zeros(COMPRESSORS),
            np.zeros(CIRCUITS, np.bool_),
            np.zeros(COMPRESSORS, np.bool_),
            np.zeros(CIRCUITS),
        )
    )
    plant_out: Outputs = field(
        default_factory=lambda: Outputs(
            table([Orders()]),
            np.ones(COMPRESSORS, np.bool_),
            np.ones(COMPRESSORS, np.bool_),
            np.zeros(COMPRESSORS, np.bool_),
            np.zeros(CIRCUITS, np.bool_),
            np.zeros(COMPRESSORS),
        )
    )

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
        plant = plant_store.build(store.data)
        plant.clock[0].time = DAYS_BEFORE * DAY + starts + begin
        network = Network.build(store.wiring)
        return cls(store, night_of(call), network, plant, starts, begin, np.zeros((trend_rows, CHANNELS)), begin)

    # ---- time ------------------------------------------------------------------------------------------------------------

    @cached_property
    def links(self) -> Links:
        """What of the wiring is what of the plant."""
        return self.store.links(self.network)

    def advance(self, seconds: float) -> None:
        """Let time pass, in steps of 5 s. [s]"""
        self.t = run(
            *self.network.blocks,
            self.plant,
            self.plant_in,
            self.plant_out,
            self.links,
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
            _copied(self.plant),
            self.starts,
            self.t,
            self.trend.copy() if trend else np.zeros((0, CHANNELS)),
            self.trend_from,
            _copied(self.plant_in),
            _copied(self.plant_out),
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
                if name != "fluid":
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
                if name != "fluid":
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
                    self._set(self.plant, self.store.healthy, spot, change, severity)
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
    def places(self) -> dict[str, dict[str, Any]]:
        """Places of the store in the order one walks through them."""
        places: dict[str, dict[str, Any]] = self.store.data["places"]
        return places

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
        """True value at a test point of the plant; ``T5.wick`` is its wet bulb. [Pa absolute or C]"""
        if name.endswith(".wick"):
            return plant_eyes.observe(self.plant, self.plant_in, name.removesuffix(".wick"), wick=True)
        return plant_eyes.observe(self.plant, self.plant_in, name)

    def clear_probe(self) -> None:
        """Forget the last solution: something was changed by hand."""
        self._probe = None

    # ---- history ---------------------------------------------------------------------------------------------------------

    def clock_of(self, plant_time: float) -> float:
        """Time from the ticket of a time by the plant's clock. [s]"""
        return plant_time - DAYS_BEFORE * DAY - self.starts

    def alarm_events(self) -> list[Event]:
        """The controller's log, oldest first, by the controller's own clock."""
        log, events = int(self.plant.log[0].written), self.plant.events
        rows = [events[n % len(events)] for n in range(max(0, log - len(events)), log)]
        names = self.store.alarms
        return [
            Event(self.clock_of(float(row.time)), names[int(row.alarm)][0], bool(row.on), names[int(row.alarm)][1]) for row in rows
        ]

    def events(self) -> list[Event]:
        """Alarms and what happened in the wiring, oldest first."""
        first = self.trend_from if len(self.trend) else 0.0
        return sorted([*self.alarm_events(), *self.wired_events(first - DAY)], key=lambda event: event.t)

    def wired_events(self, since: float) -> list[Event]:
        """What happened in the wiring after a time [s], oldest first; it keeps the last few hundred only."""
        shift = float(self.network.state.clock[0]) - self.t
        return [Event(time - shift, mark, True, f"{mark} {words}") for time, words, mark in self.network.events(since + shift)]

    def trends(self) -> dict[str, Any]:
        """The controller's trend log up to now: first time [s], step [s], and columns in SI."""
        rows = int((self.t - self.trend_from) / TREND_EVERY) + 1
        kept = self.trend[: max(0, min(rows, len(self.trend)))]
        return {"from": self.trend_from, "step": TREND_EVERY, "rows": kept}


def _copied(group: Any) -> Any:
    """A NamedTuple of arrays, copied; tables of the fluid are shared."""
    return type(group)(*(getattr(group, name) if name == "fluid" else getattr(group, name).copy() for name in group._fields))

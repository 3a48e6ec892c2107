"""From a store's records to what its plant is built of: every physical record made, every mistake in its fields kept.

Needs the records of the physics, which are slow to import; only whoever runs a store, or checks its file, asks for it.
"""

from dataclasses import replace
from functools import lru_cache
from typing import Any

from scenarios.compiling.quantities import from_yaml, keys_of
from scenarios.controls.case import CaseControl
from scenarios.controls.controller import Controller
from scenarios.controls.cutouts import Cutout
from scenarios.controls.fan_loop import FanLoop
from scenarios.controls.staging import Staging
from scenarios.errors import BadRequest
from scenarios.refrigeration.alarm_list import GroupAlarms, NamedAlarm, RackAlarms, alarm_list
from scenarios.refrigeration.circuit import Circuit as CircuitRecord
from scenarios.refrigeration.circuit import DefrostHeater
from scenarios.refrigeration.compressor import Compressor
from scenarios.refrigeration.condenser import Condenser
from scenarios.refrigeration.discharge import DischargeLine
from scenarios.refrigeration.fans import Fan
from scenarios.refrigeration.liquid import LiquidLine
from scenarios.refrigeration.plant import PlaceAir, Plant
from scenarios.refrigeration.property_tables import known
from scenarios.refrigeration.receiver import Receiver
from scenarios.refrigeration.spray import Spray
from scenarios.refrigeration.store import CircuitEntry, CompressorEntry, GroupEntry, RackEntry, build
from scenarios.refrigeration.suction import SuctionLine
from scenarios.store.model import Circuit, Fields, Rack, Store, SuctionGroup, Unit
from scenarios.store.problems import Path, dotted

USUAL_LENGTH = 12.0
"""Length of the case that the defaults describe [ft]."""
WITH_LENGTH = (
    "valve_area",
    "coil_ua",
    "dry_ua",
    "coil_full",
    "airflow",
    "fan_heat",
    "lights",
    "infiltration",
    "moisture",
    "air_capacity",
    "product_capacity",
    "product_ua",
    "core_ua",
    "frost_half",
)
"""Fields that grow with the length of a case."""
AIR = {"motor_room": PlaceAir(temperature=24.0), "sales_floor": PlaceAir(temperature=22.0)}
"""Air of a place by its kind; of any other that of a motor room."""


def sized(circuit: CircuitRecord | None, length: float) -> Any:
    """A circuit of another length than the usual one [ft], everything in proportion; branch and feed pressures stay."""
    if circuit is None:
        return None
    times = length / USUAL_LENGTH
    changed = {name: getattr(circuit, name) * times for name in WITH_LENGTH}
    return replace(circuit, **changed, branch_resistance=circuit.branch_resistance / times / times)


class Entries:
    """Makes the entries of a store, and collects every mistake in its physical records."""

    def __init__(self, store: Store) -> None:
        self.store, self.problems = store, list[tuple[Path, str]]()
        self.rows = {name: row for row, name in enumerate(store.places)}
        self.places = [AIR.get(place.kind, AIR["motor_room"]) for place in store.places.values()]
        self.racks = [self.rack(rack) for rack in store.racks]

    def take(self, cls: type[Any], entry: Fields, path: Path) -> Any:
        """One record from its fields in the file; its mistakes are kept and a stand-in of None is given."""
        try:
            return from_yaml(cls, dict(entry), "")
        except ValueError as error:
            for line in str(error).splitlines():
                key, _, text = line.partition(": ")
                self.problems.append(((*path, key.lstrip(".")), text))
            return None

    def section(self, cls: type[Any], of: Rack | SuctionGroup, name: str) -> Any:
        """The record of a section that a rack or group may have."""
        return self.take(cls, of.settings.get(name, {}), (*of.path, name))

    def rack(self, rack: Rack) -> RackEntry:
        """One rack with all that is its own."""
        if rack.refrigerant not in known():
            self.problems.append(((*rack.path, "refrigerant"), f"no table of {rack.refrigerant}; there are {', '.join(known())}"))
        pump, sprayed = rack.pump, rack.condenser.part.kind.name == "condenser_evaporative"
        own = {key: value for key, value in rack.condenser.fields.items() if key not in SPRAY_KEYS}
        wet = {key: value for key, value in rack.condenser.fields.items() if key in SPRAY_KEYS} | dict(pump.fields if pump else {})
        return RackEntry(
            title=rack.title,
            refrigerant=rack.refrigerant,
            charge=rack.charge,
            groups=[self.group(group) for group in rack.groups],
            room=self.rows[rack.place],
            store=self.rows[next(circuit.part.place for group in rack.groups for circuit in group.circuits)],
            fans=[self.take(Fan, fan.fields, fan.path) for fan in rack.fans],
            spray=self.take(Spray, wet, rack.condenser.path) if sprayed else None,
            condenser=self.take(Condenser, own if sprayed else rack.condenser.fields, rack.condenser.path),
            receiver=self.take(Receiver, rack.receiver.fields, rack.receiver.path),
            liquid=self.section(LiquidLine, rack, "liquid"),
            discharge=self.section(DischargeLine, rack, "discharge"),
            controller=self.section(Controller, rack, "controller"),
            fan_loop=self.section(FanLoop, rack, "fan_loop"),
            alarms=self.section(RackAlarms, rack, "alarms"),
        )

    def group(self, group: SuctionGroup) -> GroupEntry:
        """One suction group; its controller wants the design suction where its file says nothing else."""
        staging = dict(group.settings.get("staging", {}))
        if not any(key.startswith("suction_target") for key in staging):
            staging["suction_target"] = group.suction_dew
        return GroupEntry(
            title=group.title,
            compressors=[self.compressor(unit) for unit in group.compressors],
            circuits=[self.circuit(circuit) for circuit in group.circuits],
            suction=self.section(SuctionLine, group, "suction"),
            staging=self.take(Staging, staging, (*group.path, "staging")),
            alarms=self.section(GroupAlarms, group, "alarms"),
        )

    def compressor(self, unit: Unit) -> CompressorEntry:
        """One machine with its cut-outs."""
        cutouts = {
            side: self.take(Cutout, unit.settings.get(side, {}), (*unit.path, side)) or Cutout(opens=1e6)
            for side in ("high", "low")
        }
        machine = self.take(Compressor, unit.fields, unit.path) or Compressor(swept_flow=0.01)
        return CompressorEntry(f"compressor {unit.part.number}", machine, **cutouts)

    def circuit(self, circuit: Circuit) -> CircuitEntry:
        """One case or walk-in."""
        record = sized(self.take(CircuitRecord, circuit.fields, circuit.path), circuit.length_ft or USUAL_LENGTH)
        both = {**circuit.settings.get("thermostat", {}), **circuit.settings.get("defrost", {})}
        heated = "heater" in circuit.has
        return CircuitEntry(
            title=f"circuit {circuit.number} {circuit.title}",
            short=f"circuit {circuit.number}",
            circuit=record,
            control=self.take(CaseControl, both, circuit.path),
            limit=circuit.limit,
            place=self.rows[circuit.part.place],
            door=circuit.part.kind.name == "walk_in",
            heater=self.take(DefrostHeater, circuit.settings.get("heater", {}), (*circuit.path, "heater")) if heated else None,
        )


SPRAY_KEYS = frozenset(keys_of(Spray))
"""Keys of an evaporative condenser in a store file that belong to its spray."""


@lru_cache(maxsize=16)
def entries(store: Store) -> Entries:
    """Entries of a store.

    Raises
    ------
    BadRequest
        Unknown keys, missing or out-of-range values, all at once.
    """
    made = Entries(store)
    if made.problems:
        raise BadRequest("\n".join(f"{dotted(path)}: {text}" for path, text in made.problems))
    return made


def plant_of(store: Store) -> Plant:
    """Fresh tables for a store, at a cool standstill."""
    made = entries(store)
    return build(made.racks, made.places)


@lru_cache(maxsize=16)
def healthy(store: Store) -> Plant:
    """A sound plant of a store, for copying parameters back; nobody changes it."""
    return plant_of(store)


@lru_cache(maxsize=16)
def alarms_of(store: Store) -> list[NamedAlarm]:
    """Alarms of a store, in the order of their rows."""
    return alarm_list(entries(store).racks)

"""From a store to the records of its plant: one entry per rack, suction group, machine and circuit, and the air of its places.

Keys of the store file are the fields of the records, units in the key. The records are declared in the physics, which is slow to
import; so only what builds or checks a plant asks for this module.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from scenarios.compiling.quantities import from_yaml
from scenarios.controls.case import CaseControl
from scenarios.controls.controller import Controller
from scenarios.controls.cutouts import Cutout
from scenarios.controls.fan_loop import FanLoop
from scenarios.controls.staging import Staging
from scenarios.errors import BadRequest
from scenarios.refrigeration import refrigerants
from scenarios.refrigeration.alarm_list import GroupAlarms, RackAlarms
from scenarios.refrigeration.circuit import Circuit as CircuitRecord
from scenarios.refrigeration.circuit import DefrostHeater
from scenarios.refrigeration.compressor import Compressor
from scenarios.refrigeration.condenser import Condenser
from scenarios.refrigeration.discharge import DischargeLine
from scenarios.refrigeration.fans import Fan
from scenarios.refrigeration.liquid import LiquidLine
from scenarios.refrigeration.plant import PlaceAir
from scenarios.refrigeration.receiver import Receiver
from scenarios.refrigeration.spray import Spray
from scenarios.refrigeration.store import CircuitEntry, CompressorEntry, GroupEntry, RackEntry
from scenarios.refrigeration.suction import SuctionLine
from scenarios.store.model import Circuit, Fields, Rack, Store, SuctionGroup, Unit
from scenarios.store.problems import Path, Problem, dotted

AIR = {"motor_room": 24.0}
"""Air of a kind of place where the file says nothing else [C]; common practice."""
INDOORS = 22.0
"""The same of every other place [C]."""
USUAL_LENGTH = 12.0
"""Length of the case that the defaults describe [ft]."""
WITH_LENGTH = (
    "valve_area", "coil_ua", "dry_ua", "coil_full", "airflow", "fan_heat", "lights", "infiltration", "moisture", "air_capacity",
    "product_capacity", "product_ua", "core_ua", "frost_half",
)  # fmt: skip
"""Fields that grow with the length of a case."""


@dataclass(frozen=True)
class Entries:
    """All that a plant is built of."""

    racks: list[RackEntry]
    places: list[PlaceAir]


@lru_cache(maxsize=16)
def of(store: Store) -> Entries:
    """The records of a store.

    Raises
    ------
    BadRequest
        Unknown keys, missing or out-of-range values, all at once.
    """
    made, found = examined(store)
    if found:
        raise BadRequest("\n".join(f"{dotted(path)}: {text}" for path, text in found))
    return made


def examined(store: Store) -> tuple[Entries, list[Problem]]:
    """The records of a store, and every mistake in them; where there is one, a record may be None."""
    reader = _Records(store)
    racks = [reader.rack(rack) for rack in store.racks]
    return Entries(racks, reader.places()), reader.problems


def sized(circuit: CircuitRecord | None, length: float) -> CircuitRecord | None:
    """A circuit of another length than the usual one, everything in proportion; branch and feed pressures stay.

    Parameters
    ----------
    circuit : Circuit | None
        What it works with.
    length : float
        Of the case. [ft]
    """
    if circuit is None:
        return None
    times = length / USUAL_LENGTH
    changed = {name: getattr(circuit, name) * times for name in WITH_LENGTH}
    return replace(circuit, **changed, branch_resistance=circuit.branch_resistance / times / times)


class _Records:
    """Makes records from fields, and keeps every mistake."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.problems: list[Problem] = []
        at = [place for rack in store.racks for place in (rack.place, *(c.part.place for g in rack.groups for c in g.circuits))]
        self.air = list(dict.fromkeys(at))

    def places(self) -> list[PlaceAir]:
        """Air of every place where there is something of the plant."""
        found = [self.store.places[name] for name in self.air]
        return [
            self.take(PlaceAir, {"temperature": AIR.get(place.kind, INDOORS), **place.air}, ("places", place.name, "air"))
            for place in found
        ]

    def take(self, cls: type[Any], fields: Fields, path: Path) -> Any:
        """One record from its fields in the file; its mistakes are kept and a stand-in of None is given."""
        try:
            return from_yaml(cls, dict(fields), "")
        except ValueError as error:
            for line in str(error).splitlines():
                key, _, text = line.partition(": ")
                self.problems.append(((*path, key.lstrip(".")), text))
            return None

    def rack(self, rack: Rack) -> RackEntry:
        """One rack."""
        if rack.refrigerant not in refrigerants.known():
            text = f"there is no table of {rack.refrigerant!r}, allowed are {' '.join(refrigerants.known())}"
            self.problems.append(((*rack.path, "refrigerant"), text))
        groups = [self.group(group) for group in rack.groups]
        circuits = [circuit for group in rack.groups for circuit in group.circuits]
        sections = {
            name: self.take(cls, rack.settings.get(name, {}), (*rack.path, name))
            for name, cls in (
                ("liquid", LiquidLine),
                ("discharge", DischargeLine),
                ("controller", Controller),
                ("fan_loop", FanLoop),
                ("alarms", RackAlarms),
            )
        }
        return RackEntry(
            rack.title,
            rack.refrigerant,
            rack.charge,
            groups,
            room=self.air.index(rack.place),
            store=self.air.index(circuits[0].part.place),
            fans=[self.take(Fan, fan.fields, fan.path) for fan in rack.fans],
            spray=None if rack.pump is None else self.take(Spray, rack.pump.fields, rack.pump.path),
            condenser=self.take(Condenser, rack.condenser.fields, rack.condenser.path),
            receiver=self.take(Receiver, rack.receiver.fields, rack.receiver.path),
            **sections,
        )

    def group(self, group: SuctionGroup) -> GroupEntry:
        """One suction group."""
        sections = {
            name: self.take(cls, group.settings.get(name, {}), (*group.path, name))
            for name, cls in (("suction", SuctionLine), ("staging", Staging), ("alarms", GroupAlarms))
        }
        machines = [self.machine(unit) for unit in group.compressors]
        circuits = [self.circuit(circuit) for circuit in group.circuits]
        return GroupEntry(group.title, group.suction_dew, machines, circuits, **sections)

    def machine(self, unit: Unit) -> CompressorEntry:
        """One compressor with its cut-outs."""
        high, low = (self.take(Cutout, unit.settings.get(side, {}), (*unit.path, side)) for side in ("high", "low"))
        return CompressorEntry(unit.part.title, self.take(Compressor, unit.fields, unit.path), high, low)

    def circuit(self, circuit: Circuit) -> CircuitEntry:
        """One case or walk-in."""
        short = f"circuit {circuit.number}"
        record: Any = sized(self.take(CircuitRecord, circuit.fields, circuit.path), circuit.length_ft or USUAL_LENGTH)
        thermostat, defrost = (circuit.settings.get(name, {}) for name in ("thermostat", "defrost"))
        heats = "heater" in circuit.has
        return CircuitEntry(
            f"{short} {circuit.title}",
            short,
            record,
            self.take(CaseControl, {**thermostat, **defrost}, circuit.path),
            circuit.limit,
            place=self.air.index(circuit.part.place),
            door=circuit.part.kind.name == "walk_in",
            heater=self.take(DefrostHeater, circuit.settings.get("heater", {}), (*circuit.path, "heater")) if heats else None,
        )

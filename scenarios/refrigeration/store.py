"""From a store's racks to a plant: `build(racks, places)` makes fresh tables at a quiet starting state.

What a store is made of comes as entries, one per rack, suction group, machine and circuit, each with the records of its parts. Rows
are counted here, in the order of the entries, and nowhere else.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from scenarios.compiling.quantities import table
from scenarios.controls.alarms import KINDS, MOST_EVENTS, AlarmState, Event, Log
from scenarios.controls.case import CaseControl, CaseControlState
from scenarios.controls.controller import Controller, ControllerState
from scenarios.controls.cutouts import Cutout, CutoutState
from scenarios.controls.fan_loop import FanLoop, FanLoopState
from scenarios.controls.staging import Stage, Staging, StagingState
from scenarios.refrigeration.alarm_list import GroupAlarms, RackAlarms, alarm_list
from scenarios.refrigeration.circuit import Circuit, CircuitState, CircuitStep, DefrostHeater
from scenarios.refrigeration.compressor import Compressor, CompressorState
from scenarios.refrigeration.condenser import Condenser, CondenserState
from scenarios.refrigeration.discharge import DischargeLine, DischargeState
from scenarios.refrigeration.fans import Fan, FanState
from scenarios.refrigeration.filling import fill
from scenarios.refrigeration.liquid import LiquidLine, LiquidState
from scenarios.refrigeration.plant import Clock, Group, GroupStep, PlaceAir, Plant, Rack
from scenarios.refrigeration.property_tables import load_all
from scenarios.refrigeration.receiver import Receiver, ReceiverState
from scenarios.refrigeration.spray import Spray, SprayState
from scenarios.refrigeration.suction import SuctionLine, SuctionState


@dataclass(frozen=True)
class CompressorEntry:
    """One machine with its cut-outs."""

    title: str
    """How it is spoken of: compressor 1."""
    machine: Compressor
    high: Cutout
    low: Cutout


@dataclass(frozen=True)
class CircuitEntry:
    """One case or walk-in."""

    title: str
    """How it is spoken of: circuit 1 produce."""
    short: str
    """And in short: circuit 1."""
    circuit: Circuit
    control: CaseControl
    limit: float
    """Highest air temperature for its product [C]."""
    place: int = 0
    """Row of the place whose air falls in."""
    door: bool = False
    """Whether a door left open is told."""
    heater: DefrostHeater | None = None
    """Its electric defrost; none: it thaws by its air."""


@dataclass(frozen=True)
class GroupEntry:
    """One suction group."""

    title: str
    compressors: Sequence[CompressorEntry]
    circuits: Sequence[CircuitEntry]
    suction: SuctionLine = field(default_factory=SuctionLine)
    staging: Staging = field(default_factory=Staging)
    alarms: GroupAlarms = field(default_factory=GroupAlarms)


@dataclass(frozen=True)
class RackEntry:
    """One rack."""

    title: str
    refrigerant: str
    charge: float
    """[kg]"""
    groups: Sequence[GroupEntry]
    room: int = 0
    """Row of the place of its machines."""
    store: int = 0
    """Row of the place that its liquid line runs through."""
    fans: Sequence[Fan] = (Fan(),)
    spray: Spray | None = field(default_factory=Spray)
    """None: its condenser is air-cooled."""
    condenser: Condenser = field(default_factory=Condenser)
    receiver: Receiver = field(default_factory=Receiver)
    liquid: LiquidLine = field(default_factory=LiquidLine)
    discharge: DischargeLine = field(default_factory=DischargeLine)
    controller: Controller = field(default_factory=Controller)
    fan_loop: FanLoop = field(default_factory=FanLoop)
    alarms: RackAlarms = field(default_factory=RackAlarms)


def stages(group: GroupEntry) -> Iterator[Stage]:
    """Machines of a group as its controller sees them."""
    swept = sum(each.machine.swept_flow for each in group.compressors)
    return (Stage(capacity=each.machine.swept_flow / swept) for each in group.compressors)


def build(racks: Sequence[RackEntry], places: Sequence[PlaceAir]) -> Plant:
    """Fresh tables for a store, at a cool standstill from which it settles in an hour or two.

    Parameters
    ----------
    racks : sequence of RackEntry
        What it is made of.
    places : sequence of PlaceAir
        Air of its places; entries name them by row.

    Raises
    ------
    BadRequest
        There is no table of a refrigerant.
    """
    fluids = list(dict.fromkeys(rack.refrigerant for rack in racks))
    lists = rows_of(racks, fluids)
    alarms = [each.alarm for each in alarm_list(racks)]
    for rack in range(len(racks)):
        own = [n for n, each in enumerate(alarm_list(racks)) if each.rack == rack]
        lists["racks"][rack] = replace(lists["racks"][rack], alarms=own[0], alarms_end=own[-1] + 1)
    made = {name: table(items, cls=KEPT[name]) for name, items in lists.items()}
    made |= {name: table([cls() for _ in lists[beside]], cls=cls) for name, (cls, beside) in STATES.items()}
    most = max(len(lists[name]) for name in ("racks", "groups", "compressors", "circuits"))
    plant = Plant(
        fluids=load_all(fluids),
        places=table(list(places)),
        alarms=table(alarms),
        alarm_states=table([AlarmState() for _ in alarms]),
        events=table([Event() for _ in range(MOST_EVENTS * len(racks))]),
        clock=table([Clock()]),
        signals=np.zeros((len(KINDS), most)),
        **made,
    )
    for r, rack_entry in enumerate(racks):
        fill(plant, r, rack_entry.charge)
    return plant


KEPT: dict[str, type] = {
    "racks": Rack,
    "groups": Group,
    "condenser": Condenser,
    "fans": Fan,
    "sprays": Spray,
    "receiver": Receiver,
    "liquid": LiquidLine,
    "discharge": DischargeLine,
    "suction": SuctionLine,
    "compressors": Compressor,
    "circuits": Circuit,
    "defrosts": DefrostHeater,
    "controller": Controller,
    "fan_loop": FanLoop,
    "staging": Staging,
    "stages": Stage,
    "cases": CaseControl,
    "high": Cutout,
    "low": Cutout,
}
"""Tables that entries fill."""
STATES: dict[str, tuple[type, str]] = {
    "condenser_state": (CondenserState, "racks"),
    "fan_states": (FanState, "fans"),
    "spray_states": (SprayState, "sprays"),
    "receiver_state": (ReceiverState, "racks"),
    "liquid_state": (LiquidState, "racks"),
    "discharge_state": (DischargeState, "racks"),
    "suction_state": (SuctionState, "groups"),
    "group_steps": (GroupStep, "groups"),
    "compressor_states": (CompressorState, "compressors"),
    "circuit_states": (CircuitState, "circuits"),
    "circuit_steps": (CircuitStep, "circuits"),
    "controller_state": (ControllerState, "racks"),
    "fan_loop_state": (FanLoopState, "racks"),
    "staging_state": (StagingState, "groups"),
    "case_states": (CaseControlState, "circuits"),
    "high_states": (CutoutState, "compressors"),
    "low_states": (CutoutState, "compressors"),
    "log": (Log, "racks"),
}
"""Fresh states beside them: what they are of, and the table whose rows they follow."""


def rows_of(racks: Sequence[RackEntry], fluids: Sequence[str]) -> dict[str, list[Any]]:
    """The records of all entries, table by table, with ranges counted."""
    found: dict[str, list[Any]] = {name: [] for name in KEPT}
    for rack in racks:
        before = {name: len(rows) for name, rows in found.items()}
        for name in ("condenser", "receiver", "liquid", "discharge", "controller", "fan_loop"):
            found[name].append(getattr(rack, name))
        found["fans"] += rack.fans
        found["sprays"] += [rack.spray] if rack.spray else []
        for group in rack.groups:
            add_group(found, group)
        owned = ("groups", "compressors", "circuits", "fans", "sprays")
        ranges = {name: before[name] for name in owned} | {f"{name}_end": len(found[name]) for name in owned}
        found["racks"].append(Rack(fluid=fluids.index(rack.refrigerant), room=rack.room, store=rack.store, **ranges))
    return found


def add_group(found: dict[str, list[Any]], group: GroupEntry) -> None:
    """The records of one suction group behind those of the others."""
    first_machine, first_circuit = len(found["compressors"]), len(found["circuits"])
    found["suction"].append(group.suction)
    found["staging"].append(group.staging)
    found["stages"] += stages(group)
    for each in group.compressors:
        found["compressors"].append(each.machine)
        found["high"].append(replace(each.high, above=True))
        found["low"].append(replace(each.low, above=False, manual=False))
    for one in group.circuits:
        if one.heater:
            found["defrosts"].append(replace(one.heater, circuit=len(found["circuits"])))
        found["circuits"].append(replace(one.circuit, place=one.place))
        found["cases"].append(one.control)
    found["groups"].append(Group(first_machine, len(found["compressors"]), first_circuit, len(found["circuits"])))


def copy(plant: Plant) -> Plant:
    """An independent copy; the property tables are shared, they never change."""
    rows: list[Any] = [kept.copy() for kept in plant[1:]]
    return Plant(plant.fluids, *rows)

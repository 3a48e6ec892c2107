"""What one rack is made of: the tables that `rack.step` moves, its inputs and its outputs.

Every field of `Plant` is a table of records, one row per component. Parameter tables (`condenser`, `receiver`, `lines`,
`compressors`, `circuits`, `controller`, `cases`, `high`, `low`, `alarms`) are what faults edit and mending copies back; state
tables end in `_state` or `_states`; `circuit_steps` is what the last step did (observers read it, so a snapshot keeps it);
`signals` is scratch.

What breaks, and which parameter it changes (row n of the table):

    charge lost, overcharge         lines.extra_charge < 0, > 0; comes and goes at lines.charge_rate
    gas that does not condense      lines.noncondensable
    drier restricted                lines.drier (100 shows in pressure, flashing follows)
    coil scaled, nozzles plugged    condenser.scale, condenser.nozzles
    fan moves too little            condenser.fan_share (blades, belt); a stopped fan is an input
    float stuck, low water          condenser.float_share 0; basin switch: switch_level
    hot-gas valve stuck             receiver.valve_least 1 (open), valve_most 0 (shut), hot_gas_set
    expansion valve                 circuits.valve_share (under, over), valve_least (stuck open), valve_most, valve_set
    solenoid stuck                  circuits.solenoid_stuck_shut, solenoid_stuck_open
    case fans, grille, door         circuits.fans, blocked, ajar
    iced, drain frozen              cases.skipped, cases.longest, circuits.drain_blocked
    heat where none belongs         circuits.lights
    compressor valves               compressors.valve_leak (in the stroke), leak_back (also at rest), tightness
    transducers, sensors            controller.suction_offset, discharge_offset, wet_bulb_offset; cases.sensor_offset
    settings wrong                  high.opens, low.opens, differential, controller.*, cases.cut_in, cut_out
    cut-out contact                 high.stuck_open, stuck_shut; low likewise
"""

from typing import Any, NamedTuple

import numpy as np

from scenarios.records import quantity, record, table
from scenarios.refrigeration.fluid import Fluid

Rows = np.recarray[Any, Any]
Array = np.ndarray[Any, Any]


@record
class Clock:
    """Time and energy books; the books close when every joule is booked once in and once out."""

    time: float = quantity("s", "since midnight before the start", default=0.0)
    grid: float = quantity("s", "since states were last put on their grid", default=0.0)
    heat_in: float = quantity("J", "into the plant: store air, lights, fans, moisture, rooms", default=0.0)
    work_in: float = quantity("J", "compressor shafts", default=0.0)
    heat_out: float = quantity("J", "to outdoor air and motor room", default=0.0)
    boiled: float = quantity("J", "taken up by refrigerant in coils", default=0.0)
    condensed: float = quantity("J", "given up by refrigerant in the condenser", default=0.0)
    gas_work: float = quantity("J", "put into gas by compressors", default=0.0)
    line_heat: float = quantity("J", "taken up by refrigerant in pipes and receiver", default=0.0)
    steel_to_gas: float = quantity("J", "from pipe and receiver steel into refrigerant", default=0.0)
    charge_heat: float = quantity("J", "carried by refrigerant added", default=0.0)
    roof_in: float = quantity("J", "into coil and basin", default=0.0)
    roof_out: float = quantity("J", "from coil to air", default=0.0)


@record
class Outside:
    """Inputs that come one at a time."""

    dry_bulb: float = quantity("C", "outdoor dry bulb", default=25.0)
    wet_bulb: float = quantity("C", "outdoor wet bulb", default=18.0)


class Inputs(NamedTuple):
    """What weather and wiring do to the plant in a step."""

    flat: Array
    """All that wiring feeds, one port behind the other; what has a name below is a view of it."""
    speed: Array
    """Compressor shaft speed over rated, per machine [-]."""
    heater: Array
    """Crankcase heater energised, per machine [-]."""
    solenoid: Array
    """Liquid solenoid energised, per circuit [-]."""
    fan_speed: Array
    """Over rated, signed, per condenser fan [-]."""
    pump_speed: Array
    """Over rated, per spray pump [-]."""
    outside: Rows
    """One row of `Outside`."""
    controller_on: Array
    """Controller has supply, per rack [-]."""
    door: Array
    """0 curtain down or door shut, 1 wide open, per circuit [-]."""


class Outputs(NamedTuple):
    """What the plant does to the wiring after a step."""

    flat: Array
    """All that the plant gives, one port behind the other; everything below is a view of it."""
    hp_closed: Array
    """High-pressure cut-out closed, per machine [-]."""
    lp_closed: Array
    """Low-pressure cut-out closed, per machine [-]."""
    call_compressor: Array
    """Called by its controller, per machine [-]."""
    call_liquid: Array
    """Liquid called, per circuit [-]."""
    shaft_power: Array
    """Per machine, at its present speed; standing, what it would need at rated speed [W]."""
    call_fan: Array
    """Called by its controller, per condenser fan [-]."""
    fan_reference: Array
    """Speed asked for, per condenser fan [-]."""
    fan_power: Array
    """Shaft power at rated speed, per condenser fan; cube law below [W]."""
    call_pump: Array
    """Called by its controller, per spray pump [-]."""
    basin_ok: Array
    """Basin level switch closed, per spray pump [-]."""
    pump_power: Array
    """Shaft power at rated speed, per spray pump; cube law below [W]."""


INPUTS = {
    "compressors.speed": "speed",
    "compressors.heater": "heater",
    "circuits.solenoid": "solenoid",
    "fans.speed": "fan_speed",
    "sprays.speed": "pump_speed",
}
"""Ports that wiring feeds, by table and word: the field of `Inputs`. One place per row of the table."""
OUTPUTS = {
    "compressors.high": "hp_closed",
    "compressors.low": "lp_closed",
    "compressors.call": "call_compressor",
    "circuits.call": "call_liquid",
    "compressors.shaft": "shaft_power",
    "fans.call": "call_fan",
    "fans.reference": "fan_reference",
    "fans.shaft": "fan_power",
    "sprays.call": "call_pump",
    "sprays.level": "basin_ok",
    "sprays.shaft": "pump_power",
}
"""Ports that the plant fills, likewise: the field of `Outputs`."""
SHUT_AT_REST = ("hp_closed", "lp_closed", "basin_ok")
"""Contacts that are closed before the first step."""


class Plant(NamedTuple):
    """One rack, parameters and states."""

    fluid: Fluid
    condenser: Rows
    condenser_state: Rows
    receiver: Rows
    receiver_state: Rows
    lines: Rows
    lines_state: Rows
    compressors: Rows
    compressor_states: Rows
    circuits: Rows
    circuit_states: Rows
    circuit_steps: Rows
    controller: Rows
    controller_state: Rows
    stages: Rows
    cases: Rows
    case_states: Rows
    high: Rows
    high_states: Rows
    low: Rows
    low_states: Rows
    alarms: Rows
    alarm_states: Rows
    events: Rows
    log: Rows
    clock: Rows
    signals: Array
    """What alarms watch, [kind, which]; filled anew in each step."""


def count(plant: Plant, port: str) -> int:
    """Places of a port: one per row of its table."""
    name = port.partition(".")[0]
    return len(plant.condenser if name in ("fans", "sprays") else getattr(plant, name))


def place_of(plant: Plant, ports: dict[str, str], port: str, row: int) -> int:
    """Place of one row of a port in its flat array."""
    before = 0
    for name in ports:
        if name == port:
            return before + row
        before += count(plant, name)
    raise KeyError(port)


def views(plant: Plant, ports: dict[str, str], flat: Array) -> dict[str, Array]:
    """A view of a flat array for each of its ports."""
    first = {field: place_of(plant, ports, port, 0) for port, field in ports.items()}
    return {field: flat[first[field] : first[field] + count(plant, port)] for port, field in ports.items()}


def new_inputs(plant: Plant) -> Inputs:
    """Inputs of a store at rest: nothing turns, nothing is energised, curtains and doors are shut."""
    flat = np.zeros(sum(count(plant, port) for port in INPUTS))
    rest = table([Outside()]), np.ones(len(plant.controller)), np.zeros(len(plant.circuits))
    return Inputs(flat, **views(plant, INPUTS, flat), outside=rest[0], controller_on=rest[1], door=rest[2])


def new_outputs(plant: Plant) -> Outputs:
    """Outputs before the first step: cut-outs shut, nothing called."""
    flat = np.zeros(sum(count(plant, port) for port in OUTPUTS))
    made = views(plant, OUTPUTS, flat)
    for field in SHUT_AT_REST:
        made[field][:] = 1.0
    return Outputs(flat, **made)


def copy_inputs(plant: Plant, told: Inputs) -> Inputs:
    """An independent copy, its ports views of its own flat array."""
    flat = told.flat.copy()
    return Inputs(
        flat,
        **views(plant, INPUTS, flat),
        outside=told.outside.copy(),
        controller_on=told.controller_on.copy(),
        door=told.door.copy(),
    )


def copy_outputs(plant: Plant, given: Outputs) -> Outputs:
    """An independent copy, its ports views of its own flat array."""
    flat = given.flat.copy()
    return Outputs(flat, **views(plant, OUTPUTS, flat))

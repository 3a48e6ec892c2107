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

from scenarios.compiling.quantities import quantity, record
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
    fan_speed: float = quantity("-", "condenser fan over rated", default=0.0)
    pump_speed: float = quantity("-", "spray pump over rated", default=0.0)
    controller_on: bool = quantity("-", "controller has supply", default=True)


@record
class Orders:
    """Outputs that come one at a time."""

    call_fan: bool = quantity("-", "fan called", default=True)
    call_pump: bool = quantity("-", "spray pump called", default=True)
    basin_ok: bool = quantity("-", "basin level switch closed", default=True)
    fan_reference: float = quantity("-", "fan reference", default=0.5)
    fan_power: float = quantity("W", "fan shaft power at rated speed; cube law below", default=4700.0)
    pump_power: float = quantity("W", "pump shaft power at rated speed; cube law below", default=1750.0)


class Inputs(NamedTuple):
    """What weather and wiring do to the plant in a step."""

    outside: Rows
    """One row of `Outside`."""
    speed: Array
    """Compressor shaft speed over rated, [4]."""
    solenoid: Array
    """Liquid solenoid energised, [10] bool."""
    heater: Array
    """Crankcase heater energised, [4] bool."""
    door: Array
    """0 curtain down or door shut, 1 wide open, [10]."""


class Outputs(NamedTuple):
    """What the plant does to the wiring after a step."""

    orders: Rows
    """One row of `Orders`."""
    hp_closed: Array
    lp_closed: Array
    call_compressor: Array
    call_liquid: Array
    shaft_power: Array
    """Each at its present speed; standing, what it would need at rated speed [W]."""


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

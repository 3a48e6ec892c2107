"""What a store's refrigeration is made of: the tables that `rack.step` moves.

Every field of `Plant` is a table of records, one row per component, over all racks and suction groups. A rack and a group own
ranges of rows of the other tables, so a formula takes a slice and never knows how many there are. Parameter tables are what faults
edit and mending copies back; state tables end in `_state` or `_states`; `circuit_steps` is what the last step did (observers read
it, so a snapshot keeps it); `group_steps` and `signals` are scratch.

What breaks, and which parameter it changes (row n of the table):

    charge lost, overcharge         liquid.extra_charge < 0, > 0; comes and goes at liquid.charge_rate
    gas that does not condense      condenser.noncondensable
    drier restricted                liquid.drier (100 shows in pressure, flashing follows)
    coil scaled, nozzles plugged    condenser.scale, sprays.nozzles
    fan moves too little            fans.share (blades, belt); a stopped fan is an input
    float stuck, low water          sprays.float_share 0; basin switch: switch_level
    hot-gas valve stuck             receiver.valve_least 1 (open), valve_most 0 (shut), hot_gas_set
    flooding valve stuck            condenser.flood_least 1 (open), flood_set
    expansion valve                 circuits.valve_share (under, over), valve_least (stuck open), valve_most, valve_set
    solenoid stuck                  circuits.solenoid_stuck_shut, solenoid_stuck_open
    case fans, grille, door         circuits.fans, blocked, ajar
    iced, drain frozen              cases.skipped, cases.longest, circuits.drain_blocked
    defrost heater                  defrosts.share (elements burnt out)
    heat where none belongs         circuits.lights
    compressor valves               compressors.valve_leak (in the stroke), leak_back (also at rest), tightness
    transducers, sensors            staging.suction_offset, fan_loop.discharge_offset, wet_bulb_offset; cases.sensor_offset
    settings wrong                  high.opens, low.opens, differential, staging.*, fan_loop.*, cases.cut_in, cut_out
    cut-out contact                 high.stuck_open, stuck_shut; low likewise
"""

from typing import Any, NamedTuple

import numpy as np

from scenarios.compiling.quantities import quantity, record, row
from scenarios.refrigeration.refrigerants import Fluids

Rows = Any
"""A table of records, `np.recarray`, or a range of its rows."""
Array = np.ndarray[Any, Any]


@record
class Clock:
    """Time and energy books of all racks; the books close when every joule is booked once in and once out."""

    time: float = quantity("s", "since midnight before the start", default=0.0)
    grid: float = quantity("s", "since states were last put on their grid", default=0.0)
    heat_in: float = quantity("J", "into the plant: store air, lights, fans, moisture, rooms, heaters", default=0.0)
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
    """Weather of a moment."""

    dry_bulb: float = quantity("C", "outdoor dry bulb", default=25.0)
    wet_bulb: float = quantity("C", "outdoor wet bulb", default=18.0)


@record
class PlaceAir:
    """Air of a place of the store."""

    temperature: float = quantity("C", "of the air", default=24.0, least=-60.0, most=60.0)
    humidity: float = quantity("kg/kg", "water in it", default=0.0082, least=0.0, most=0.05)


@record
class Rack:
    """One refrigerant, one charge, one receiver and condenser: which rows of the other tables are its own."""

    fluid: int = row("its refrigerant", default=0)
    room: int = row("place of its machines", default=0)
    store: int = row("place that its liquid line runs through", default=0)
    groups: int = row("first of its suction groups", default=0)
    groups_end: int = row("and the one behind its last", default=0)
    compressors: int = row("first of its compressors", default=0)
    compressors_end: int = row("and the one behind its last", default=0)
    circuits: int = row("first of its circuits", default=0)
    circuits_end: int = row("and the one behind its last", default=0)
    fans: int = row("first of its condenser's fans", default=0)
    fans_end: int = row("and the one behind its last", default=0)
    sprays: int = row("the spray of its condenser", default=0)
    sprays_end: int = row("and the one behind it; an air-cooled condenser has none", default=0)
    alarms: int = row("first of its alarms", default=0)
    alarms_end: int = row("and the one behind its last", default=0)


@record
class Group:
    """Machines on one suction header, and the circuits that feed it."""

    compressors: int = row("first of its compressors", default=0)
    compressors_end: int = row("and the one behind its last", default=0)
    circuits: int = row("first of its circuits", default=0)
    circuits_end: int = row("and the one behind its last", default=0)


@record
class GroupStep:
    """What one suction group gave and took in a step."""

    vapour: float = quantity("kg/s", "from its coils into the suction lines, carried-over liquid included", default=0.0)
    heat: float = quantity("W", "enthalpy flow of that", default=0.0)
    drawn: float = quantity("kg/s", "from the liquid line", default=0.0)
    higher: float = quantity("K", "how far suction dew moves in the step", default=0.0)
    flow: float = quantity("kg/s", "through its machines", default=0.0)
    enthalpy: float = quantity("J/kg", "of what they discharge", default=440e3)
    back: float = quantity("kg/s", "blown back through leaking valves", default=0.0)


class Plant(NamedTuple):
    """All racks, parameters and states."""

    fluids: Fluids
    racks: Rows
    groups: Rows
    places: Rows
    condenser: Rows
    condenser_state: Rows
    fans: Rows
    fan_states: Rows
    sprays: Rows
    spray_states: Rows
    receiver: Rows
    receiver_state: Rows
    liquid: Rows
    liquid_state: Rows
    discharge: Rows
    discharge_state: Rows
    suction: Rows
    suction_state: Rows
    group_steps: Rows
    compressors: Rows
    compressor_states: Rows
    circuits: Rows
    circuit_states: Rows
    circuit_steps: Rows
    defrosts: Rows
    controller: Rows
    controller_state: Rows
    fan_loop: Rows
    fan_loop_state: Rows
    staging: Rows
    staging_state: Rows
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

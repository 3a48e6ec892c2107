"""What a gauge or a thermometer would find in the plant, before any instrument adds its error.

`ROLES` names every test point there can be by what it is in its rack, group or circuit; a store gives it a name and a place. Nothing
here knows of faults: everything is read from states.
"""

from collections.abc import Callable
from typing import NamedTuple

from scenarios.refrigeration.fluid import liquid_temperature, saturation
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs
from scenarios.refrigeration.refrigerants import Fluid, pick


def fluid_of(plant: Plant, rack: int) -> Fluid:
    """Refrigerant of a rack, its row given."""
    return pick(plant.fluids, int(plant.racks[rack].fluid))


def rack_of(plant: Plant, circuit: int) -> int:
    """Row of the rack that a circuit, its row given, belongs to."""
    return next(r for r, rack in enumerate(plant.racks) if rack.circuits <= circuit < rack.circuits_end)


def group_of(plant: Plant, circuit: int) -> int:
    """Row of the suction group that a circuit, its row given, feeds."""
    return next(g for g, group in enumerate(plant.groups) if group.circuits <= circuit < group.circuits_end)


def room(plant: Plant, rack: int) -> float:
    """Air round the machines of a rack, its row given [C]."""
    return float(plant.places[int(plant.racks[rack].room)].temperature)


def drain_temperature(plant: Plant, rack: int) -> float:
    """Liquid that leaves the condenser of a rack, its row given; with nothing there, the gas [C]."""
    state = plant.condenser_state[rack]
    if state.liquid < 0.05:
        return float(state.temperature)
    return float(liquid_temperature(fluid_of(plant, rack), state.liquid_energy / state.liquid))


def liquid_line_temperature(plant: Plant, rack: int) -> float:
    """Liquid line after the drier; boiling liquid has the temperature its pressure gives it [C]."""
    line, fluid = plant.liquid_state[rack], fluid_of(plant, rack)
    at = saturation(fluid, line.header)
    if line.flash > 0.0:
        return float(at.t_bub + min(line.flash, 1.0) * (at.t_dew - at.t_bub))
    return float(liquid_temperature(fluid, line.liquid_energy / max(line.liquid, 1e-6)))


def apart(plant: Plant, circuit: int) -> float:
    """Half of what lies between air off a coil and air back to it [K]."""
    now = plant.circuit_steps[circuit]
    return float(0.5 * (now.boil + now.dry) / max(now.draught, 1.0))


def pressure_at_case(plant: Plant, circuit: int) -> float:
    """Suction pressure at a case, its circuit's row given: that of the header and what its line loses [Pa]."""
    state, rack = plant.circuit_states[circuit], rack_of(plant, circuit)
    drop = plant.circuits[circuit].suction_drop * min(state.vapour * state.vapour / 0.0025, 3.0)
    steep = fluid_of(plant, rack).about.steepness
    return float(plant.suction_state[group_of(plant, circuit)].pressure * (1.0 + steep * drop))


def air_in(plant: Plant, inputs: Inputs, rack: int) -> float:
    """Air into the condenser [C]."""
    return float(inputs.outside[0].dry_bulb)


def wick_in(plant: Plant, inputs: Inputs, rack: int) -> float:
    """The same by a thermometer with a wet wick [C]."""
    return float(min(inputs.outside[0].wet_bulb, inputs.outside[0].dry_bulb))


def basin(plant: Plant, inputs: Inputs, rack: int) -> float:
    """Basin water; an air-cooled condenser has none, and the place is as warm as the air [C]."""
    rows = plant.racks[rack]
    for s in range(rows.sprays, rows.sprays_end):
        return float(plant.spray_states[s].water)
    return air_in(plant, inputs, rack)


def hot_gas_pressure(plant: Plant, inputs: Inputs, rack: int) -> float:
    """Hot gas at the condenser, part of the way along its pipe [Pa]."""
    return float(0.7 * plant.condenser_state[rack].pressure + 0.3 * plant.discharge_state[rack].discharge)


def drain_at_receiver(plant: Plant, inputs: Inputs, rack: int) -> float:
    """Drain line where it comes in, a little warmed or cooled by the room [C]."""
    return drain_temperature(plant, rack) * 0.96 + 0.04 * room(plant, rack)


Value = Callable[[Plant, Inputs, int], float]


class Role(NamedTuple):
    """What a test point is to its rack, group or circuit."""

    scope: str
    """rack, group or circuit: what its row counts."""
    quantity: str
    """pressure, temperature or display."""
    says: str
    value: Value
    wick: Value | None = None
    """What a thermometer with a wet wick finds; none: the same."""


def state(table: str, field: str) -> Value:
    """A field of a state as it is."""
    return lambda plant, inputs, row: float(getattr(plant, table)[row][field])


ROLES: dict[str, Role] = {
    "hot_gas_pressure": Role("rack", "pressure", "hot gas at the condenser", hot_gas_pressure),
    "drain_pressure": Role("rack", "pressure", "condenser drain", state("condenser_state", "pressure")),
    "hot_gas_temperature": Role("rack", "temperature", "hot gas line at the condenser", state("discharge_state", "gas_out")),
    "drain_temperature": Role("rack", "temperature", "drain line at the condenser", lambda p, i, r: drain_temperature(p, r)),
    "basin_temperature": Role("rack", "temperature", "basin water", basin),
    "air_in": Role("rack", "temperature", "air into the condenser", air_in, wick_in),
    "air_out": Role("rack", "temperature", "air out of the condenser", state("condenser_state", "air_out")),
    "discharge_pressure": Role("rack", "pressure", "discharge header", state("discharge_state", "discharge")),
    "liquid_pressure": Role("rack", "pressure", "liquid line after the drier", state("liquid_state", "header")),
    "receiver_pressure": Role("rack", "pressure", "drain line at the receiver", state("receiver_state", "pressure")),
    "discharge_temperature": Role("rack", "temperature", "discharge header line", state("discharge_state", "gas_steel")),
    "liquid_temperature": Role("rack", "temperature", "liquid line after the drier", lambda p, i, r: liquid_line_temperature(p, r)),
    "receiver_drain_temperature": Role("rack", "temperature", "drain line at the receiver", drain_at_receiver),
    "suction_pressure": Role("group", "pressure", "suction header", state("suction_state", "pressure")),
    "suction_temperature": Role("group", "temperature", "suction header line", state("suction_state", "temperature")),
    "air_off": Role("circuit", "temperature", "air off the coil", lambda p, i, n: float(p.circuit_states[n].air - apart(p, n))),
    "air_return": Role("circuit", "temperature", "return air", lambda p, i, n: float(p.circuit_states[n].air + apart(p, n))),
    "core": Role("circuit", "temperature", "product, between packs", state("circuit_states", "core")),
    "surface": Role("circuit", "temperature", "product surface", state("circuit_states", "surface")),
    "outlet": Role("circuit", "temperature", "suction line at the case outlet", state("circuit_states", "outlet")),
    "pressure": Role("circuit", "pressure", "suction at the case", lambda p, i, n: pressure_at_case(p, n)),
    "display": Role("circuit", "display", "case display", state("case_states", "display")),
}
"""Every test point there can be: true values in SI, absolute pressure [Pa], temperature [C]."""


def value(plant: Plant, inputs: Inputs, role: str, row: int, wick: bool = False) -> float:
    """True value at a test point, in SI: absolute pressure [Pa], temperature [C].

    Parameters
    ----------
    plant, inputs : Plant, Inputs
        The racks and their surroundings; nothing is changed.
    role : str
        A name of `ROLES`.
    row : int
        Of its rack, group or circuit. [-]
    wick : bool
        The thermometer wears a wet wick.
    """
    found = ROLES[role]
    return (found.wick if wick and found.wick else found.value)(plant, inputs, row)

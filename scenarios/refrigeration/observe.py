"""What a gauge or a thermometer would find in the plant, before any instrument adds its error.

`points.ROLES` lists every test point there can be by what it is in its rack, group or circuit; here are their values. Nothing knows
of faults: everything is read from states.
"""

from collections.abc import Callable

from scenarios.refrigeration.fluid import liquid_temperature, saturation
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs
from scenarios.refrigeration.refrigerants import Fluid, pick
from scenarios.store.model import Point


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


def drier_drop(plant: Plant, rack: int) -> float:
    """What the liquid of a rack, its row given, loses in temperature over the drier, once it boils in it [K]."""
    line, fluid = plant.liquid_state[rack], fluid_of(plant, rack)
    before = saturation(fluid, line.before)
    enthalpy = line.liquid_energy / max(line.liquid, 1e-6)
    into = min(before.t_bub, liquid_temperature(fluid, enthalpy))
    return float(into - liquid_line_temperature(plant, rack))


def pressure_at_case(plant: Plant, circuit: int) -> float:
    """Suction pressure at a case, its circuit's row given: that of the header and what its line loses [Pa]."""
    state, rack = plant.circuit_states[circuit], rack_of(plant, circuit)
    drop = plant.circuits[circuit].suction_drop * min(state.vapour * state.vapour / 0.0025, 3.0)
    steep = fluid_of(plant, rack).about[0].steepness
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


def receiver_inlet(plant: Plant, rack: int) -> float:
    """Drain line at the receiver of a rack, its row given, a little warmed or cooled by the room [C]."""
    return drain_temperature(plant, rack) * 0.96 + 0.04 * room(plant, rack)


Value = Callable[[Plant, Inputs, int], float]


def state(table: str, field: str) -> Value:
    """A field of a state as it is."""
    return lambda plant, inputs, row: float(getattr(plant, table)[row][field])


VALUES: dict[str, Value] = {
    "hot_gas_pressure": hot_gas_pressure,
    "drain_pressure": state("condenser_state", "pressure"),
    "hot_gas_temperature": state("discharge_state", "gas_out"),
    "drain_temperature": lambda plant, inputs, rack: drain_temperature(plant, rack),
    "basin_temperature": basin,
    "air_in": air_in,
    "air_out": state("condenser_state", "air_out"),
    "discharge_pressure": state("discharge_state", "discharge"),
    "liquid_pressure": state("liquid_state", "header"),
    "receiver_pressure": state("receiver_state", "pressure"),
    "discharge_temperature": state("discharge_state", "gas_steel"),
    "liquid_temperature": lambda plant, inputs, rack: liquid_line_temperature(plant, rack),
    "receiver_drain_temperature": lambda plant, inputs, rack: receiver_inlet(plant, rack),
    "suction_pressure": state("suction_state", "pressure"),
    "suction_temperature": state("suction_state", "temperature"),
    "air_off": lambda plant, inputs, n: float(plant.circuit_states[n].air - apart(plant, n)),
    "air_return": lambda plant, inputs, n: float(plant.circuit_states[n].air + apart(plant, n)),
    "core": state("circuit_states", "core"),
    "surface": state("circuit_states", "surface"),
    "outlet": state("circuit_states", "outlet"),
    "pressure": lambda plant, inputs, n: pressure_at_case(plant, n),
    "display": state("case_states", "display"),
}
"""True values of the roles of `points.ROLES`, in SI: absolute pressure [Pa], temperature [C]; rows of rack, group or circuit."""
WICKS: dict[str, Value] = {"air_in": wick_in}
"""What a thermometer with a wet wick finds, where that is another value."""


def observe(plant: Plant, inputs: Inputs, point: Point, wick: bool = False) -> float:
    """True value at a test point, in SI: absolute pressure [Pa], temperature [C].

    Parameters
    ----------
    plant, inputs : Plant, Inputs
        The racks and their surroundings; nothing is changed.
    point : Point
        One of the store's.
    wick : bool
        The thermometer wears a wet wick; matters in the air outside only.
    """
    values = {**VALUES, **WICKS} if wick else VALUES
    return values[point.role](plant, inputs, point.row)

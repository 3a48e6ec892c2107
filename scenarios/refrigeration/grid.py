"""Charge of a rack, and the grid its states are put on once a minute."""

from scenarios.compiling.exact import on_grid
from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.condenser import CondenserState
from scenarios.refrigeration.liquid import LiquidState
from scenarios.refrigeration.plant import Plant, Rows
from scenarios.refrigeration.receiver import ReceiverState


@compiled
def inventory(plant: Plant, r: int) -> float:
    """All refrigerant of a rack, its row `r` [-] given [kg]."""
    rack, line, state, held = plant.racks[r], plant.liquid_state[r], plant.condenser_state[r], plant.receiver_state[r]
    total = line.liquid
    for g in range(rack.groups, rack.groups_end):
        total += plant.suction_state[g].suction
    total += state.gas
    total += state.liquid
    total += held.gas
    total += held.liquid
    for n in range(rack.circuits, rack.circuits_end):
        total += plant.circuit_states[n].liquid
    for n in range(rack.compressors, rack.compressors_end):
        total += plant.compressor_states[n].dissolved
    return float(total)


@compiled
def round_circuits(circuits: Rows) -> None:
    """Circuits onto the grid."""
    for n in range(len(circuits)):
        each = circuits[n]
        each.liquid, each.energy, each.bulb = on_grid(each.liquid), on_grid(each.energy), on_grid(each.bulb)
        each.air, each.surface, each.core = on_grid(each.air), on_grid(each.surface), on_grid(each.core)
        each.frost, each.outlet = on_grid(each.frost), on_grid(each.outlet)
        each.flow, each.vapour = on_grid(each.flow), on_grid(each.vapour)


@compiled
def round_groups(groups: Rows) -> None:
    """Suction lines onto the grid."""
    for n in range(len(groups)):
        each = groups[n]
        each.suction, each.suction_energy, each.pressure = (
            on_grid(each.suction),
            on_grid(each.suction_energy),
            on_grid(each.pressure),
        )
        each.temperature, each.quality = on_grid(each.temperature), on_grid(each.quality)
        each.enthalpy, each.pumped, each.drawn = on_grid(each.enthalpy), on_grid(each.pumped), on_grid(each.drawn)


@compiled
def round_condenser(state: CondenserState) -> None:
    """A condenser onto the grid."""
    state.gas, state.gas_energy, state.liquid = on_grid(state.gas), on_grid(state.gas_energy), on_grid(state.liquid)
    state.liquid_energy, state.coil = on_grid(state.liquid_energy), on_grid(state.coil)
    state.pressure, state.partial = on_grid(state.pressure), on_grid(state.partial)
    state.temperature, state.quality, state.flooded = on_grid(state.temperature), on_grid(state.quality), on_grid(state.flooded)
    state.drained, state.blown = on_grid(state.drained), on_grid(state.blown)


@compiled
def round_liquid(line: LiquidState, held: ReceiverState) -> None:
    """Liquid line and receiver onto the grid, but for the receiver's liquid."""
    line.liquid, line.liquid_energy, line.total = on_grid(line.liquid), on_grid(line.liquid_energy), on_grid(line.total)
    line.charged, line.demand, line.head = on_grid(line.charged), on_grid(line.demand), on_grid(line.head)
    held.gas, held.gas_energy, held.liquid_energy = on_grid(held.gas), on_grid(held.gas_energy), on_grid(held.liquid_energy)
    held.shell, held.pressure, held.temperature = on_grid(held.shell), on_grid(held.pressure), on_grid(held.temperature)


@compiled
def round_states(plant: Plant) -> None:
    """Everything that is carried on, onto the grid; the receiver's liquid closes the total charge of its rack."""
    round_circuits(plant.circuit_states)
    round_groups(plant.suction_state)
    for n in range(len(plant.compressor_states)):
        machine = plant.compressor_states[n]
        machine.oil, machine.dissolved = on_grid(machine.oil), on_grid(machine.dissolved)
        machine.dissolved_energy = on_grid(machine.dissolved_energy)
    for n in range(len(plant.spray_states)):
        water = plant.spray_states[n]
        water.water, water.film, water.level = on_grid(water.water), on_grid(water.film), on_grid(water.level)
    for r in range(len(plant.racks)):
        discharge, loop = plant.discharge_state[r], plant.fan_loop_state[r]
        discharge.discharge, discharge.gas_steel = on_grid(discharge.discharge), on_grid(discharge.gas_steel)
        discharge.gas_enthalpy = on_grid(discharge.gas_enthalpy)
        loop.integral, loop.reference = on_grid(loop.integral), on_grid(loop.reference)
        round_condenser(plant.condenser_state[r])
        round_liquid(plant.liquid_state[r], plant.receiver_state[r])
        plant.receiver_state[r].liquid += plant.liquid_state[r].total - inventory(plant, r)

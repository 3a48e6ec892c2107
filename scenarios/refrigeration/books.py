"""What a plant holds, to be compared with what its books say came in and went out.

Energies count from the reference of the fluid table for refrigerant and from 0 C for everything else; ice counts below water.
"""

from scenarios.refrigeration.circuit import MELTING
from scenarios.refrigeration.condenser import WATER_HEAT
from scenarios.refrigeration.grid import inventory
from scenarios.refrigeration.plant import Plant


def charge(plant: Plant) -> float:
    """All refrigerant [kg]."""
    pipe, top, held = plant.lines_state[0], plant.condenser_state[0], plant.receiver_state[0]
    return float(inventory(pipe, top, held, plant.circuit_states, plant.compressor_states))


def in_refrigerant(plant: Plant) -> float:
    """Energy of all refrigerant [J]."""
    pipe, top, held = plant.lines_state[0], plant.condenser_state[0], plant.receiver_state[0]
    rack = pipe.liquid_energy + pipe.suction_energy + top.gas_energy + top.liquid_energy + held.gas_energy + held.liquid_energy
    return float(rack + plant.circuit_states.energy.sum() + plant.compressor_states.dissolved_energy.sum())


def in_cases(plant: Plant) -> float:
    """Energy of air, steel, product and ice of all circuits [J]."""
    circuits, states = plant.circuits, plant.circuit_states
    warm = circuits.air_capacity * states.air + circuits.product_capacity * (0.15 * states.surface + 0.85 * states.core)
    return float((warm - MELTING * states.frost).sum())


def in_steel_and_water(plant: Plant) -> float:
    """Energy of the condenser's coil and basin, the receiver's shell, the discharge pipe and the crankcases [J]."""
    unit, top = plant.condenser[0], plant.condenser_state[0]
    roof = unit.metal * top.coil + unit.basin * WATER_HEAT * top.water
    room = plant.receiver[0].shell * plant.receiver_state[0].shell + plant.lines[0].gas_steel * plant.lines_state[0].gas_steel
    oil = float((plant.compressors.crankcase_iron * plant.compressor_states.oil).sum())
    return float(roof + room) + oil


def stored(plant: Plant) -> float:
    """Energy of everything in the plant [J]."""
    return in_refrigerant(plant) + in_cases(plant) + in_steel_and_water(plant)


def unexplained(plant: Plant, before: Plant) -> float:
    """Energy that appeared since an earlier copy without being booked [J]."""

    def booked(name: str) -> float:
        return float(plant.clock[0][name] - before.clock[0][name])

    came = booked("heat_in") + booked("work_in") + booked("charge_heat") - booked("heat_out")
    return stored(plant) - stored(before) - came

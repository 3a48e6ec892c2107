"""What a plant holds, to be compared with what its books say came in and went out.

Energies count from the reference of the fluid table for refrigerant and from 0 C for everything else; ice counts below water.
"""

from scenarios.refrigeration.circuit import MELTING
from scenarios.refrigeration.grid import inventory
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.spray import WATER_HEAT


def charge(plant: Plant, rack: int = 0) -> float:
    """All refrigerant of a rack [kg]."""
    return float(inventory(plant, rack))


def in_refrigerant(plant: Plant) -> float:
    """Energy of all refrigerant [J]."""
    line, state, held = plant.liquid_state, plant.condenser_state, plant.receiver_state
    racks = line.liquid_energy + state.gas_energy + state.liquid_energy + held.gas_energy + held.liquid_energy
    groups = plant.suction_state.suction_energy
    return float(racks.sum() + groups.sum() + plant.circuit_states.energy.sum() + plant.compressor_states.dissolved_energy.sum())


def in_cases(plant: Plant) -> float:
    """Energy of air, steel, product and ice of all circuits [J]."""
    circuits, states = plant.circuits, plant.circuit_states
    warm = circuits.air_capacity * states.air + circuits.product_capacity * (0.15 * states.surface + 0.85 * states.core)
    return float((warm - MELTING * states.frost).sum())


def in_steel_and_water(plant: Plant) -> float:
    """Energy of condenser coils and basins, receiver shells, discharge pipes and crankcases [J]."""
    coils = plant.condenser.metal * plant.condenser_state.coil
    basins = plant.sprays.basin * WATER_HEAT * plant.spray_states.water
    rooms = plant.receiver.shell * plant.receiver_state.shell + plant.discharge.steel * plant.discharge_state.gas_steel
    oil = plant.compressors.crankcase_iron * plant.compressor_states.oil
    return float(coils.sum() + basins.sum() + rooms.sum() + oil.sum())


def stored(plant: Plant) -> float:
    """Energy of everything in the plant [J]."""
    return in_refrigerant(plant) + in_cases(plant) + in_steel_and_water(plant)


def unexplained(plant: Plant, before: Plant) -> float:
    """Energy that appeared since an earlier copy without being booked [J]."""

    def booked(name: str) -> float:
        return float(plant.clock[0][name] - before.clock[0][name])

    came = booked("heat_in") + booked("work_in") + booked("charge_heat") - booked("heat_out")
    return stored(plant) - stored(before) - came

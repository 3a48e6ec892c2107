"""Put the charge into a rack: saturated gas spaces, liquid a little below its boiling point, the rest into the receiver."""

from scenarios.refrigeration.fluid import Saturation, bubble_pressure, dew_pressure, from_temperature, rise, saturation
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.refrigerants import Fluid, pick

WARM = 26.0
"""Temperature of condenser and receiver at the start [C]."""
OVER = 0.5
"""How far suction lies over what its controller wants at the start [K]."""
WARMER = 11.0
"""Superheat of what stands in the suction lines at the start [K]."""


def fill_group(plant: Plant, g: int, fluid: Fluid, dew: float) -> tuple[float, float]:
    """Vapour into the suction lines of a group and liquid into its coils, at a dew [C]; how much vapour and liquid [kg]."""
    line, state, group = plant.suction[g], plant.suction_state[g], plant.groups[g]
    cold = saturation(fluid, dew_pressure(fluid, dew))
    state.suction = line.space / (cold.v_gas * 1.05)
    state.pressure, state.temperature, state.enthalpy = cold.pressure, dew + WARMER, cold.h_gas + rise(cold, WARMER)
    state.suction_energy = state.suction * (state.enthalpy - cold.pressure * line.space / state.suction)
    coils = 0.0
    for n in range(group.circuits, group.circuits_end):
        each = plant.circuit_states[n]
        each.liquid = 0.6 * plant.circuits[n].coil_full
        each.energy = each.liquid * cold.h_liq
        each.frost = 0.2
        coils += float(each.liquid)
    return float(state.suction), coils


def fill_condenser(plant: Plant, r: int, at: Saturation, liquid: float) -> None:
    """Gas, and a little liquid of an enthalpy [J/kg], into a condenser."""
    rack, condenser, state = plant.racks[r], plant.condenser[r], plant.condenser_state[r]
    state.liquid = (condenser.holdup + 0.02) * condenser.space / at.v_liq
    state.liquid_energy = state.liquid * liquid
    state.gas = condenser.space * 0.9 / at.v_gas
    state.gas_energy = state.gas * (at.h_gas - at.pressure * at.v_gas)
    state.pressure = state.partial = at.pressure
    for s in range(rack.sprays, rack.sprays_end):
        spray = plant.sprays[s]
        plant.spray_states[s].film, plant.spray_states[s].level = spray.film * spray.nozzles, spray.float_level


def fill(plant: Plant, r: int, charge: float) -> None:
    """Fill one rack.

    Parameters
    ----------
    plant : Plant
        Its states are changed.
    r : int
        Row of the rack. [-]
    charge : float
        Refrigerant. [kg]
    """
    rack = plant.racks[r]
    fluid = pick(plant.fluids, int(rack.fluid))
    tank = saturation(fluid, bubble_pressure(fluid, WARM))
    liquid = from_temperature(fluid.by_temperature, WARM - 2.0, 2)
    line, held, discharge = plant.liquid_state[r], plant.receiver_state[r], plant.discharge_state[r]
    line.liquid = 0.97 * plant.liquid[r].space / tank.v_liq
    line.liquid_energy = line.liquid * liquid
    line.header = line.before = discharge.discharge = held.pressure = tank.pressure
    discharge.gas_enthalpy = tank.h_gas + rise(tank, WARMER)
    fill_condenser(plant, r, tank, liquid)
    rows = range(int(rack.groups), int(rack.groups_end))
    groups = [fill_group(plant, g, fluid, plant.staging[g].suction_target + OVER) for g in rows]
    vapour, coils = sum(vapour for vapour, _ in groups), sum(coils for _, coils in groups)
    used = float(line.liquid + vapour + plant.condenser_state[r].liquid + plant.condenser_state[r].gas + coils)
    space = plant.receiver[r].space
    held.liquid = max((charge - used - space / tank.v_gas) / (1.0 - tank.v_liq / tank.v_gas), 0.5)
    held.liquid_energy = held.liquid * liquid
    held.gas = charge - used - held.liquid
    held.gas_energy = held.gas * (tank.h_gas - tank.pressure * tank.v_gas)
    line.total = charge

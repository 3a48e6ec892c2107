"""A store whose wiring never fails: what is called and allowed runs. For tests, tuning and healthy twins.

Motors reach their speed within a step, the fan follows its reference, solenoids follow their calls. The real store puts the
electrical network here instead.
"""

from typing import Any, NamedTuple

import numpy as np

from scenarios.kernel import compiled
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs, Outputs
from scenarios.refrigeration.rack import step

Array = np.ndarray[Any, Any]


class Broken(NamedTuple):
    """What does not obey, in a test."""

    pump: float
    """1 obeys, 0 stands still."""
    fan: float
    """Below 0 obeys, else runs at this speed whatever is asked."""
    power: float
    """1 has supply, 0 the whole store is dark."""


HEALTHY = Broken(1.0, -1.0, 1.0)


@compiled
def obey(inputs: Inputs, outputs: Outputs, broken: Broken) -> None:
    """Carry the plant's orders back to it, as good wiring does."""
    on = broken.power > 0.5
    for n in range(len(inputs.speed)):
        runs = outputs.call_compressor[n] * outputs.hp_closed[n] * outputs.lp_closed[n] != 0.0 and on
        inputs.speed[n] = 1.0 if runs else 0.0
    for n in range(len(inputs.heater)):
        inputs.heater[n] = 1.0 if on and inputs.speed[n] < 0.1 else 0.0
    for n in range(len(inputs.solenoid)):
        inputs.solenoid[n] = outputs.call_liquid[n] if on else 0.0
    for n in range(len(inputs.fan_speed)):
        speed = outputs.call_fan[n] * outputs.fan_reference[n] if broken.fan < 0.0 else broken.fan
        inputs.fan_speed[n] = speed if on else 0.0
    for n in range(len(inputs.pump_speed)):
        inputs.pump_speed[n] = broken.pump * outputs.call_pump[n] * outputs.basin_ok[n] if on else 0.0
    for n in range(len(inputs.defrost_on)):
        inputs.defrost_on[n] = outputs.call_defrost[n] if on else 0.0
    for n in range(len(inputs.controller_on)):
        inputs.controller_on[n] = 1.0 if on else 0.0


@compiled
def run(plant: Plant, inputs: Inputs, outputs: Outputs, broken: Broken, seconds: float, dt: float) -> None:
    """Let time pass in steady weather.

    Parameters
    ----------
    plant, inputs, outputs, broken : Plant, Inputs, Outputs, Broken
        What it works on; states are changed in place.
    seconds, dt : float
        How long, and the step. [s]
    """
    for _ in range(int(seconds / dt + 0.5)):
        obey(inputs, outputs, broken)
        step(plant, inputs, outputs, dt)


@compiled
def record(plant: Plant, inputs: Inputs, outputs: Outputs, broken: Broken, dt: float, every: int, rows: Array) -> None:
    """Run and keep a row of observations every so many steps: see `columns`."""
    for row in range(len(rows)):
        for _ in range(every):
            obey(inputs, outputs, broken)
            step(plant, inputs, outputs, dt)
        plain_row(plant, inputs, rows[row])


@compiled
def plain_row(plant: Plant, inputs: Inputs, kept: Array) -> None:
    """One row of observations of the first rack and its first suction group."""
    state, water, tank = plant.condenser_state[0], plant.spray_states[0], plant.receiver_state[0]
    suction, discharge = plant.suction_state[0], plant.discharge_state[0]
    kept[0], kept[1], kept[2], kept[3] = plant.clock[0].time, suction.pressure, discharge.discharge, state.pressure
    kept[4], kept[5], kept[6], kept[7] = suction.temperature, discharge.gas_steel, plant.fan_loop_state[0].reference, state.flooded
    kept[8], kept[9], kept[10] = tank.liquid, plant.liquid_state[0].flash, tank.pressure
    kept[11] = state.liquid_energy / max(state.liquid, 1e-6)
    kept[12] = tank.liquid_energy / max(tank.liquid, 1e-6)
    running = 0.0
    for n in range(plant.groups[0].compressors, plant.groups[0].compressors_end):
        running += inputs.speed[n] * plant.stages[n].capacity
    kept[13], kept[14], kept[15], kept[16] = running, state.coil, water.water, water.film
    first, circuits = len(RACK_COLUMNS), len(plant.circuits)
    for n in range(circuits):
        kept[first + n] = plant.circuit_states[n].air
        kept[first + circuits + n] = plant.circuit_states[n].outlet
        kept[first + 2 * circuits + n] = plant.circuit_states[n].frost


RACK_COLUMNS = (
    "time",
    "suction",
    "discharge",
    "condenser",
    "suction_gas",
    "discharge_gas",
    "fan",
    "flooded",
    "receiver_liquid",
    "flash",
    "receiver",
    "drain_enthalpy",
    "bulk_enthalpy",
    "running",
    "coil",
    "water",
    "film",
)


def columns(plant: Plant) -> tuple[str, ...]:
    """Names of what a row of `record` holds."""
    cases = range(1, len(plant.circuits) + 1)
    return (*RACK_COLUMNS, *(f"{name}{n}" for name in ("air", "outlet", "frost") for n in cases))

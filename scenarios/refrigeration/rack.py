"""One rack, one step: `step(plant, inputs, outputs, dt)`.

Every holdup carries mass and energy; every flow is computed once and used twice with one enthalpy, so mass and energy close by
construction, whatever the closures approximate. Vapour spaces keep internal energy in a fixed room and get their pressure back
from it; liquids keep enthalpy (the work of moving a liquid level is neglected, alike on both sides).

Holdups: liquid line · liquid in each coil · suction lines · gas space and bottom of the condenser · vapour and liquid of the
receiver · oil of each compressor. Order of a step: liquid header -> coils, first half -> suction pressure -> coils, second half ->
compressors -> condenser and drain -> crankcases -> suction lines -> liquid line and receiver -> cut-outs, controller, alarms ->
grid. Nothing iterates but the closed
volumes.

Fields used by others (all SI):
  plant.lines_state[0]      pressure, temperature (suction header) · discharge (header) · header (liquid) · flash (glass) · total
  plant.condenser_state[0]  pressure · coil · water · film · level (basin) · flooded · air_out · fan · spray
  plant.receiver_state[0]   pressure · liquid
  plant.circuit_states[n]   air · surface · core · frost · outlet · bulb
  plant.controller_state[0] suction, discharge (what the transducers say) · target · reference
  plant.case_states[n]      display · calling · defrosting
  plant.high_states[n]      closed · latched          plant.log[0].written, plant.events (newest at (written - 1) % len)
  plant.clock[0].time       seconds since midnight before the start; set it before the first step to begin at another hour
Faults edit the parameter tables; see `plant.Plant`. The grid of 2**-20 is applied within, once a minute of plant time.
"""

from scenarios.controls.alarms import speak
from scenarios.controls.decide import contacts, decide, order, signal
from scenarios.kernel import compiled
from scenarios.refrigeration.compressor import squeezed
from scenarios.refrigeration.condenser import Outdoors
from scenarios.refrigeration.crankcase import crankcases
from scenarios.refrigeration.drain import condenser_pressure, condenser_step
from scenarios.refrigeration.evaporators import cool
from scenarios.refrigeration.fluid import saturation
from scenarios.refrigeration.grid import round_states
from scenarios.refrigeration.lines import liquid_header
from scenarios.refrigeration.machine_room import liquid_line, suction_lines
from scenarios.refrigeration.machines import capacity, pump
from scenarios.refrigeration.plant import Inputs, Outputs, Plant
from scenarios.refrigeration.receiver import hot_gas, vapour_space

GRID = 60.0
"""How often states are rounded to their grid [s]."""


@compiled
def control(plant: Plant, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """What cut-outs, controller and alarms make of the step, `dt` [s] long."""
    pipe, clock, weather = plant.lines_state[0], plant.clock[0], inputs.outside[0]
    contacts(plant.high, plant.high_states, plant.low, plant.low_states, pipe, outputs.hp_closed, outputs.lp_closed)
    settings, sees = plant.controller[0], plant.controller_state[0]
    on = inputs.controller_on[0] != 0.0
    decide(
        settings,
        sees,
        plant.stages,
        plant.cases,
        plant.case_states,
        plant.circuit_states,
        pipe,
        plant.fluid,
        weather,
        on,
        clock.time,
        inputs.speed,
        outputs.call_compressor,
        outputs.call_liquid,
        dt,
    )
    unit, top = plant.condenser[0], plant.condenser_state[0]
    order(plant.compressor_states, unit, top, sees, weather, outputs)
    if on:
        signal(plant.signals, sees, plant.stages, plant.case_states, plant.high_states, plant.low_states, pipe, inputs.door)
        speak(plant.alarms, plant.alarm_states, plant.signals, plant.events, plant.log, clock.time + settings.clock_offset, dt)


@compiled
def step(plant: Plant, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """Move the plant by one step.

    Parameters
    ----------
    plant : Plant
        Tables of parameters and states; states are changed in place.
    inputs : Inputs
        Weather, speeds, energised solenoids, doors, controller supply.
    outputs : Outputs
        Filled with cut-out contacts, calls, shaft powers.
    dt : float
        5 s in a store; between 1 and 10 s is stable. [s]
    """
    fluid, clock, circuits, states = plant.fluid, plant.clock[0], plant.circuits, plant.circuit_states
    lines, pipe = plant.lines[0], plant.lines_state[0]
    unit, top, tank, held = plant.condenser[0], plant.condenser_state[0], plant.receiver[0], plant.receiver_state[0]
    weather = inputs.outside[0]
    cold, still, hot = saturation(fluid, pipe.pressure), saturation(fluid, held.pressure), saturation(fluid, top.partial)
    header = liquid_header(lines, pipe, fluid, held.pressure, still.v_liq, len(circuits), dt)
    squeeze = squeezed(pipe.pressure, pipe.discharge)
    draws = capacity(plant.compressors, inputs.speed, lines, pipe, squeeze)
    gave = cool(
        fluid, circuits, states, plant.circuit_steps, inputs.solenoid, inputs.door, lines, pipe, clock, header, cold, draws, dt
    )
    pumped = pump(plant.compressors, plant.compressor_states, inputs.speed, lines, pipe, top, clock, hot, squeeze, gave.higher, dt)
    stiff = dt * held.pressure * still.v_gas / vapour_space(tank, held, still)
    holding = hot_gas(tank, held, 1.0 / hot.v_gas, pumped.flow, pipe.discharge, stiff)
    out = Outdoors(weather.dry_bulb, min(weather.wet_bulb, weather.dry_bulb), inputs.fan_speed[0], inputs.pump_speed[0])
    condenser_step(unit, top, tank, held, clock, fluid, out, pumped, holding, pipe.demand, hot, dt)
    condenser_pressure(unit, top, lines, pipe, fluid, hot, pumped.flow)
    shed = crankcases(plant.compressors, plant.compressor_states, inputs.heater, lines, pipe, clock, cold, dt)
    suction_lines(lines, pipe, clock, fluid, gave, pumped, shed, dt)
    liquid_line(lines, pipe, tank, held, clock, fluid, header, top.drained, gave.drawn, still, dt)
    control(plant, inputs, outputs, dt)
    clock.time += dt
    clock.grid += dt
    if clock.grid >= GRID:
        clock.grid = 0.0
        round_states(pipe, top, held, plant.controller_state[0], states, plant.compressor_states)

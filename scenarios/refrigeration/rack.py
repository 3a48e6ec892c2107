"""All racks, one step: `step(plant, inputs, outputs, dt)`.

Every holdup carries mass and energy; every flow is computed once and used twice with one enthalpy, so mass and energy close by
construction, whatever the closures approximate. Vapour spaces keep internal energy in a fixed room and get their pressure back
from it; liquids keep enthalpy (the work of moving a liquid level is neglected, alike on both sides).

Holdups: liquid line · liquid in each coil · suction lines of each group · gas space and bottom of the condenser · vapour and
liquid of the receiver · oil of each compressor. Order of a step, for each rack: liquid header -> of each group coils, first half ->
suction pressure -> coils, second half -> compressors; then discharge pipe -> condenser and drain -> of each group crankcases ->
suction lines; then liquid line and receiver. Then cut-outs, controllers, alarms -> grid. What leaks back through a machine's valves
has the enthalpy of the discharge pipe, which is known only when all groups have pumped: so groups are gone through twice. Nothing
iterates but the closed volumes.

Faults edit the parameter tables; see `plant.Plant`. `plant.clock[0].time` is seconds since midnight before the start; set it before
the first step to begin at another hour. The grid of 2**-20 is applied within, once a minute of plant time.
"""

from scenarios.compiling.kernel import compiled
from scenarios.controls.decide import control
from scenarios.refrigeration.air_cooled import dry_side
from scenarios.refrigeration.compressor import compression
from scenarios.refrigeration.condenser import AirSide, Outdoors, condenser_pressure, condenser_step
from scenarios.refrigeration.crankcase import crankcases
from scenarios.refrigeration.discharge import discharged
from scenarios.refrigeration.evaporators import cool
from scenarios.refrigeration.fans import airflow
from scenarios.refrigeration.fluid import Saturation, saturation
from scenarios.refrigeration.grid import round_states
from scenarios.refrigeration.liquid import LiquidHeader, liquid_header, liquid_line
from scenarios.refrigeration.machines import capacity, pump
from scenarios.refrigeration.plant import Plant, Rack
from scenarios.refrigeration.ports import Inputs, Outputs
from scenarios.refrigeration.receiver import hot_gas, vapour_space
from scenarios.refrigeration.refrigerants import Fluid, picked
from scenarios.refrigeration.spray import wet_side, wet_the_coil
from scenarios.refrigeration.suction import suction_lines

GRID = 60.0
"""How often states are rounded to their grid [s]."""


@compiled
def suction_of_rack(plant: Plant, rack: Rack) -> float:
    """Pressure behind the valves of a rack: of its groups, weighted by what each drew last [Pa]."""
    first = plant.suction_state[rack.groups]
    pressure, drawn = first.pressure, first.drawn
    for g in range(rack.groups + 1, rack.groups_end):
        more = plant.suction_state[g]
        drawn += more.drawn
        if drawn > 1e-9:
            pressure += (more.pressure - pressure) * (more.drawn / drawn)
    return float(pressure)


@compiled
def evaporate_and_pump(
    plant: Plant, inputs: Inputs, rack: int, g: int, fluid: Fluid, header: LiquidHeader, hot: Saturation, dt: float
) -> None:
    """Coils and machines of one suction group; what they gave stands in its row of `group_steps`."""
    group, now, line, suction = plant.groups[g], plant.group_steps[g], plant.suction[g], plant.suction_state[g]
    discharge, clock = plant.discharge_state[rack], plant.clock[0]
    m, m_end, c, c_end = group.compressors, group.compressors_end, group.circuits, group.circuits_end
    machines, speed = plant.compressors[m:m_end], inputs.speed[m:m_end]
    cold = saturation(fluid, suction.pressure)
    ratio = compression(suction.pressure, discharge.discharge, fluid.about[0].exponent)
    draws = capacity(machines, speed, line, suction, ratio)
    cool(
        fluid,
        plant.circuits[c:c_end],
        plant.circuit_states[c:c_end],
        plant.circuit_steps[c:c_end],
        inputs.solenoid[c:c_end],
        inputs.door[c:c_end],
        plant.places,
        line,
        now,
        clock,
        header,
        cold,
        draws,
        dt,
    )
    pump(machines, plant.compressor_states[m:m_end], speed, line, suction, discharge, now, clock, fluid, hot, ratio, dt)


@compiled
def back_to_suction(plant: Plant, inputs: Inputs, g: int, fluid: Fluid, back_enthalpy: float, room: float, dt: float) -> float:
    """Crankcases and suction lines of one group, one step on; what it drew from the liquid line [kg/s].

    `back_enthalpy` [J/kg] is that of what leaks back, `room` [C] the air of the motor room.
    """
    group, now, suction, clock = plant.groups[g], plant.group_steps[g], plant.suction_state[g], plant.clock[0]
    m, m_end = group.compressors, group.compressors_end
    cold = saturation(fluid, suction.pressure)
    machines, shows, heated = plant.compressors[m:m_end], plant.compressor_states[m:m_end], inputs.heater[m:m_end]
    shed = crankcases(machines, shows, heated, suction.enthalpy, room, clock, cold, dt)
    suction_lines(plant.suction[g], suction, clock, fluid, now, back_enthalpy, shed, room, dt)
    return float(now.drawn)


@compiled
def air_side(plant: Plant, inputs: Inputs, r: int, out: Outdoors, dt: float) -> AirSide:
    """What takes heat from a rack's condenser: sprayed, or air alone."""
    rack, condenser, state = plant.racks[r], plant.condenser[r], plant.condenser_state[r]
    for s in range(rack.sprays, rack.sprays_end):
        return wet_side(plant.sprays[s], plant.spray_states[s], condenser, state, out, inputs.pump_speed[s], dt)
    return dry_side(condenser, state, out)


@compiled
def heat_coils(plant: Plant, inputs: Inputs) -> None:
    """Give every electric defrost heater that has volts to its coil."""
    for n in range(len(plant.defrosts)):
        heater, now = plant.defrosts[n], plant.circuit_steps[plant.defrosts[n].circuit]
        now.heater = heater.watts * heater.share if inputs.defrost_on[heater.circuit] != 0.0 else 0.0
        now.heater_lift = now.heater / heater.coil_ua


@compiled
def move_rack(plant: Plant, inputs: Inputs, r: int, dt: float) -> None:
    """Move one rack by one step."""
    rack, clock, weather = plant.racks[r], plant.clock[0], inputs.outside[0]
    fluid, room = picked(plant.fluids, rack.fluid), plant.places[rack.room].temperature
    condenser, state, receiver, held = plant.condenser[r], plant.condenser_state[r], plant.receiver[r], plant.receiver_state[r]
    line, liquid, pipe, discharge = plant.liquid[r], plant.liquid_state[r], plant.discharge[r], plant.discharge_state[r]
    still, hot = saturation(fluid, held.pressure), saturation(fluid, state.partial)
    branches = rack.circuits_end - rack.circuits
    header = liquid_header(line, liquid, fluid, held.pressure, still.v_liq, suction_of_rack(plant, rack), branches, dt)
    for g in range(rack.groups, rack.groups_end):
        evaporate_and_pump(plant, inputs, r, g, fluid, header, hot, dt)
    groups = plant.group_steps[rack.groups : rack.groups_end]
    gas = discharged(pipe, discharge, groups, clock, fluid, hot, 0.05 * state.gas / dt, room, dt)
    stiff = dt * held.pressure * still.v_gas / vapour_space(receiver, held, still)
    holding = hot_gas(receiver, held, 1.0 / hot.v_gas, gas.flow, discharge.discharge, stiff)
    f, f_end = rack.fans, rack.fans_end
    moved = airflow(plant.fans[f:f_end], plant.fan_states[f:f_end], inputs.fan_speed[f:f_end])
    out = Outdoors(weather.dry_bulb, min(weather.wet_bulb, weather.dry_bulb), moved)
    side = air_side(plant, inputs, r, out, dt)
    to_water = condenser_step(condenser, state, receiver, held, clock, fluid, side, gas, holding, liquid.demand, hot, dt)
    for s in range(rack.sprays, rack.sprays_end):
        wet_the_coil(plant.sprays[s], plant.spray_states[s], side, to_water, dt)
    condenser_pressure(condenser, state, pipe, discharge, fluid, hot, gas.flow)
    drawn = 0.0
    for g in range(rack.groups, rack.groups_end):
        drawn += back_to_suction(plant, inputs, g, fluid, gas.enthalpy, room, dt)
    store = plant.places[rack.store].temperature
    liquid_line(line, liquid, receiver, held, clock, fluid, header, state.drained, drawn, still, room, store, dt)


@compiled
def step(plant: Plant, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """Move the plant by one step.

    Parameters
    ----------
    plant : Plant
        Tables of parameters and states; states are changed in place.
    inputs : Inputs
        Weather, speeds, what is energised, doors, controller supply.
    outputs : Outputs
        Filled with cut-out contacts, calls, shaft powers.
    dt : float
        5 s in a store; between 1 and 10 s is stable. [s]
    """
    clock = plant.clock[0]
    heat_coils(plant, inputs)
    for r in range(len(plant.racks)):
        move_rack(plant, inputs, r, dt)
    control(plant, inputs, outputs, dt)
    clock.time += dt
    clock.grid += dt
    if clock.grid >= GRID:
        clock.grid = 0.0
        round_states(plant)

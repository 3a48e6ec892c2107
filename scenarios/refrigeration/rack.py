"""One rack, one step: `step(plant, inputs, outputs, dt)`.

Every holdup carries mass and energy; every flow is computed once and used twice with one enthalpy, so mass and energy close by
construction, whatever the closures approximate. Vapour spaces keep internal energy in a fixed room and get their pressure back
from it; liquids keep enthalpy (the work of moving a liquid level is neglected, alike on both sides).

Holdups: liquid line · liquid in each coil · suction lines · gas space and bottom of the condenser · vapour and liquid of the
receiver. Order of a step: liquid header -> coils, first half -> suction pressure -> coils, second half -> compressors -> condenser
-> drain -> receiver -> cut-outs, controller, alarms -> grid. Nothing iterates but the closed volumes.

Fields used by others (all SI):
  plant.lines_state[0]      pressure, temperature (suction header) · discharge (header) · header (liquid) · flash (glass)
  plant.condenser_state[0]  pressure · coil · water · film · level (basin) · flooded · air_out
  plant.receiver_state[0]   pressure · liquid
  plant.circuit_states[n]   air · surface · core · frost · outlet · bulb
  plant.controller_state[0] suction, discharge (transducers) · target · reference
  plant.case_states[n]      display · calling · defrosting
  plant.high_states[n]      closed · latched          plant.log[0].written, plant.events
Faults edit the parameter tables; see `plant.Plant`.
"""

import math
from typing import NamedTuple

from scenarios.controls import alarms as alarm_kinds
from scenarios.controls.alarms import note, watch
from scenarios.controls.controller import DAY, case, fan
from scenarios.controls.cutouts import sense
from scenarios.controls.staging import prove, stage_capacity
from scenarios.exact import on_grid
from scenarios.kernel import compiled
from scenarios.refrigeration.air import saturated_humidity, through
from scenarios.refrigeration.circuit import GRAVITY, MELTING, VAPORISING, Around, finish, prepare
from scenarios.refrigeration.compressor import compress, filled, leaks_back
from scenarios.refrigeration.condenser import WATER_HEAT, Outdoors, condense, roof, sprayed, subcool, wet_the_coil
from scenarios.refrigeration.fluid import Saturation, closed_volume, liquid_temperature, saturation
from scenarios.refrigeration.lines import LiquidHeader, discharge_pipe, liquid_header, suction_move
from scenarios.refrigeration.plant import Inputs, Outputs, Plant
from scenarios.refrigeration.receiver import hot_gas, level, outlet, settle, vapour_space

GRID = 60.0
"""How often states are rounded to their grid [s]."""
NITROGEN = 296.8
"""Gas constant of what does not condense [J/kg K]."""
PROVED = 0.3
"""Speed at which a compressor proves to run [-]."""


class Evaporated(NamedTuple):
    """What the coils gave and took in a step."""

    vapour: float
    """Mass flow into the suction lines, liquid included [kg/s]."""
    heat: float
    """Its enthalpy flow [W]."""
    drawn: float
    """Liquid-line flow into all coils [kg/s]."""
    higher: float
    """How far suction dew moves in the step [K]."""


class Pumped(NamedTuple):
    """What the compressors moved in a step."""

    flow: float
    """[kg/s]"""
    enthalpy: float
    """Of the gas that reaches the roof [J/kg]."""
    back: float
    """Blown back through leaking valves [kg/s]."""


@compiled
def evaporate(plant: Plant, inputs: Inputs, header: LiquidHeader, at: Saturation, pumped: float, dt: float) -> Evaporated:
    """All coils one step on, with the suction pressure that fits them and the compressors."""
    lines, clock = plant.lines[0], plant.clock[0]
    around = Around(header.pressure, header.enthalpy, header.density, header.most, lines.store, lines.store_humidity,
                    saturated_humidity(at.t_dew + 3.0))
    made, slope = 0.0, 0.0
    for n in range(len(plant.circuits)):
        circuit, now = plant.circuits[n], plant.circuit_steps[n]
        now.open = (inputs.solenoid[n] or circuit.solenoid_stuck_open) and not circuit.solenoid_stuck_shut
        prepare(circuit, plant.circuit_states[n], now, around, plant.fluid, at, inputs.door[n], dt)
        if now.made > 0.0:
            made += now.made
            slope += now.made_slope
    higher = suction_move(made, slope, pumped, lines, plant.lines_state[0], at, dt)
    end = saturation(plant.fluid, at.pressure * (1.0 + 0.034 * higher * (1.0 + 0.017 * higher)))
    vapour, heat, drawn = 0.0, 0.0, 0.0
    for n in range(len(plant.circuits)):
        circuit, state, now = plant.circuits[n], plant.circuit_states[n], plant.circuit_steps[n]
        surface = state.surface
        leaves = finish(circuit, state, now, around, end, higher, dt)
        vapour += now.made + now.carry
        heat += now.made * leaves + now.carry * end.h_liq
        drawn += now.feed
        clock.boiled += dt * (now.boil + now.latent + now.dry)
        # the case's own book: all that came in is in air, product, ice or refrigerant
        balanced = now.warmth - now.loss * (state.air + now.dry * dt / circuit.air_capacity)
        touch = circuit.product_ua * math.sqrt(now.draught / circuit.airflow)
        from_product = touch * (surface - state.air - now.dry * dt / circuit.air_capacity)
        clock.heat_in += dt * (balanced + now.melt - from_product + now.water * VAPORISING)
    return Evaporated(vapour, heat, drawn, higher)


@compiled
def capacity(plant: Plant, inputs: Inputs) -> float:
    """What the compressors would move at the suction of the step's start [kg/s]."""
    state = plant.lines_state[0]
    density = state.suction / plant.lines[0].suction_space
    flow = 0.0
    for n in range(len(plant.compressors)):
        speed = abs(inputs.speed[n])
        if speed > 0.02:
            machine = plant.compressors[n]
            ratio = max(state.discharge / state.pressure, 1.02)
            flow += machine.swept_flow * speed * density * filled(ratio, machine) * (1.0 - machine.valve_leak)
    return flow


@compiled
def machines(plant: Plant, inputs: Inputs, supply: Saturation, higher: float, dt: float) -> Pumped:
    """All compressors and the discharge pipe; suction gas of the middle of the step's move."""
    lines, state, clock = plant.lines[0], plant.lines_state[0], plant.clock[0]
    density = state.suction / lines.suction_space * (1.0 + 0.036 * higher)
    flow, heat, back = 0.0, 0.0, 0.0
    for n in range(len(plant.compressors)):
        machine, shows = plant.compressors[n], plant.compressor_states[n]
        shows.speed = abs(inputs.speed[n])
        turning = shows.speed if shows.speed > 0.02 else 0.0
        stroke = compress(machine, turning if turning > 0.0 else 1.0, state.pressure, density, state.discharge)
        shows.shaft = stroke.shaft
        shows.outlet = supply.t_dew if turning == 0.0 else shows.outlet
        shows.flow = stroke.flow if turning > 0.0 else 0.0
        if turning > 0.0:
            lifted = min(stroke.lift, stroke.shaft / max(stroke.flow, 1e-9))
            flow += stroke.flow
            heat += stroke.flow * (state.enthalpy + lifted)
            clock.work_in += dt * stroke.shaft
            clock.gas_work += dt * stroke.flow * lifted
            clock.heat_out += dt * (stroke.shaft - stroke.flow * lifted)
        back += leaks_back(machine, 1.0 / supply.v_gas, state.pressure, state.discharge)
    most = 0.6 * state.suction / dt
    back = min(back, 0.05 * plant.condenser_state[0].gas / dt)
    enthalpy = heat / flow if flow > 1e-9 else state.gas_enthalpy
    if flow > most:  # never more than there is; the surplus of work goes with it
        clock.gas_work += dt * (most - flow) * (enthalpy - state.enthalpy)
        clock.heat_out -= dt * (most - flow) * (enthalpy - state.enthalpy)
        flow = most
    gas = discharge_pipe(lines, state, supply, flow, enthalpy, dt)
    clock.heat_out += dt * gas.to_room
    return Pumped(flow, gas.enthalpy, back)


@compiled
def top_of_store(plant: Plant, inputs: Inputs, pumped: Pumped, to_receiver: float, at: Saturation, dt: float) -> float:
    """Condenser and drain one step on; liquid that reached the receiver. [kg/s]"""
    unit, state, lines, clock = plant.condenser[0], plant.condenser_state[0], plant.lines[0], plant.clock[0]
    tank, held = plant.receiver[0], plant.receiver_state[0]
    weather = inputs.outside[0]
    out = Outdoors(weather.dry_bulb, min(weather.wet_bulb, weather.dry_bulb), weather.fan_speed, weather.pump_speed)
    top = roof(unit, state, out)
    arrives = pumped.flow - to_receiver - pumped.back
    found = condense(unit, state, top, at, arrives * (pumped.enthalpy - at.h_liq) - state.blown * (at.h_gas - at.h_liq), dt)
    gas_heat = 400.0 * max(state.temperature - max(at.t_dew, state.coil), 0.0)
    falling = max(1.0 - state.quality, 0.0) * state.gas / 12.0
    volume = state.liquid * at.v_liq
    room = (0.985 * unit.space - volume) / at.v_liq / dt + state.drained
    falling = max(min(falling, room), 0.0)
    cooled = subcool(unit, state, top, out, plant.fluid, falling, at, dt)
    # drain: pressure and static head against the receiver, which the flow itself squeezes within the step
    bottom = unit.holdup * unit.space
    gas_room = max(unit.space - volume, 0.03 * unit.space)
    squeeze = dt * at.v_liq * (held.pressure / vapour_space(tank, held, at) + state.pressure / gas_room)
    drop = state.pressure - held.pressure - unit.check_valve
    hanging = GRAVITY * (unit.drain_height + unit.coil_height * state.flooded) / at.v_liq
    able = through(unit.drain_resistance, squeeze, drop + hanging + squeeze * 0.9 * plant.lines_state[0].demand)
    ready = max(state.liquid + dt * falling - bottom / at.v_liq, 0.0) / (10.0 + dt)
    brim = max((0.985 * tank.space - held.liquid * at.v_liq) / at.v_liq / dt, 0.0)
    drained = min(min(able, ready), brim)
    blown = 0.0
    if able > ready and drop > 0.0:
        stiff = dt * held.pressure * at.v_gas / vapour_space(tank, held, at) + dt * state.pressure * at.v_gas / gas_room
        blown = min((1.0 - ready / able) * through(unit.drain_resistance * at.v_gas / at.v_liq, stiff, drop), 0.1 * state.gas / dt)
    leaving = state.liquid_energy / state.liquid if state.liquid > 1e-6 else at.h_liq
    gas_leaves = max(state.gas_energy / state.gas + state.partial * gas_room / state.gas, at.h_gas) if state.quality >= 1.0 else at.h_gas
    state.gas += dt * (arrives - falling - blown)
    state.gas_energy += dt * (arrives * pumped.enthalpy - falling * at.h_liq - blown * gas_leaves - found.heat - gas_heat)
    state.liquid += dt * (falling - drained)
    state.liquid_energy += dt * (falling * at.h_liq - drained * leaving - cooled)
    held.gas += dt * (blown + to_receiver)
    held.gas_energy += dt * (blown * gas_leaves + to_receiver * pumped.enthalpy)
    held.liquid += dt * drained
    held.liquid_energy += dt * drained * leaving
    state.coil = found.coil + dt * gas_heat / unit.metal
    state.water += dt * found.to_water / (unit.basin * WATER_HEAT)
    clock.condensed += dt * (found.heat + gas_heat + cooled)
    clock.roof_in += dt * (found.heat + gas_heat)
    clock.roof_out += dt * found.to_air
    clock.heat_out += dt * (found.to_air + cooled)
    state.air_heat = found.to_air + cooled
    state.air_out = out.dry_bulb + 0.35 * state.air_heat / (unit.air_flow * top.airflow * 1006.0)
    state.drained, state.blown = drained, blown
    state.fan, state.spray = out.fan, top.sprayed
    wet_the_coil(unit, state, top, dt)
    pressures(plant)
    return drained


@compiled
def pressures(plant: Plant) -> None:
    """Pressure of the condenser from what it holds; of the discharge header from that and the flow."""
    unit, state, lines, pipe = plant.condenser[0], plant.condenser_state[0], plant.lines[0], plant.lines_state[0]
    at = saturation(plant.fluid, state.partial)
    bottom = state.liquid * at.v_liq
    space = max(unit.space - bottom, 0.03 * unit.space)
    found = closed_volume(plant.fluid, space / state.gas, state.gas_energy / state.gas, state.partial)
    state.partial, state.temperature, state.quality = found.pressure, found.temperature, found.quality
    state.pressure = found.pressure + lines.noncondensable * NITROGEN * (found.temperature + 273.15) / space
    least = unit.holdup * unit.space
    state.flooded = min(max((bottom - least) / (unit.space - least), 0.0), 0.98)
    pipe.discharge = state.pressure + lines.gas_resistance * pipe.pumped * pipe.pumped


@compiled
def machine_room(plant: Plant, header: LiquidHeader, drawn: float, at: Saturation, dt: float) -> None:
    """Receiver outlet, liquid line, charge coming or going, and what settles in the receiver."""
    lines, state, clock = plant.lines[0], plant.lines_state[0], plant.clock[0]
    tank, held = plant.receiver[0], plant.receiver_state[0]
    wanted = max(drawn + (lines.liquid_space * header.wanted_density - state.liquid) / 60.0, 0.0)
    leaves = outlet(held, wanted, plant.condenser_state[0].drained, dt)
    warm = held.liquid_energy / held.liquid if held.liquid > 1e-6 else at.h_liq
    gain = lines.liquid_ua * (lines.store - liquid_temperature(plant.fluid, header.enthalpy)) * min(state.liquid / 5.0, 1.0)
    state.liquid += dt * (leaves.liquid + leaves.vapour - drawn)
    state.liquid_energy += dt * (leaves.liquid * warm + leaves.vapour * at.h_gas - drawn * header.enthalpy + gain)
    held.liquid -= dt * leaves.liquid
    held.liquid_energy -= dt * leaves.liquid * warm
    held.gas -= dt * leaves.vapour
    held.gas_energy -= dt * leaves.vapour * at.h_gas
    move = min(max((lines.extra_charge - state.charged) / dt, -lines.charge_rate), lines.charge_rate)
    if move < 0.0:
        move = max(move, -0.3 * held.liquid / dt)
    held.liquid += dt * move
    held.liquid_energy += dt * move * warm
    state.charged += dt * move
    state.total += dt * move
    state.demand = drawn
    from_room = settle(tank, held, plant.fluid, at, lines.room, dt)
    clock.charge_heat += dt * move * warm
    clock.line_heat += dt * gain
    clock.heat_in += dt * (gain + from_room)


@compiled
def suction_lines(plant: Plant, gave: Evaporated, pumped: Pumped, back_enthalpy: float, dt: float) -> None:
    """Suction lines one step on: pressure and temperature from what they hold."""
    lines, state, clock = plant.lines[0], plant.lines_state[0], plant.clock[0]
    gain = lines.suction_ua * (lines.room - state.temperature)
    state.suction += dt * (gave.vapour + pumped.back - pumped.flow)
    state.suction_energy += dt * (gave.heat + pumped.back * back_enthalpy - pumped.flow * state.enthalpy + gain)
    found = closed_volume(plant.fluid, lines.suction_space / state.suction, state.suction_energy / state.suction, state.pressure)
    state.pressure, state.temperature, state.quality, state.enthalpy = found
    state.pumped = pumped.flow
    clock.line_heat += dt * gain
    clock.heat_in += dt * gain


@compiled
def controls(plant: Plant, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """Cut-outs, controller and orders to the wiring."""
    state, sees, settings, now = plant.lines_state[0], plant.controller_state[0], plant.controller[0], inputs.outside[0]
    clock = plant.clock[0]
    for n in range(len(plant.high)):
        sense(plant.high[n], plant.high_states[n], state.discharge)
        sense(plant.low[n], plant.low_states[n], state.pressure)
        outputs.hp_closed[n] = plant.high_states[n].closed
        outputs.lp_closed[n] = plant.low_states[n].closed
    on = now.controller_on
    sees.suction = max(state.pressure + settings.suction_offset, 1e4)
    sees.discharge = max(state.discharge + settings.discharge_offset, 1e4)
    prove(settings, plant.stages, inputs.speed > PROVED, dt)
    if on:
        stage_capacity(settings, sees, plant.stages, saturation(plant.fluid, sees.suction).t_dew, dt)
        fan(settings, sees, saturation(plant.fluid, sees.discharge).t_dew, now.wet_bulb, dt)
    else:
        for n in range(len(plant.stages)):
            if plant.stages[n].called:
                plant.stages[n].called, plant.stages[n].timer = False, 0.0
        sees.reference, sees.integral, sees.fan_on = 0.0, 0.5, False
    sees.powered = on
    day = (clock.time + settings.clock_offset) % DAY
    for n in range(len(plant.cases)):
        case(plant.cases[n], plant.case_states[n], plant.circuit_states[n].air, day, on, dt)
        outputs.call_liquid[n] = plant.case_states[n].calling
    orders, top = outputs.orders[0], plant.condenser_state[0]
    for n in range(len(plant.stages)):
        outputs.call_compressor[n] = plant.stages[n].called
        outputs.shaft_power[n] = plant.compressor_states[n].shaft
    orders.call_fan, orders.fan_reference, orders.call_pump = sees.fan_on and on, sees.reference, on
    orders.basin_ok = top.level > plant.condenser[0].switch_level
    orders.fan_power = 4700.0 * 293.15 / (now.dry_bulb + 273.15)
    orders.pump_power = 1750.0 * (0.35 + 0.65 * sprayed(plant.condenser[0], top, 1.0)) * (0.75 + 0.25 * plant.condenser[0].nozzles)


@compiled
def watched(plant: Plant, inputs: Inputs, kind: int, n: int) -> float:
    """What an alarm row watches, in its own unit."""
    sees = plant.controller_state[0]
    value = 0.0
    if kind == alarm_kinds.FAN_FULL:
        value = sees.reference
    elif kind == alarm_kinds.DISCHARGE:
        value = sees.discharge
    elif kind == alarm_kinds.SUCTION:
        value = sees.suction
    elif kind == alarm_kinds.HIGH_PRESSURE:
        value = 0.0 if plant.high_states[n].closed else 1.0
    elif kind == alarm_kinds.LOW_PRESSURE:
        value = 0.0 if plant.low_states[n].closed else 1.0
    elif kind == alarm_kinds.CASE_AIR:
        value = plant.case_states[n].display
    elif kind == alarm_kinds.DOOR:
        value = inputs.door[n]
    elif kind == alarm_kinds.NO_PROOF:
        value = 1.0 if plant.stages[n].left_out > 0.0 else 0.0
    elif kind == alarm_kinds.DEFROST_BY_TIME:
        value = 1.0 if plant.case_states[n].by_time else 0.0
    elif kind == alarm_kinds.SUPPLY:
        value = 0.0 if sees.powered else 1.0
    elif kind == alarm_kinds.LIQUID_BACK:
        value = 1.0 if plant.lines_state[0].quality < 1.005 and plant.lines_state[0].pumped > 0.01 else 0.0
    return value


@compiled
def speak(plant: Plant, inputs: Inputs, dt: float) -> None:
    """Judge every alarm; a controller without supply is silent until it comes back."""
    if not inputs.outside[0].controller_on:
        return
    time = plant.clock[0].time + plant.controller[0].clock_offset
    for row in range(len(plant.alarms)):
        alarm = plant.alarms[row]
        news = watch(alarm, plant.alarm_states[row], watched(plant, inputs, alarm.kind, alarm.which), dt)
        if news != 0:
            note(plant.events, plant.log, time, row, news > 0)


@compiled
def inventory(plant: Plant) -> float:
    """All refrigerant of the plant [kg]."""
    total = plant.lines_state[0].liquid + plant.lines_state[0].suction
    total += plant.condenser_state[0].gas + plant.condenser_state[0].liquid
    total += plant.receiver_state[0].gas + plant.receiver_state[0].liquid
    for n in range(len(plant.circuit_states)):
        total += plant.circuit_states[n].liquid
    return total


@compiled
def on_their_grid(plant: Plant) -> None:
    """Round what is carried on to the grid; the receiver's liquid closes the total charge."""
    pipe, top, held = plant.lines_state[0], plant.condenser_state[0], plant.receiver_state[0]
    before = held.liquid
    for n in range(len(plant.circuit_states)):
        each = plant.circuit_states[n]
        each.liquid, each.energy, each.bulb, each.air = on_grid(each.liquid), on_grid(each.energy), on_grid(each.bulb), on_grid(each.air)
        each.surface, each.core, each.frost = on_grid(each.surface), on_grid(each.core), on_grid(each.frost)
        each.outlet, each.flow, each.vapour = on_grid(each.outlet), on_grid(each.flow), on_grid(each.vapour)
    pipe.liquid, pipe.liquid_energy = on_grid(pipe.liquid), on_grid(pipe.liquid_energy)
    pipe.suction, pipe.suction_energy = on_grid(pipe.suction), on_grid(pipe.suction_energy)
    pipe.demand, pipe.head, pipe.pressure = on_grid(pipe.demand), on_grid(pipe.head), on_grid(pipe.pressure)
    pipe.temperature, pipe.quality, pipe.enthalpy = on_grid(pipe.temperature), on_grid(pipe.quality), on_grid(pipe.enthalpy)
    pipe.discharge, pipe.pumped = on_grid(pipe.discharge), on_grid(pipe.pumped)
    pipe.gas_steel, pipe.gas_enthalpy, pipe.charged = on_grid(pipe.gas_steel), on_grid(pipe.gas_enthalpy), on_grid(pipe.charged)
    top.gas, top.gas_energy, top.liquid = on_grid(top.gas), on_grid(top.gas_energy), on_grid(top.liquid)
    top.liquid_energy, top.coil, top.water = on_grid(top.liquid_energy), on_grid(top.coil), on_grid(top.water)
    top.film, top.level, top.pressure, top.partial = on_grid(top.film), on_grid(top.level), on_grid(top.pressure), on_grid(top.partial)
    top.temperature, top.quality, top.flooded = on_grid(top.temperature), on_grid(top.quality), on_grid(top.flooded)
    top.drained, top.blown = on_grid(top.drained), on_grid(top.blown)
    held.gas, held.gas_energy, held.liquid_energy = on_grid(held.gas), on_grid(held.gas_energy), on_grid(held.liquid_energy)
    held.shell, held.pressure, held.temperature = on_grid(held.shell), on_grid(held.pressure), on_grid(held.temperature)
    pipe.total = on_grid(pipe.total)
    held.liquid += pipe.total - inventory(plant)
    if held.liquid < 0.0:
        held.liquid = before
    sees = plant.controller_state[0]
    sees.integral, sees.reference = on_grid(sees.integral), on_grid(sees.reference)


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
    state, clock = plant.lines_state[0], plant.clock[0]
    suction = saturation(plant.fluid, state.pressure)
    tank = saturation(plant.fluid, plant.receiver_state[0].pressure)
    hot = saturation(plant.fluid, plant.condenser_state[0].partial)
    header = liquid_header(plant.lines[0], state, plant.fluid, tank.pressure, tank.v_liq, len(plant.circuits), dt)
    gave = evaporate(plant, inputs, header, suction, capacity(plant, inputs), dt)
    pumped = machines(plant, inputs, hot, gave.higher, dt)
    stiff = dt * tank.pressure * tank.v_gas / vapour_space(plant.receiver[0], plant.receiver_state[0], tank)
    to_receiver = hot_gas(plant.receiver[0], plant.receiver_state[0], 1.0 / hot.v_gas, pumped.flow, state.discharge, stiff)
    plant.receiver_state[0].hot_gas = to_receiver
    top_of_store(plant, inputs, pumped, to_receiver, hot, dt)
    suction_lines(plant, gave, pumped, pumped.enthalpy, dt)
    machine_room(plant, header, gave.drawn, tank, dt)
    controls(plant, inputs, outputs, dt)
    speak(plant, inputs, dt)
    clock.time += dt
    clock.grid += dt
    if clock.grid >= GRID:
        clock.grid = 0.0
        on_their_grid(plant)

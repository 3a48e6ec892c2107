"""What the rack controllers and the cut-outs do in one step: from sensors to orders, contacts and alarms."""

from scenarios.compiling.kernel import compiled
from scenarios.controls import alarms
from scenarios.controls.case import DAY, case, since
from scenarios.controls.cutouts import sense
from scenarios.controls.fan_loop import fan, stage_fan
from scenarios.controls.staging import prove, stage_capacity
from scenarios.refrigeration.fluid import saturation
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs, Outputs
from scenarios.refrigeration.refrigerants import Fluid, picked
from scenarios.refrigeration.spray import pump_power

PROVED = 0.3
"""Speed at which a compressor proves to run [-]."""
WET = 1.005
"""Vapour share of suction gas below which liquid is said to come back [-]."""


@compiled
def contacts(plant: Plant, r: int, outputs: Outputs) -> None:
    """Move every cut-out of a rack, its row `r` [-] given, with the true pressure at its compressor."""
    rack, discharge = plant.racks[r], plant.discharge_state[r].discharge
    for g in range(rack.groups, rack.groups_end):
        group, suction = plant.groups[g], plant.suction_state[g].pressure
        for n in range(group.compressors, group.compressors_end):
            sense(plant.high[n], plant.high_states[n], discharge)
            sense(plant.low[n], plant.low_states[n], suction)
            outputs.hp_closed[n] = 1.0 if plant.high_states[n].closed else 0.0
            outputs.lp_closed[n] = 1.0 if plant.low_states[n].closed else 0.0


@compiled
def stage_group(plant: Plant, inputs: Inputs, outputs: Outputs, g: int, fluid: Fluid, on: bool, dt: float) -> None:
    """Read suction of one group, its row `g` [-] given, and call its machines.

    `on`: the controller has supply; `dt` [s] the step.
    """
    group, settings, sees = plant.groups[g], plant.staging[g], plant.staging_state[g]
    first, end = group.compressors, group.compressors_end
    stages = plant.stages[first:end]
    sees.suction = max(plant.suction_state[g].pressure + settings.suction_offset, 1e4)
    prove(settings, stages, inputs.speed[first:end], PROVED, dt)
    if on:
        stage_capacity(settings, sees, stages, saturation(fluid, sees.suction).t_dew, dt)
    for n in range(len(stages)):
        stage = stages[n]
        if stage.called and not on:
            stage.called, stage.timer = False, 0.0
        outputs.call_compressor[first + n] = 1.0 if stage.called else 0.0


@compiled
def drive_fans(plant: Plant, inputs: Inputs, outputs: Outputs, r: int, fluid: Fluid, on: bool, dt: float) -> None:
    """Read discharge of one rack, its row `r` [-] given, and order its fans.

    `on`: the controller has supply; `dt` [s] the step.
    """
    rack, settings, sees, weather = plant.racks[r], plant.fan_loop[r], plant.fan_loop_state[r], inputs.outside[0]
    sees.discharge = max(plant.discharge_state[r].discharge + settings.discharge_offset, 1e4)
    if on:
        sink = weather.wet_bulb if rack.sprays_end > rack.sprays else weather.dry_bulb
        fan(settings, sees, saturation(fluid, sees.discharge).t_dew, sink, dt)
    else:
        sees.reference, sees.integral = 0.0, 0.5
    for n in range(rack.fans, rack.fans_end):
        each, state = plant.fans[n], plant.fan_states[n]
        stage_fan(each, state, sees.reference if on else -1.0)
        outputs.call_fan[n] = 1.0 if state.called and on else 0.0
        outputs.fan_reference[n] = sees.reference
        outputs.fan_power[n] = each.shaft * 293.15 / (weather.dry_bulb + 273.15)


@compiled
def run_cases(plant: Plant, outputs: Outputs, r: int, on: bool, dt: float) -> None:
    """Thermostats and defrosts of one rack, its row `r` [-] given; `on`: the controller has supply; `dt` [s] the step."""
    rack = plant.racks[r]
    day = since(0.0, DAY, plant.clock[0].time + plant.controller[r].clock_offset)
    for n in range(rack.circuits, rack.circuits_end):
        state, air = plant.circuit_states[n], plant.circuit_states[n].air
        iced = state.frost / (state.frost + 0.2)  # ice keeps the sensor on the coil at its melting point
        coil = (air + plant.circuit_steps[n].heater_lift) * (1.0 - iced)
        case(plant.cases[n], plant.case_states[n], air, coil, day, on, dt)
        outputs.call_liquid[n] = 1.0 if plant.case_states[n].calling else 0.0
        outputs.call_defrost[n] = 1.0 if on and plant.case_states[n].defrosting else 0.0


@compiled
def other_orders(plant: Plant, inputs: Inputs, outputs: Outputs) -> None:
    """Spray pumps and loads on shafts."""
    for n in range(len(plant.compressor_states)):
        outputs.shaft_power[n] = plant.compressor_states[n].shaft
    for r in range(len(plant.racks)):
        rack, on = plant.racks[r], inputs.controller_on[r]
        for n in range(rack.sprays, rack.sprays_end):
            spray, state = plant.sprays[n], plant.spray_states[n]
            outputs.call_pump[n] = on
            outputs.basin_ok[n] = 1.0 if state.level > spray.switch_level else 0.0
            outputs.pump_power[n] = pump_power(spray, state)


@compiled
def signal(plant: Plant, inputs: Inputs, r: int) -> None:
    """What the alarm table watches, by kind and row, of one rack, its row `r` [-] given."""
    rack, signals = plant.racks[r], plant.signals
    signals[alarms.FAN_FULL, r] = plant.fan_loop_state[r].reference
    signals[alarms.DISCHARGE, r] = plant.fan_loop_state[r].discharge
    signals[alarms.SUPPLY, r] = 1.0 if plant.controller_state[r].restarted else 0.0
    for g in range(rack.groups, rack.groups_end):
        suction = plant.suction_state[g]
        signals[alarms.SUCTION, g] = plant.staging_state[g].suction
        signals[alarms.LIQUID_BACK, g] = 1.0 if suction.quality < WET and suction.pumped > 0.01 else 0.0
    for n in range(rack.compressors, rack.compressors_end):
        signals[alarms.HIGH_PRESSURE, n] = 0.0 if plant.high_states[n].closed else 1.0
        signals[alarms.LOW_PRESSURE, n] = 0.0 if plant.low_states[n].closed else 1.0
        signals[alarms.NO_PROOF, n] = 1.0 if plant.stages[n].failed else 0.0
    for n in range(rack.circuits, rack.circuits_end):
        signals[alarms.CASE_AIR, n] = plant.case_states[n].display
        signals[alarms.DOOR, n] = inputs.door[n]
        signals[alarms.DEFROST_BY_TIME, n] = 1.0 if plant.case_states[n].by_time else 0.0


@compiled
def control(plant: Plant, inputs: Inputs, outputs: Outputs, dt: float) -> None:
    """What cut-outs, controllers and alarms make of the step, `dt` [s] long."""
    for r in range(len(plant.racks)):
        rack, state, on = plant.racks[r], plant.controller_state[r], inputs.controller_on[r] != 0.0
        fluid = picked(plant.fluids, rack.fluid)
        contacts(plant, r, outputs)
        for g in range(rack.groups, rack.groups_end):
            stage_group(plant, inputs, outputs, g, fluid, on, dt)
        drive_fans(plant, inputs, outputs, r, fluid, on, dt)
        state.restarted = on and not state.powered
        state.powered = on
        run_cases(plant, outputs, r, on, dt)
    other_orders(plant, inputs, outputs)
    for r in range(len(plant.racks)):
        if inputs.controller_on[r] != 0.0:
            signal(plant, inputs, r)
            time = plant.clock[0].time + plant.controller[r].clock_offset
            alarms.speak(plant, r, time, dt)

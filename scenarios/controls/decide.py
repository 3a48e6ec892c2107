"""What the rack controller and the cut-outs do in one step: from sensors to orders and contacts."""

from typing import Any

import numpy as np

from scenarios.controls import alarms
from scenarios.controls.controller import DAY, Controller, ControllerState, case, fan, since
from scenarios.controls.cutouts import sense
from scenarios.controls.staging import prove, stage_capacity
from scenarios.kernel import compiled
from scenarios.refrigeration.condenser import Condenser, CondenserState, sprayed
from scenarios.refrigeration.fluid import Fluid, saturation
from scenarios.refrigeration.lines import LinesState
from scenarios.refrigeration.plant import Array, Outputs, Outside, Rows

PROVED = 0.3
"""Speed at which a compressor proves to run [-]."""
FAN_SHAFT, PUMP_SHAFT = 4700.0, 1750.0
"""Shaft power at rated speed, fan in 20 C air and pump with full spray [W]. Common practice for 7.5 and 3 hp motors."""


@compiled
def contacts(
    high: Rows, high_states: Rows, low: Rows, low_states: Rows, pipe: LinesState, hp_closed: Array, lp_closed: Array
) -> None:
    """Move every cut-out with the true pressure at its compressor.

    Parameters
    ----------
    high, high_states, low, low_states, pipe : Rows, LinesState
        What it works on; states are changed in place.
    hp_closed, lp_closed : array
        Filled with the contacts. [-]
    """
    for n in range(len(high)):
        sense(high[n], high_states[n], pipe.discharge)
        sense(low[n], low_states[n], pipe.pressure)
        hp_closed[n] = 1.0 if high_states[n].closed else 0.0
        lp_closed[n] = 1.0 if low_states[n].closed else 0.0


@compiled
def decide(
    settings: Controller,
    sees: ControllerState,
    stages: Rows,
    cases: Rows,
    case_states: Rows,
    circuits: Rows,
    pipe: LinesState,
    fluid: Fluid,
    weather: Outside,
    on: bool,
    time: float,
    speed: Array,
    call_compressor: Array,
    call_liquid: Array,
    dt: float,
) -> None:
    """Read the sensors, decide, and set the controller's outputs; without supply every output drops.

    Parameters
    ----------
    settings, sees, stages, cases, case_states, circuits : Controller, ControllerState, Rows
        What it works on; states are changed in place.
    pipe, fluid, weather : LinesState, Fluid, Outside
        What it works with.
    on : bool
        The controller has supply.
    time : float
        True time of day. [s]
    speed : array
        Compressor speeds, its proofs. [-]
    call_compressor, call_liquid : array
        Filled with its relays. [-]
    dt : float
        Length of the step. [s]
    """
    sees.suction = max(pipe.pressure + settings.suction_offset, 1e4)
    sees.discharge = max(pipe.discharge + settings.discharge_offset, 1e4)
    prove(settings, stages, speed, PROVED, dt)
    if on:
        stage_capacity(settings, sees, stages, saturation(fluid, sees.suction).t_dew, dt)
        fan(settings, sees, saturation(fluid, sees.discharge).t_dew, weather.wet_bulb, dt)
    else:
        sees.reference, sees.integral, sees.fan_on = 0.0, 0.5, False
    for n in range(len(stages)):
        stage = stages[n]
        if stage.called and not on:
            stage.called, stage.timer = False, 0.0
        call_compressor[n] = 1.0 if stage.called else 0.0
    sees.restarted = on and not sees.powered
    sees.powered = on
    day = since(0.0, DAY, time + settings.clock_offset)
    for n in range(len(cases)):
        iced = circuits[n].frost / (circuits[n].frost + 0.2)  # ice keeps the sensor on the coil at its melting point
        case(cases[n], case_states[n], circuits[n].air, circuits[n].air * (1.0 - iced), day, on, dt)
        call_liquid[n] = 1.0 if case_states[n].calling else 0.0


@compiled
def order(
    machines: Rows,
    unit: Condenser,
    top: CondenserState,
    sees: ControllerState,
    weather: Outside,
    orders: Outputs,
) -> None:
    """Orders to the wiring and loads on its shafts.

    Parameters
    ----------
    machines, unit, top, sees, weather, orders : Rows, Condenser, CondenserState, ControllerState, Outside, Outputs
        What it works on; orders are filled.
    """
    for n in range(len(machines)):
        orders.shaft_power[n] = machines[n].shaft
    orders.call_fan[0] = 1.0 if sees.fan_on and sees.powered else 0.0
    orders.fan_reference[0] = sees.reference
    orders.call_pump[0] = 1.0 if sees.powered else 0.0
    orders.basin_ok[0] = 1.0 if top.level > unit.switch_level else 0.0
    orders.fan_power[0] = FAN_SHAFT * 293.15 / (weather.dry_bulb + 273.15)
    orders.pump_power[0] = PUMP_SHAFT * (0.35 + 0.65 * sprayed(unit, top, 1.0)) * (0.75 + 0.25 * unit.nozzles)


@compiled
def signal(
    signals: np.ndarray[Any, Any],
    sees: ControllerState,
    stages: Rows,
    case_states: Rows,
    high: Rows,
    low: Rows,
    pipe: LinesState,
    door: Array,
) -> None:
    """What the alarm table watches, by kind and which."""
    signals[alarms.FAN_FULL, 0] = sees.reference
    signals[alarms.DISCHARGE, 0] = sees.discharge
    signals[alarms.SUCTION, 0] = sees.suction
    signals[alarms.SUPPLY, 0] = 1.0 if sees.restarted else 0.0
    signals[alarms.LIQUID_BACK, 0] = 1.0 if pipe.quality < 1.005 and pipe.pumped > 0.01 else 0.0
    for n in range(len(stages)):
        signals[alarms.HIGH_PRESSURE, n] = 0.0 if high[n].closed else 1.0
        signals[alarms.LOW_PRESSURE, n] = 0.0 if low[n].closed else 1.0
        signals[alarms.NO_PROOF, n] = 1.0 if stages[n].failed else 0.0
    for n in range(len(case_states)):
        signals[alarms.CASE_AIR, n] = case_states[n].display
        signals[alarms.DOOR, n] = door[n]
        signals[alarms.DEFROST_BY_TIME, n] = 1.0 if case_states[n].by_time else 0.0

"""All compressors of a rack and the discharge pipe in one step."""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.compressor import Squeeze, compress, filled, leaks_back
from scenarios.refrigeration.condenser import CondenserState
from scenarios.refrigeration.fluid import Saturation
from scenarios.refrigeration.lines import DEW_STEEPNESS, Lines, LinesState, discharge_pipe
from scenarios.refrigeration.plant import Array, Clock, Rows

TURNS = 0.02
"""Speed below which a shaft counts as standing [-]."""


class Pumped(NamedTuple):
    """What the compressors moved in a step."""

    flow: float
    """[kg/s]"""
    enthalpy: float
    """Of the gas that reaches the roof [J/kg]."""
    back: float
    """Blown back through leaking valves [kg/s]."""


@compiled
def capacity(machines: Rows, speed: Array, lines: Lines, pipe: LinesState, squeeze: Squeeze) -> float:
    """What the compressors would move at the suction of the step's start [kg/s].

    Parameters
    ----------
    machines, lines, pipe : Rows, Lines, LinesState
        What it works on; states are changed in place.
    speed : array
        Shaft speeds over rated. [-]
    squeeze : Squeeze
        The pressure ratio at the step's start.
    """
    density = pipe.suction / lines.suction_space
    flow = 0.0
    for n in range(len(machines)):
        turning = abs(speed[n])
        if turning > TURNS:
            machine = machines[n]
            flow += machine.swept_flow * turning * density * filled(squeeze.expanded, machine) * (1.0 - machine.valve_leak)
    return flow


@compiled
def pump(
    machines: Rows,
    shows: Rows,
    speed: Array,
    lines: Lines,
    pipe: LinesState,
    top: CondenserState,
    clock: Clock,
    supply: Saturation,
    squeeze: Squeeze,
    higher: float,
    dt: float,
) -> Pumped:
    """Run every compressor for a step on the suction gas it will find.

    Parameters
    ----------
    machines, shows, speed, lines, pipe, top, clock : Rows, Array, Lines, LinesState, CondenserState, Clock
        What it works on; states are changed in place.
    supply : Saturation
        Properties at the condenser's refrigerant pressure.
    squeeze : Squeeze
        The pressure ratio at the step's start.
    higher : float
        How far suction dew moves within the step. [K]
    dt : float
        Length of the step. [s]
    """
    density = pipe.suction / lines.suction_space * (1.0 + 1.06 * DEW_STEEPNESS * higher)
    flow, heat, back = 0.0, 0.0, 0.0
    for n in range(len(machines)):
        machine, seen = machines[n], shows[n]
        seen.speed = abs(speed[n])
        turning = seen.speed > TURNS
        stroke = compress(machine, seen.speed if turning else 1.0, pipe.pressure, density, squeeze)
        seen.shaft, seen.flow, seen.waste = stroke.shaft, 0.0, 0.0
        if machine.leak_back > 0.0:
            back += leaks_back(machine, 1.0 / supply.v_gas, pipe.pressure, pipe.discharge)
        if turning:
            seen.flow = stroke.flow
            flow += stroke.flow
            heat += stroke.flow * (pipe.enthalpy + stroke.lift)
            clock.work_in += dt * stroke.shaft
            clock.gas_work += dt * stroke.flow * stroke.lift
            seen.waste = stroke.shaft - stroke.flow * stroke.lift
            clock.heat_out += dt * seen.waste
    enthalpy = heat / flow if flow > 1e-9 else pipe.gas_enthalpy
    short = max(flow - 0.6 * pipe.suction / dt, 0.0)  # never more than there is; that share of the work warms the room instead
    clock.gas_work -= dt * short * (enthalpy - pipe.enthalpy)
    clock.heat_out += dt * short * (enthalpy - pipe.enthalpy)
    flow -= short
    gas = discharge_pipe(lines, pipe, supply, flow, enthalpy, dt)
    clock.heat_out += dt * gas.to_room
    clock.steel_to_gas -= dt * gas.to_steel
    return Pumped(flow, gas.enthalpy, min(back, 0.05 * top.gas / dt))

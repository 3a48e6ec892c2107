"""All compressors of a suction group in one step."""

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.compressor import Compression, compress, leaks_back, volumetric_efficiency
from scenarios.refrigeration.crankcase import TURNS
from scenarios.refrigeration.discharge import DischargeState
from scenarios.refrigeration.fluid import Saturation
from scenarios.refrigeration.plant import Array, Clock, GroupStep, Rows
from scenarios.refrigeration.refrigerants import Fluid
from scenarios.refrigeration.suction import SuctionLine, SuctionState


@compiled
def capacity(machines: Rows, speed: Array, line: SuctionLine, suction: SuctionState, ratio: Compression) -> float:
    """What the compressors would move at the suction of the step's start [kg/s].

    Parameters
    ----------
    machines, line, suction : Rows, SuctionLine, SuctionState
        What it works with.
    speed : array
        Shaft speeds over rated. [-]
    ratio : Compression
        The pressure ratio at the step's start.
    """
    density = suction.suction / line.space
    flow = 0.0
    for n in range(len(machines)):
        turning = abs(speed[n])
        if turning > TURNS:
            machine = machines[n]
            filling = volumetric_efficiency(ratio.expanded, machine)
            flow += machine.swept_flow * turning * density * filling * (1.0 - machine.valve_leak)
    return flow


@compiled
def pump(
    machines: Rows,
    shows: Rows,
    speed: Array,
    line: SuctionLine,
    suction: SuctionState,
    discharge: DischargeState,
    now: GroupStep,
    clock: Clock,
    fluid: Fluid,
    hot: Saturation,
    ratio: Compression,
    dt: float,
) -> None:
    """Run every compressor for a step on the suction gas it will find.

    Parameters
    ----------
    machines, shows, speed, line, suction, discharge, clock, fluid : Rows, Array, SuctionLine, SuctionState, DischargeState, Clock
        What it works on; states are changed in place.
    now : GroupStep
        How far suction dew moves; takes flow, enthalpy and what leaks back.
    hot : Saturation
        Properties at the condenser's refrigerant pressure.
    ratio : Compression
        The pressure ratio at the step's start.
    dt : float
        Length of the step. [s]
    """
    density = suction.suction / line.space * (1.0 + 1.06 * fluid.about[0].steepness * now.higher)
    flow, heat, back = 0.0, 0.0, 0.0
    for n in range(len(machines)):
        machine, seen = machines[n], shows[n]
        seen.speed = abs(speed[n])
        turning = seen.speed > TURNS
        stroke = compress(machine, seen.speed if turning else 1.0, suction.pressure, density, ratio, fluid.about[0].most_lift)
        seen.shaft, seen.flow, seen.waste = stroke.shaft, 0.0, 0.0
        if machine.leak_back > 0.0:
            back += leaks_back(machine, 1.0 / hot.v_gas, suction.pressure, discharge.discharge)
        if turning:
            seen.flow = stroke.flow
            flow += stroke.flow
            heat += stroke.flow * (suction.enthalpy + stroke.enthalpy_rise)
            clock.work_in += dt * stroke.shaft
            clock.gas_work += dt * stroke.flow * stroke.enthalpy_rise
            seen.waste = stroke.shaft - stroke.flow * stroke.enthalpy_rise
            clock.heat_out += dt * seen.waste
    enthalpy = heat / flow if flow > 1e-9 else discharge.gas_enthalpy
    short = max(flow - 0.6 * suction.suction / dt, 0.0)  # never more than there is; that share of the work warms the room instead
    clock.gas_work -= dt * short * (enthalpy - suction.enthalpy)
    clock.heat_out += dt * short * (enthalpy - suction.enthalpy)
    now.flow, now.enthalpy, now.back = flow - short, enthalpy, back

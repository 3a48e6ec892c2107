"""Liquid line, receiver outlet, charge and suction lines in one step."""

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.crankcase import Shed
from scenarios.refrigeration.evaporators import Evaporated
from scenarios.refrigeration.fluid import Fluid, Saturation, closed_volume, liquid_temperature
from scenarios.refrigeration.lines import Lines, LinesState, LiquidHeader
from scenarios.refrigeration.machines import Pumped
from scenarios.refrigeration.plant import Clock
from scenarios.refrigeration.receiver import Receiver, ReceiverState, outlet, settle

REFILL = 60.0
"""Time in which the liquid line fills up again [s]."""


@compiled
def liquid_line(
    lines: Lines,
    pipe: LinesState,
    tank: Receiver,
    held: ReceiverState,
    clock: Clock,
    fluid: Fluid,
    header: LiquidHeader,
    drained: float,
    drawn: float,
    at: Saturation,
    dt: float,
) -> None:
    """Receiver to liquid line to valves; charge that is added or lost; what settles in the receiver.

    Parameters
    ----------
    lines, pipe, tank, held, clock, fluid, header : Lines, LinesState, Receiver, ReceiverState, Clock, Fluid, LiquidHeader
        What it works on; states are changed in place.
    drained : float
        Liquid from the condenser. [kg/s]
    drawn : float
        Liquid into all coils. [kg/s]
    at : Saturation
        Properties at receiver pressure.
    dt : float
        Length of the step. [s]
    """
    wanted = max(drawn + (lines.liquid_space * header.wanted_density - pipe.liquid) / REFILL, 0.0)
    leaves = outlet(held, wanted, drained, dt)
    warm = held.liquid_energy / held.liquid if held.liquid > 1e-6 else at.h_liq
    gain = lines.liquid_ua * (lines.store - liquid_temperature(fluid, header.enthalpy)) * min(pipe.liquid / 5.0, 1.0)
    pipe.liquid += dt * (leaves.liquid + leaves.vapour - drawn)
    pipe.liquid_energy += dt * (leaves.liquid * warm + leaves.vapour * at.h_gas - drawn * header.enthalpy + gain)
    held.liquid -= dt * leaves.liquid
    held.liquid_energy -= dt * leaves.liquid * warm
    held.gas -= dt * leaves.vapour
    held.gas_energy -= dt * leaves.vapour * at.h_gas
    move = min(max((lines.extra_charge - pipe.charged) / dt, -lines.charge_rate), lines.charge_rate)
    if move < 0.0:
        move = max(move, -0.3 * max(held.liquid, 0.0) / dt)
    held.liquid += dt * move
    held.liquid_energy += dt * move * warm
    pipe.charged += dt * move
    pipe.total += dt * move
    pipe.demand = drawn
    heat = settle(tank, held, fluid, at, lines.room, dt)
    clock.charge_heat += dt * move * warm
    clock.line_heat += dt * gain
    clock.heat_in += dt * (gain + heat.from_room)
    clock.steel_to_gas += dt * heat.from_steel


@compiled
def suction_lines(
    lines: Lines, pipe: LinesState, clock: Clock, fluid: Fluid, gave: Evaporated, pumped: Pumped, shed: Shed, dt: float
) -> None:
    """Suction lines one step on: pressure and temperature from what they hold.

    Parameters
    ----------
    lines, pipe, clock, fluid : Lines, LinesState, Clock, Fluid
        What it works on; states are changed in place.
    gave : Evaporated
        From the coils.
    pumped : Pumped
        Into the compressors, and what leaks back through them.
    shed : Shed
        From the crankcases.
    dt : float
        Length of the step. [s]
    """
    gain = lines.suction_ua * (lines.room - pipe.temperature)
    pipe.suction += dt * (gave.vapour + pumped.back + shed.flow - pumped.flow)
    pipe.suction_energy += dt * (gave.heat + pumped.back * pumped.enthalpy + shed.heat - pumped.flow * pipe.enthalpy + gain)
    found = closed_volume(fluid, lines.suction_space / pipe.suction, pipe.suction_energy / pipe.suction, pipe.pressure)
    pipe.pressure, pipe.temperature, pipe.quality, pipe.enthalpy = found.pressure, found.temperature, found.quality, found.enthalpy
    pipe.pumped = pumped.flow
    clock.line_heat += dt * gain
    clock.heat_in += dt * gain

"""Condenser, drain and the receiver's inlet in one step.

Liquid leaves the condenser when its pressure and the head of the drain leg beat the receiver; the flow itself squeezes the
receiver's vapour within the step, so it is found from ``R m² + stiffness m = drop``. Where less liquid is ready than the drain
could carry, gas blows through beside it and evens the two pressures out.
"""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.air import through
from scenarios.refrigeration.circuit import GRAVITY
from scenarios.refrigeration.condenser import (
    WATER_HEAT,
    Condenser,
    CondenserState,
    Condensing,
    Outdoors,
    Roof,
    condense,
    roof,
    subcool,
    wet_the_coil,
)
from scenarios.refrigeration.fluid import Fluid, Saturation, closed_volume
from scenarios.refrigeration.lines import Lines, LinesState
from scenarios.refrigeration.machines import Pumped
from scenarios.refrigeration.plant import Clock
from scenarios.refrigeration.receiver import Receiver, ReceiverState, vapour_space

NITROGEN = 296.8
"""Gas constant of what does not condense [J/kg K]."""
BRIM = 0.985
"""Liquid never fills more of a vessel than this share of it [-]."""


class Drained(NamedTuple):
    """What goes down the drain."""

    liquid: float
    """[kg/s]"""
    gas: float
    """[kg/s]"""


@compiled
def gas_room(unit: Condenser, state: CondenserState, liquid_volume: float) -> float:
    """Room that liquid leaves for gas, never less than three percent [m3].

    Parameters
    ----------
    unit, state : Condenser, CondenserState
        What it works on; states are changed in place.
    liquid_volume : float
        Of the liquid at the bottom. [m3/kg]
    """
    return max(unit.space - state.liquid * liquid_volume, 0.03 * unit.space)


@compiled
def drain(
    unit: Condenser,
    state: CondenserState,
    tank: Receiver,
    held: ReceiverState,
    at: Saturation,
    falling: float,
    demand: float,
    dt: float,
) -> Drained:
    """Liquid and gas through the drain.

    Parameters
    ----------
    unit, state, tank, held, at : Condenser, CondenserState, Receiver, ReceiverState, Saturation
        What it works on; states are changed in place.
    falling : float
        Condensate that reaches the bottom. [kg/s]
    demand : float
        What the liquid line drew; it makes room in the receiver. [kg/s]
    dt : float
        Length of the step. [s]
    """
    room, space = gas_room(unit, state, at.v_liq), vapour_space(tank, held, at)
    squeeze = dt * at.v_liq * (held.pressure / space + state.pressure / room)
    drop = state.pressure - held.pressure - unit.check_valve
    hanging = GRAVITY * (unit.drain_height + unit.coil_height * state.flooded) / at.v_liq
    able = through(unit.drain_resistance, squeeze, drop + hanging + squeeze * 0.9 * demand)
    ready = max(state.liquid + dt * falling - unit.holdup * unit.space / at.v_liq, 0.0) / (10.0 + dt)
    brim = max((BRIM * tank.space - held.liquid * at.v_liq) / at.v_liq / dt, 0.0)
    blown = 0.0
    if able > ready and drop > 0.0:
        stiff = dt * at.v_gas * (held.pressure / space + state.pressure / room)
        free = (1.0 - ready / able) * through(unit.drain_resistance * at.v_gas / at.v_liq, stiff, drop)
        blown = min(free, 0.1 * state.gas / dt)
    return Drained(min(min(able, ready), brim), blown)


@compiled
def book_roof(
    unit: Condenser,
    state: CondenserState,
    out: Outdoors,
    top: Roof,
    found: Condensing,
    gas_heat: float,
    cooled: float,
    clock: Clock,
    dt: float,
) -> None:
    """Coil, basin and air one step of `dt` [s] on, each joule booked once.

    `gas_heat` [W] is what hot gas gives up before it condenses, `cooled` [W] what the liquid gives up below its bubble point.
    """
    state.coil = found.coil + dt * gas_heat / unit.metal
    state.water += dt * found.to_water / (unit.basin * WATER_HEAT)
    clock.condensed += dt * (found.heat + gas_heat + cooled)
    clock.roof_in += dt * (found.heat + gas_heat)
    clock.roof_out += dt * found.to_air
    clock.heat_out += dt * (found.to_air + cooled)
    state.air_heat = found.to_air + cooled
    state.air_out = out.dry_bulb + 0.35 * state.air_heat / (unit.air_flow * top.airflow * 1006.0)
    state.fan, state.spray = out.fan, top.sprayed
    wet_the_coil(unit, state, top, dt)


@compiled
def condenser_step(
    unit: Condenser,
    state: CondenserState,
    tank: Receiver,
    held: ReceiverState,
    clock: Clock,
    fluid: Fluid,
    out: Outdoors,
    pumped: Pumped,
    to_receiver: float,
    demand: float,
    at: Saturation,
    dt: float,
) -> None:
    """Condense, subcool, drain.

    Parameters
    ----------
    unit, state, tank, held, clock : Condenser, CondenserState, Receiver, ReceiverState, Clock
        What it works on; states are changed in place.
    fluid, out, pumped : Fluid, Outdoors, Pumped
        What it works with.
    to_receiver : float
        Hot gas that the receiver's valve takes. [kg/s]
    demand : float
        What the liquid line drew. [kg/s]
    at : Saturation
        Properties at the refrigerant's partial pressure.
    dt : float
        Length of the step. [s]
    """
    top = roof(unit, state, out)
    arrives = pumped.flow - to_receiver - pumped.back
    found = condense(unit, state, top, at, arrives * (pumped.enthalpy - at.h_liq) - state.blown * (at.h_gas - at.h_liq), dt)
    gas_heat = 400.0 * max(state.temperature - max(at.t_dew, state.coil), 0.0)
    falling = max(1.0 - state.quality, 0.0) * state.gas / 12.0
    room = (BRIM * unit.space - state.liquid * at.v_liq) / at.v_liq / dt + state.drained
    falling = max(min(falling, room), 0.0)
    cooled = subcool(unit, state, top, out, fluid, falling, at, dt)
    down = drain(unit, state, tank, held, at, falling, demand, dt)
    leaving = state.liquid_energy / state.liquid if state.liquid > 1e-6 else at.h_liq
    gas_leaves = at.h_gas
    if state.quality > 1.0:
        gas_leaves = max(state.gas_energy / state.gas + state.partial * gas_room(unit, state, at.v_liq) / state.gas, at.h_gas)
    over = state.liquid_energy - state.liquid * at.h_liq
    boiling = max(over, 0.0) / (at.h_gas - at.h_liq) / (dt + 15.0)  # liquid left behind by a falling pressure, or warmed by the day
    state.gas += dt * (arrives - falling - down.gas + boiling)
    state.gas_energy += dt * (arrives * pumped.enthalpy - falling * at.h_liq - down.gas * gas_leaves - found.heat - gas_heat)
    state.gas_energy += dt * boiling * at.h_gas
    state.liquid += dt * (falling - down.liquid - boiling)
    state.liquid_energy += dt * (falling * at.h_liq - down.liquid * leaving - cooled - boiling * at.h_gas)
    held.gas += dt * (down.gas + to_receiver)
    held.gas_energy += dt * (down.gas * gas_leaves + to_receiver * pumped.enthalpy)
    held.liquid += dt * down.liquid
    held.liquid_energy += dt * down.liquid * leaving
    state.drained, state.blown, held.hot_gas = down.liquid, down.gas, to_receiver
    book_roof(unit, state, out, top, found, gas_heat, cooled, clock, dt)


@compiled
def condenser_pressure(
    unit: Condenser, state: CondenserState, lines: Lines, pipe: LinesState, fluid: Fluid, at: Saturation, flow: float
) -> None:
    """Pressure of the condenser from what it holds, and of the discharge header from that and the flow.

    Parameters
    ----------
    unit, state, lines, pipe, fluid : Condenser, CondenserState, Lines, LinesState, Fluid
        What it works on; states are changed in place.
    at : Saturation
        Properties at the refrigerant's partial pressure of the start.
    flow : float
        Of the compressors. [kg/s]
    """
    space = gas_room(unit, state, at.v_liq)
    found = closed_volume(fluid, space / state.gas, state.gas_energy / state.gas, state.partial)
    state.partial, state.temperature, state.quality = found.pressure, found.temperature, found.quality
    state.pressure = found.pressure + lines.noncondensable * NITROGEN * (found.temperature + 273.15) / space
    least = unit.holdup * unit.space
    state.flooded = min(max((state.liquid * at.v_liq - least) / (unit.space - least), 0.0), 0.98)
    pipe.discharge = state.pressure + lines.gas_resistance * flow * flow

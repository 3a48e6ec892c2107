"""Receiver in the motor room: vapour space, stratified liquid, shell, and the valve that holds it up.

The vapour space is a closed volume (mass, energy) whose room is what the liquid leaves; its condensate rains into the liquid.
Liquid colder than its surface hardly touches the vapour (stratified), liquid warmer than its boiling point flashes. A hot-gas
valve opens when receiver pressure falls under its setting, so a cold night with the fan at full speed leaves liquid up in the
condenser. A nearly full receiver has little vapour left to squeeze and blocks its own inlet.
"""

from typing import NamedTuple

from scenarios.compiling.exact import exp
from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.air import through
from scenarios.refrigeration.closed_volume import closed_volume
from scenarios.refrigeration.fluid import Saturation, liquid_temperature
from scenarios.refrigeration.refrigerants import Fluid


@record
class Receiver:
    """Design and condition. Faults edit these."""

    space: float = quantity("m3", "inside", default=0.27, least=0.02)
    surface_ua: float = quantity("W/K", "vapour to stratified liquid", default=4.0, least=0.0)
    shell: float = quantity("J/K", "steel", default=70e3, least=1e3)
    shell_ua: float = quantity("W/K", "vapour and liquid to steel", default=80.0, least=0.0, most=5e3)
    room_ua: float = quantity("W/K", "steel to the room", default=20.0, least=0.0)
    hot_gas_set: float = quantity("Pa", "pressure at which the hot-gas valve is shut", default=9.9e5, least=1e5)
    valve_band: float = quantity("Pa", "pressure below it at which the valve is wide open", default=0.5e5, least=1e3)
    valve_area: float = quantity("m2", "hot-gas valve, wide open", default=3.0e-5, least=0.0)
    valve_least: float = quantity("-", "opening it cannot go below: 1 stuck open", default=0.0, least=0.0, most=1.0)
    valve_most: float = quantity("-", "opening it cannot go above: 0 stuck shut", default=1.0, least=0.0, most=1.0)


@record
class ReceiverState:
    """What the receiver carries from step to step."""

    gas: float = quantity("kg", "vapour", default=8.0)
    gas_energy: float = quantity("J", "its energy", default=0.0)
    liquid: float = quantity("kg", "liquid", default=70.0)
    liquid_energy: float = quantity("J", "its energy", default=0.0)
    shell: float = quantity("C", "steel", default=24.0)
    pressure: float = quantity("Pa", "of the vapour", default=11.8e5)
    temperature: float = quantity("C", "of the vapour", default=26.0)
    hot_gas: float = quantity("kg/s", "through the hot-gas valve in the last step", default=0.0)


class Outlet(NamedTuple):
    """What leaves for the liquid line."""

    liquid: float
    vapour: float


class Settled(NamedTuple):
    """Heat that moved."""

    from_room: float
    """Room to steel [W]."""
    from_steel: float
    """Steel to refrigerant [W]."""


@compiled
def level(receiver: Receiver, state: ReceiverState, at: Saturation) -> float:
    """Liquid level over full [-]."""
    return min(state.liquid * at.v_liq / receiver.space, 1.0)


@compiled
def vapour_space(receiver: Receiver, state: ReceiverState, at: Saturation) -> float:
    """Room left for vapour, never less than two percent [m3]."""
    return max(receiver.space - state.liquid * at.v_liq, 0.02 * receiver.space)


@compiled
def outlet(state: ReceiverState, wanted: float, arriving: float, dt: float) -> Outlet:
    """Share of liquid and vapour in what the line draws; the last kilograms are drawn with a vortex.

    Parameters
    ----------
    state : ReceiverState
        What it works on; states are changed in place.
    wanted : float
        Mass flow the line asks for. [kg/s]
    arriving : float
        Drain flow of the last step. [kg/s]
    dt : float
        Length of the step. [s]
    """
    vortex = exp(-0.5 * state.liquid)
    liquid = min((1.0 - vortex) * wanted, 0.8 * state.liquid / dt)
    return Outlet(liquid, min(0.25 * (wanted - liquid), 0.2 * state.gas / dt))


@compiled
def hot_gas(receiver: Receiver, state: ReceiverState, density: float, available: float, supply: float, stiffness: float) -> float:
    """Flow of the valve that holds the receiver up [kg/s].

    Parameters
    ----------
    receiver, state : Receiver, ReceiverState
        What it works on; states are changed in place.
    density : float
        Of the discharge gas. [kg/m3]
    available : float
        Discharge flow; the valve takes half at most. [kg/s]
    supply : float
        Discharge pressure. [Pa]
    stiffness : float
        Rise of receiver pressure per flow within the step. [Pa s/kg]
    """
    opening = min(max((receiver.hot_gas_set - state.pressure) / receiver.valve_band, receiver.valve_least), receiver.valve_most)
    area = 0.6 * receiver.valve_area * opening
    if area < 1e-9:
        return 0.0
    return min(through(1.0 / (2.0 * density * area * area), 2.0 * stiffness, supply - state.pressure), 0.5 * available)


@compiled
def settle(receiver: Receiver, state: ReceiverState, fluid: Fluid, at: Saturation, room: float, dt: float) -> Settled:
    """Exchange within the receiver after flows have come and gone.

    Rain, flashing, surface and shell move mass and energy between vapour and liquid; the totals stay. `room` [C] is the motor
    room around it, `dt` [s] the step.
    """
    cold = liquid_temperature(fluid, state.liquid_energy / state.liquid) if state.liquid > 1e-3 else state.temperature
    heat = at.h_gas - at.h_liq
    flashing = 0.0
    if state.liquid > 1e-3:
        over = state.liquid_energy - state.liquid * at.h_liq
        flashing = max(over, 0.0) / heat / (dt + 15.0)
    surface = receiver.surface_ua * (state.temperature - cold)
    share = 0.3 + 0.5 * level(receiver, state, at)
    to_gas = (1.0 - share) * receiver.shell_ua * (state.shell - state.temperature)
    to_liquid = share * receiver.shell_ua * (state.shell - cold) if state.liquid > 1.0 else 0.0
    from_room = receiver.room_ua * (room - state.shell)
    state.shell += dt * (from_room - to_gas - to_liquid) / receiver.shell
    state.gas += dt * flashing
    state.gas_energy += dt * (flashing * at.h_gas - surface + to_gas)
    state.liquid -= dt * flashing
    state.liquid_energy += dt * (surface + to_liquid - flashing * at.h_gas)
    space = vapour_space(receiver, state, at)
    found = closed_volume(fluid, space / state.gas, state.gas_energy / state.gas, state.pressure)
    state.pressure, state.temperature = found.pressure, found.temperature
    rain = max(1.0 - found.quality, 0.0) * state.gas * 0.5
    state.gas -= rain
    state.gas_energy -= rain * at.h_liq
    state.liquid += rain
    state.liquid_energy += rain * at.h_liq
    return Settled(from_room, to_gas + to_liquid)

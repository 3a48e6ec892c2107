"""Condenser on the roof: gas space, flooded tubes, coil metal, drain to the receiver. Its air side is `spray` or `air_cooled`.

Gas and the condensate that still runs down the tubes are one closed volume (mass, energy); liquid that has reached the bottom is
another and floods tubes when it cannot leave. Flooded tubes condense nothing: they take area from the refrigerant side and from
the air side, and subcool toward the sink instead, which is the wet bulb while the coil is wet.

    inside   q = K (condensing - coil)                        K = (1 - flooded) UA / (1 + UA scale)
    drain    R m² + stiffness m = drop       the flow itself squeezes the receiver's vapour within the step

Condensing and coil temperature are solved implicitly together. Where less liquid is ready than the drain could carry, gas blows
through beside it and evens the two pressures out. A flooding valve in the drain shuts as condenser pressure falls, so a cold
night leaves liquid in the tubes on purpose; the receiver's hot-gas valve then holds the receiver up.
"""

import math
from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.air import through
from scenarios.refrigeration.circuit import GRAVITY
from scenarios.refrigeration.closed_volume import closed_volume
from scenarios.refrigeration.discharge import Discharged, DischargeLine, DischargeState
from scenarios.refrigeration.fluid import Saturation, liquid_temperature
from scenarios.refrigeration.plant import Clock
from scenarios.refrigeration.receiver import Receiver, ReceiverState, vapour_space
from scenarios.refrigeration.refrigerants import Fluid

AIR_HEAT = 1006.0
"""Heat capacity of air [J/kg K]."""
NITROGEN = 296.8
"""Gas constant of what does not condense [J/kg K]."""
BRIM = 0.985
"""Liquid never fills more of a vessel than this share of it [-]."""


@record
class Condenser:
    """Design and condition. Faults edit these."""

    space: float = quantity("m3", "inside of the tubes", default=0.30, least=0.01)
    holdup: float = quantity("-", "share of it that liquid always fills", default=0.055, least=0.0, most=0.5)
    inside_ua: float = quantity("W/K", "refrigerant to coil", default=24e3, least=100.0)
    scale: float = quantity("K/W", "thermal resistance of scale or dirt", default=0.0, least=0.0, most=1e-3)
    air_flow: float = quantity("kg/s", "air at full fan speed", default=14.0, least=0.1)
    still_air: float = quantity("-", "airflow with the fans off over rated", default=0.02, least=0.001, most=0.3)
    dry_ua: float = quantity("W/K", "dry coil to air at full air", default=3350.0, least=10.0)
    metal: float = quantity("J/K", "coil", default=850e3, least=1e4)
    subcool_ua: float = quantity("W/K", "flooded coil to the sink at full air", default=2900.0, least=0.0)
    drain_height: float = quantity("m", "drain leg", default=3.0, least=0.0)
    coil_height: float = quantity("m", "liquid head when the tubes are full", default=1.5, least=0.0)
    drain_resistance: float = quantity("Pa s2/kg2", "drain line", default=6e3, least=10.0)
    check_valve: float = quantity("Pa", "pressure that opens the drain check valve", default=0.3e5, least=0.0)
    flood_set: float = quantity("Pa", "condenser pressure below which the flooding valve shuts; 0: there is none", default=0.0)
    flood_band: float = quantity("Pa", "pressure above it at which it is wide open", default=0.7e5, least=1e3)
    flood_least: float = quantity("-", "opening it cannot go below: 1 stuck open", default=0.02, least=0.01, most=1.0)
    noncondensable: float = quantity("kg", "air or nitrogen in it", default=0.0, least=0.0, most=3.0)


@record
class CondenserState:
    """What the condenser carries from step to step."""

    gas: float = quantity("kg", "gas and running condensate", default=12.0)
    gas_energy: float = quantity("J", "their energy", default=0.0)
    liquid: float = quantity("kg", "liquid at the bottom and in flooded tubes", default=20.0)
    liquid_energy: float = quantity("J", "its energy", default=0.0)
    coil: float = quantity("C", "coil metal and film", default=26.0)
    pressure: float = quantity("Pa", "in the tubes, all gases", default=12e5)
    partial: float = quantity("Pa", "of the refrigerant alone", default=12e5)
    temperature: float = quantity("C", "of the gas space", default=28.0)
    quality: float = quantity("-", "vapour share of the gas space", default=0.7)
    flooded: float = quantity("-", "share of the tubes that is flooded", default=0.0)
    drained: float = quantity("kg/s", "liquid drained in the last step", default=0.3)
    blown: float = quantity("kg/s", "gas that went down the drain", default=0.0)
    air_out: float = quantity("C", "air leaving", default=27.0)
    air_heat: float = quantity("W", "heat given to the air", default=0.0)


class Outdoors(NamedTuple):
    """Weather on the roof, and the air that fans move."""

    dry_bulb: float
    wet_bulb: float
    airflow: float
    """Over rated; fans that stand: 0 [-]."""


class AirSide(NamedTuple):
    """What takes heat from the coil in one step, as a line in coil temperature."""

    airflow: float
    """Over rated [-]."""
    air: float
    """Coming in [C]."""
    heat: float
    """To the air at the present coil temperature [W]."""
    slope: float
    """[W/K]"""
    sink: float
    """What the liquid subcools toward [C]."""
    touch: float
    """How well flooded tubes reach it [-]."""
    sensible: float
    """Share of the heat that warms the air [-]."""
    pull: float
    """Coil to basin water [W/K]."""
    water: float
    """Basin water [C]."""
    wet: float
    """Wet share of the coil [-]."""
    sprayed: float
    """Spray over rated [-]."""
    evaporating: float
    """Part of the heat that leaves as vapour [W]."""


class Condensing(NamedTuple):
    """Result of the implicit solve."""

    heat: float
    """Refrigerant to coil [W]."""
    coil: float
    """New coil temperature [C]."""
    to_air: float
    """Coil to air [W]."""
    to_water: float
    """Coil to basin water [W]."""


class Drained(NamedTuple):
    """What goes down the drain."""

    liquid: float
    """[kg/s]"""
    gas: float
    """[kg/s]"""


@compiled
def gas_room(condenser: Condenser, state: CondenserState, liquid_volume: float) -> float:
    """Room that liquid leaves for gas, never less than three percent [m3].

    Parameters
    ----------
    condenser, state : Condenser, CondenserState
        What it works with.
    liquid_volume : float
        Of the liquid at the bottom. [m3/kg]
    """
    return max(condenser.space - state.liquid * liquid_volume, 0.03 * condenser.space)


@compiled
def condense(
    condenser: Condenser, state: CondenserState, side: AirSide, fluid: Fluid, at: Saturation, carried: float, dt: float
) -> Condensing:
    """Condensing and coil temperature one step on, together.

    Parameters
    ----------
    condenser, state, side, fluid : Condenser, CondenserState, AirSide, Fluid
        What it works with.
    at : Saturation
        Properties at the refrigerant's partial pressure.
    carried : float
        Heat brought in by gas above saturated liquid. [W]
    dt : float
        Length of the step. [s]
    """
    middle = 0.5 * (at.t_bub + at.t_dew)
    inside = (1.0 - state.flooded) * condenser.inside_ua / (1.0 + condenser.inside_ua * condenser.scale)
    if state.coil > middle:  # a warmer coil can only boil the film that is left
        inside *= min(max((1.0 - state.quality) / 0.05, 0.0), 1.0)
    gas = gas_room(condenser, state, at.v_liq)
    heat = at.h_gas - at.h_liq
    capacity = gas / at.v_gas * fluid.about[0].warm_steepness * heat + fluid.about[0].warm_gas_heat * state.gas
    own, metal = capacity / dt, condenser.metal / dt
    # own (tc - middle) = carried - inside (tc - tx);  metal (tx - coil) = inside (tc - tx) - air - pull (tx - water)
    a = own + inside
    b = metal + inside + side.slope + side.pull
    right = metal * state.coil - side.heat + side.slope * state.coil + side.pull * side.water
    coil = (right * a + inside * (own * middle + carried)) / (a * b - inside * inside)
    condensing = (own * middle + carried + inside * coil) / a
    to_air = side.heat + side.slope * (coil - state.coil)
    return Condensing(inside * (condensing - coil), coil, to_air, side.pull * (coil - side.water))


@compiled
def subcool(
    condenser: Condenser, state: CondenserState, side: AirSide, fluid: Fluid, falling: float, at: Saturation, dt: float
) -> float:
    """Heat that the liquid at the bottom gives to the sink [W].

    Parameters
    ----------
    condenser, state, side, fluid, at : Condenser, CondenserState, AirSide, Fluid, Saturation
        What it works with.
    falling : float
        Condensate that reaches it. [kg/s]
    dt : float
        Length of the step. [s]
    """
    reach = condenser.subcool_ua * (state.flooded + 0.06) * math.sqrt(side.airflow) * side.touch
    held = state.liquid * fluid.about[0].liquid_heat / dt + 1.0
    come = falling * fluid.about[0].liquid_heat
    was = liquid_temperature(fluid, state.liquid_energy / state.liquid) if state.liquid > 1e-3 else at.t_bub
    new = (held * was + come * at.t_bub + reach * side.sink) / (held + come + reach)
    return reach * (new - side.sink)


@compiled
def drain(
    condenser: Condenser,
    state: CondenserState,
    receiver: Receiver,
    held: ReceiverState,
    at: Saturation,
    falling: float,
    demand: float,
    dt: float,
) -> Drained:
    """Liquid and gas through the drain.

    Parameters
    ----------
    condenser, state, receiver, held, at : Condenser, CondenserState, Receiver, ReceiverState, Saturation
        What it works with.
    falling : float
        Condensate that reaches the bottom. [kg/s]
    demand : float
        What the liquid line drew; it makes room in the receiver. [kg/s]
    dt : float
        Length of the step. [s]
    """
    room, space = gas_room(condenser, state, at.v_liq), vapour_space(receiver, held, at)
    squeeze = dt * at.v_liq * (held.pressure / space + state.pressure / room)
    drop = state.pressure - held.pressure - condenser.check_valve
    hanging = GRAVITY * (condenser.drain_height + condenser.coil_height * state.flooded) / at.v_liq
    opening = min(max((state.pressure - condenser.flood_set) / condenser.flood_band, condenser.flood_least), 1.0)
    resistance = condenser.drain_resistance / (opening * opening)
    able = through(resistance, squeeze, drop + hanging + squeeze * 0.9 * demand)
    ready = max(state.liquid + dt * falling - condenser.holdup * condenser.space / at.v_liq, 0.0) / (10.0 + dt)
    brim = max((BRIM * receiver.space - held.liquid * at.v_liq) / at.v_liq / dt, 0.0)
    blown = 0.0
    if able > ready and drop > 0.0:
        stiff = dt * at.v_gas * (held.pressure / space + state.pressure / room)
        free = (1.0 - ready / able) * through(resistance * at.v_gas / at.v_liq, stiff, drop)
        blown = min(free, 0.1 * state.gas / dt)
    return Drained(min(min(able, ready), brim), blown)


@compiled
def gas_enthalpy(condenser: Condenser, state: CondenserState, at: Saturation) -> float:
    """Of the gas that is blown down the drain: saturated, or as hot as the gas space is [J/kg]."""
    if state.quality <= 1.0:
        return at.h_gas
    space = gas_room(condenser, state, at.v_liq)
    return max(state.gas_energy / state.gas + state.partial * space / state.gas, at.h_gas)


@compiled
def book(clock: Clock, found: Condensing, gas_heat: float, cooled: float, dt: float) -> None:
    """Each joule booked once.

    `gas_heat` [W] is what hot gas gives up before it condenses, `cooled` [W] what the liquid gives up below its bubble point.
    """
    clock.condensed += dt * (found.heat + gas_heat + cooled)
    clock.roof_in += dt * (found.heat + gas_heat)
    clock.roof_out += dt * found.to_air
    clock.heat_out += dt * (found.to_air + cooled)


@compiled
def condenser_step(
    condenser: Condenser,
    state: CondenserState,
    receiver: Receiver,
    held: ReceiverState,
    clock: Clock,
    fluid: Fluid,
    side: AirSide,
    arrived: Discharged,
    to_receiver: float,
    demand: float,
    at: Saturation,
    dt: float,
) -> float:
    """Condense, subcool, drain; the heat that goes into basin water [W].

    Parameters
    ----------
    condenser, state, receiver, held, clock : Condenser, CondenserState, Receiver, ReceiverState, Clock
        What it works on; states are changed in place.
    fluid, side, arrived : Fluid, AirSide, Discharged
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
    arrives = arrived.flow - to_receiver - arrived.back
    carried = arrives * (arrived.enthalpy - at.h_liq) - state.blown * (at.h_gas - at.h_liq)
    found = condense(condenser, state, side, fluid, at, carried, dt)
    gas_heat = 400.0 * max(state.temperature - max(at.t_dew, state.coil), 0.0)
    falling = max(1.0 - state.quality, 0.0) * state.gas / 12.0
    room = (BRIM * condenser.space - state.liquid * at.v_liq) / at.v_liq / dt + state.drained
    falling = max(min(falling, room), 0.0)
    cooled = subcool(condenser, state, side, fluid, falling, at, dt)
    down = drain(condenser, state, receiver, held, at, falling, demand, dt)
    leaving = state.liquid_energy / state.liquid if state.liquid > 1e-6 else at.h_liq
    gas_leaves = gas_enthalpy(condenser, state, at)
    over = state.liquid_energy - state.liquid * at.h_liq
    boiling = max(over, 0.0) / (at.h_gas - at.h_liq) / (dt + 15.0)  # liquid left behind by a falling pressure, or warmed by the day
    state.gas += dt * (arrives - falling - down.gas + boiling)
    state.gas_energy += dt * (arrives * arrived.enthalpy - falling * at.h_liq - down.gas * gas_leaves - found.heat - gas_heat)
    state.gas_energy += dt * boiling * at.h_gas
    state.liquid += dt * (falling - down.liquid - boiling)
    state.liquid_energy += dt * (falling * at.h_liq - down.liquid * leaving - cooled - boiling * at.h_gas)
    held.gas += dt * (down.gas + to_receiver)
    held.gas_energy += dt * (down.gas * gas_leaves + to_receiver * arrived.enthalpy)
    held.liquid += dt * down.liquid
    held.liquid_energy += dt * down.liquid * leaving
    state.drained, state.blown, held.hot_gas = down.liquid, down.gas, to_receiver
    state.coil = found.coil + dt * gas_heat / condenser.metal
    state.air_heat = found.to_air + cooled
    state.air_out = side.air + side.sensible * state.air_heat / (condenser.air_flow * side.airflow * AIR_HEAT)
    book(clock, found, gas_heat, cooled, dt)
    return found.to_water


@compiled
def condenser_pressure(
    condenser: Condenser,
    state: CondenserState,
    line: DischargeLine,
    discharge: DischargeState,
    fluid: Fluid,
    at: Saturation,
    flow: float,
) -> None:
    """Pressure of the condenser from what it holds, and of the discharge header from that and the flow.

    Parameters
    ----------
    condenser, state, line, discharge, fluid : Condenser, CondenserState, DischargeLine, DischargeState, Fluid
        What it works on; states are changed in place.
    at : Saturation
        Properties at the refrigerant's partial pressure of the start.
    flow : float
        Of the compressors. [kg/s]
    """
    space = gas_room(condenser, state, at.v_liq)
    found = closed_volume(fluid, space / state.gas, state.gas_energy / state.gas, state.partial)
    state.partial, state.temperature, state.quality = found.pressure, found.temperature, found.quality
    state.pressure = found.pressure + condenser.noncondensable * NITROGEN * (found.temperature + 273.15) / space
    least = condenser.holdup * condenser.space
    state.flooded = min(max((state.liquid * at.v_liq - least) / (condenser.space - least), 0.0), 0.98)
    discharge.discharge = state.pressure + line.resistance * flow * flow

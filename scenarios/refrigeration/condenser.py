"""Evaporative condenser on the roof: gas space, flooded tubes, coil metal with its water film, basin, spray and fan.

Gas and the condensate that still runs down the tubes are one closed volume (mass, energy); liquid that has reached the bottom is
another and floods tubes when it cannot leave. Flooded tubes condense nothing: they take area from the refrigerant side and from
the air side, and subcool toward the sink instead, which is the wet bulb while the coil is wet.

    inside   q = K (condensing - coil)                        K = (1 - flooded) UA / (1 + UA scale)
    wet      q = m_air (1 - exp(-N f^-0.35)) (h_saturated(coil) - h_air)      enthalpy difference (Merkel)
    dry      q = UA_dry f^0.6 (coil - dry bulb)
    film     water on the tubes: filled by the spray, lost to the air; the wet share follows it
    spray    couples coil and basin; a starved pump sprays thin

f is airflow over rated; with the fan off still air keeps a few percent. Condensing and coil temperature are solved implicitly
together. Source of the forms: ASHRAE Handbook, HVAC Systems and Equipment (2020), ch. 39 (from memory); figures: common practice.
"""

import math
from typing import NamedTuple

from scenarios.compiling.exact import exp, log
from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.air import enthalpy, humidity_from_wet_bulb, rough_saturated
from scenarios.refrigeration.fluid import Fluid, Saturation, liquid_temperature

EVAPORATION = 2430e3
"""Heat that one kilogram of evaporated spray takes away [J/kg]."""
WATER_HEAT = 4186.0
"""Heat capacity of water [J/kg K]."""
SUBCOOLED_HEAT = 1550.0
"""Heat capacity of warm liquid R-448A, for the implicit subcooling only [J/kg K]."""


@record
class Condenser:
    """Design and condition. Faults edit these."""

    space: float = quantity("m3", "inside of the tubes", default=0.30, least=0.01)
    holdup: float = quantity("-", "share of it that liquid always fills", default=0.055, least=0.0, most=0.5)
    inside_ua: float = quantity("W/K", "refrigerant to coil", default=24e3, least=100.0)
    scale: float = quantity("-", "thermal resistance of scale, K/W", default=0.0, least=0.0, most=1e-3)
    nozzles: float = quantity("-", "share of the spray nozzles that spray", default=1.0, least=0.0, most=1.0)
    air_flow: float = quantity("kg/s", "air at full fan speed", default=14.0, least=0.1)
    fan_share: float = quantity("-", "air the fan moves over what it should at its speed", default=1.0, least=0.0, most=1.2)
    still_air: float = quantity("-", "airflow with the fan off over rated", default=0.02, least=0.001, most=0.3)
    wet_units: float = quantity("-", "transfer units of the wet coil at full air", default=1.3, least=0.05)
    dry_ua: float = quantity("W/K", "dry coil to air at full air", default=3350.0, least=10.0)
    metal: float = quantity("J/K", "coil", default=850e3, least=1e4)
    film: float = quantity("kg", "water that wets the whole coil", default=17.0, least=0.1)
    spray: float = quantity("W/K", "heat capacity flow of the spray", default=25e3, least=1.0)
    basin: float = quantity("kg", "water of a full basin", default=420.0, least=10.0)
    float_share: float = quantity("-", "how far the make-up float still opens", default=1.0, least=0.0, most=1.0)
    float_level: float = quantity("-", "level the float holds", default=0.9, least=0.05, most=1.0)
    switch_level: float = quantity("-", "level at which the basin switch opens", default=0.2, least=-1.0, most=1.0)
    makeup: float = quantity("kg/s", "water the open float lets in", default=0.25, least=0.0)
    subcool_ua: float = quantity("W/K", "flooded coil to the sink at full air", default=2900.0, least=0.0)
    drain_height: float = quantity("m", "drain leg", default=3.0, least=0.0)
    coil_height: float = quantity("m", "liquid head when the tubes are full", default=1.5, least=0.0)
    drain_resistance: float = quantity("-", "drain line, Pa s2/kg2", default=6e3, least=10.0)
    check_valve: float = quantity("Pa", "pressure that opens the drain check valve", default=0.3e5, least=0.0)


@record
class CondenserState:
    """What the condenser carries from step to step."""

    gas: float = quantity("kg", "gas and running condensate", default=12.0)
    gas_energy: float = quantity("J", "their energy", default=0.0)
    liquid: float = quantity("kg", "liquid at the bottom and in flooded tubes", default=20.0)
    liquid_energy: float = quantity("J", "its energy", default=0.0)
    coil: float = quantity("C", "coil metal and film", default=26.0)
    water: float = quantity("C", "basin water", default=24.0)
    film: float = quantity("kg", "water on the coil", default=17.0)
    level: float = quantity("-", "basin level over full", default=0.9)
    pressure: float = quantity("Pa", "in the tubes, all gases", default=12e5)
    partial: float = quantity("Pa", "of the refrigerant alone", default=12e5)
    temperature: float = quantity("C", "of the gas space", default=28.0)
    quality: float = quantity("-", "vapour share of the gas space", default=0.7)
    flooded: float = quantity("-", "share of the tubes that is flooded", default=0.0)
    drained: float = quantity("kg/s", "liquid drained in the last step", default=0.3)
    blown: float = quantity("kg/s", "gas that went down the drain", default=0.0)
    fan: float = quantity("-", "fan speed over rated, signed", default=0.0)
    spray: float = quantity("-", "spray over rated", default=0.0)
    air_out: float = quantity("C", "air leaving", default=27.0)
    air_heat: float = quantity("W", "heat given to the air", default=0.0)


class Outdoors(NamedTuple):
    """Weather and what turns on the roof."""

    dry_bulb: float
    wet_bulb: float
    fan: float
    """Fan speed over rated [-]."""
    pump: float
    """Pump speed over rated [-]."""


class Roof(NamedTuple):
    """The air side of one step, as a line in coil temperature."""

    airflow: float
    """Over rated [-]."""
    wet: float
    """Wet share of the coil [-]."""
    sprayed: float
    """Spray over rated [-]."""
    heat: float
    """To the air at the present coil temperature [W]."""
    slope: float
    """[W/K]"""
    evaporating: float
    """Part of the heat that leaves as vapour [W]."""


@compiled
def sprayed(unit: Condenser, state: CondenserState, pump: float) -> float:
    """Spray over rated: a pump that draws air delivers little [-].

    Parameters
    ----------
    unit, state : Condenser, CondenserState
        What it works on; states are changed in place.
    pump : float
        Pump speed over rated. [-]
    """
    drowned = min(max((state.level - 0.06) / 0.10, 0.0), 1.0)
    return max(pump, 0.0) * drowned


@compiled
def roof(unit: Condenser, state: CondenserState, out: Outdoors) -> Roof:
    """Heat from coil to air and how it grows with coil temperature.

    Parameters
    ----------
    unit, state : Condenser, CondenserState
        The condenser.
    out : Outdoors
        Weather, fan and pump.
    """
    flow = max(abs(out.fan) * unit.fan_share, unit.still_air)
    spray = sprayed(unit, state, out.pump)
    wet = min(max(state.film / unit.film, 0.0), 1.0)
    saturated, steep = rough_saturated(state.coil)
    humidity = humidity_from_wet_bulb(out.dry_bulb, out.wet_bulb)
    log_flow = log(flow)
    reach = unit.air_flow * flow * (1.0 - exp(-unit.wet_units * exp(-0.35 * log_flow)))
    dry = unit.dry_ua * exp(0.6 * log_flow)
    tubes = 1.0 - state.flooded
    wet_heat = wet * reach * (saturated - enthalpy(out.dry_bulb, humidity))
    heat = tubes * (wet_heat + (1.0 - wet) * dry * (state.coil - out.dry_bulb))
    slope = tubes * (wet * reach * steep + (1.0 - wet) * dry)
    return Roof(flow, wet, spray, heat, slope, max(tubes * wet_heat, 0.0))


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


@compiled
def condense(unit: Condenser, state: CondenserState, top: Roof, at: Saturation, carried: float, dt: float) -> Condensing:
    """Condensing and coil temperature one step on, together.

    Parameters
    ----------
    unit, state, top : Condenser, CondenserState, Roof
        What it works on; states are changed in place.
    at : Saturation
        Properties at the refrigerant's partial pressure.
    carried : float
        Heat brought in by gas above saturated liquid. [W]
    dt : float
        Length of the step. [s]
    """
    middle = 0.5 * (at.t_bub + at.t_dew)
    inside = (1.0 - state.flooded) * unit.inside_ua / (1.0 + unit.inside_ua * unit.scale)
    if state.coil > middle:  # a warmer coil can only boil the film that is left
        inside *= min(max((1.0 - state.quality) / 0.05, 0.0), 1.0)
    gas = max(unit.space - state.liquid * at.v_liq, 0.03 * unit.space)
    heat = at.h_gas - at.h_liq
    capacity = gas / at.v_gas * 0.026 * heat + 950.0 * state.gas
    own, metal = capacity / dt, unit.metal / dt
    basin = unit.basin * WATER_HEAT / dt
    spray = unit.spray * top.sprayed
    pull = spray * basin / (basin + spray)
    # own (tc - middle) = carried - inside (tc - tx);  metal (tx - coil) = inside (tc - tx) - air - pull (tx - water)
    a = own + inside
    b = metal + inside + top.slope + pull
    right = metal * state.coil - top.heat + top.slope * state.coil + pull * state.water
    coil = (right * a + inside * (own * middle + carried)) / (a * b - inside * inside)
    condensing = (own * middle + carried + inside * coil) / a
    return Condensing(inside * (condensing - coil), coil, top.heat + top.slope * (coil - state.coil), pull * (coil - state.water))


@compiled
def subcool(
    unit: Condenser, state: CondenserState, top: Roof, out: Outdoors, fluid: Fluid, falling: float, at: Saturation, dt: float
) -> float:
    """Heat that the liquid at the bottom gives to the sink [W].

    Parameters
    ----------
    unit, state, top, out, fluid, at : Condenser, CondenserState, Roof, Outdoors, Fluid, Saturation
        What it works on; states are changed in place.
    falling : float
        Condensate that reaches it. [kg/s]
    dt : float
        Length of the step. [s]
    """
    sink = top.wet * out.wet_bulb + (1.0 - top.wet) * out.dry_bulb
    reach = unit.subcool_ua * (state.flooded + 0.06) * math.sqrt(top.airflow) * (0.4 + 0.6 * top.wet)
    held = state.liquid * SUBCOOLED_HEAT / dt + 1.0
    come = falling * SUBCOOLED_HEAT
    was = liquid_temperature(fluid, state.liquid_energy / state.liquid) if state.liquid > 1e-3 else at.t_bub
    new = (held * was + come * at.t_bub + reach * sink) / (held + come + reach)
    return reach * (new - sink)


@compiled
def wet_the_coil(unit: Condenser, state: CondenserState, top: Roof, dt: float) -> None:
    """Water on the coil and in the basin one step on."""
    evaporated = min(top.evaporating / EVAPORATION, state.film / dt)
    wanted = unit.film * min(top.sprayed / 0.6, 1.0) * unit.nozzles
    filled = max(wanted - state.film, 0.0) / (20.0 + dt) if top.sprayed > 0.05 else 0.0
    filled = filled + evaporated * min(top.sprayed * unit.nozzles * 4.0, 1.0)
    state.film = max(state.film + dt * (filled - evaporated), 0.0)
    if state.film > wanted and top.sprayed > 0.05:
        state.film += (wanted - state.film) * dt / (60.0 + dt)
    opens = min(max((unit.float_level - state.level) * 20.0, 0.0), 1.0) * unit.float_share
    state.level = min(max(state.level + dt * (opens * unit.makeup - filled - 0.002 * top.sprayed) / unit.basin, 0.0), 1.0)

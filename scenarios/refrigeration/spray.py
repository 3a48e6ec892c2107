"""Spray of an evaporative condenser: what its coil, wet or dry, gives to air and water; basin, float, pump.

    wet      q = m_air (1 - exp(-N f^-0.35)) (h_saturated(coil) - h_air)      enthalpy difference (Merkel)
    dry      q = UA_dry f^0.6 (coil - dry bulb)
    film     water on the tubes: filled by the spray, lost to the air; the wet share follows it
    spray    couples coil and basin; a starved pump sprays thin

f is airflow over rated; with the fan off still air keeps a few percent. Source of the forms: ASHRAE Handbook, HVAC Systems and
Equipment (2020), ch. 39 (from memory); figures: common practice.
"""

from scenarios.compiling.exact import exp, log
from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.air import enthalpy, humidity_from_wet_bulb, rough_saturated
from scenarios.refrigeration.condenser import AirSide, Condenser, CondenserState, Outdoors

EVAPORATION = 2430e3
"""Heat that one kilogram of evaporated spray takes away [J/kg]."""
WATER_HEAT = 4186.0
"""Heat capacity of water [J/kg K]."""
SENSIBLE = 0.35
"""Share of a wet coil's heat that warms the air; the rest leaves as vapour [-]. Common practice."""


@record
class Spray:
    """Design and condition. Faults edit these."""

    nozzles: float = quantity("-", "share of the spray nozzles that spray", default=1.0, least=0.0, most=1.0)
    wet_units: float = quantity("-", "transfer units of the wet coil at full air", default=1.3, least=0.05)
    film: float = quantity("kg", "water that wets the whole coil", default=17.0, least=0.1)
    spray: float = quantity("W/K", "heat capacity flow of the spray", default=25e3, least=1.0)
    basin: float = quantity("kg", "water of a full basin", default=420.0, least=10.0)
    float_share: float = quantity("-", "how far the make-up float still opens", default=1.0, least=0.0, most=1.0)
    float_level: float = quantity("-", "level the float holds", default=0.9, least=0.05, most=1.0)
    switch_level: float = quantity("-", "level at which the basin switch opens", default=0.2, least=-1.0, most=1.0)
    makeup: float = quantity("kg/s", "water the open float lets in", default=0.25, least=0.0)
    shaft: float = quantity("W", "pump shaft power at rated speed with full spray", default=1750.0, least=0.0)


@record
class SprayState:
    """What it carries from step to step."""

    water: float = quantity("C", "basin water", default=24.0)
    film: float = quantity("kg", "water on the coil", default=17.0)
    level: float = quantity("-", "basin level over full", default=0.9)
    spray: float = quantity("-", "spray over rated", default=0.0)


@compiled
def sprayed(state: SprayState, pump: float) -> float:
    """Spray over rated: a pump that draws air delivers little [-].

    Parameters
    ----------
    state : SprayState
        The basin.
    pump : float
        Pump speed over rated. [-]
    """
    drowned = min(max((state.level - 0.06) / 0.10, 0.0), 1.0)
    return max(pump, 0.0) * drowned


@compiled
def pump_power(spray: Spray, state: SprayState) -> float:
    """Shaft power of the pump at rated speed [W]."""
    return spray.shaft * (0.35 + 0.65 * sprayed(state, 1.0)) * (0.75 + 0.25 * spray.nozzles)


@compiled
def wet_side(
    spray: Spray, water: SprayState, condenser: Condenser, state: CondenserState, out: Outdoors, pump: float, dt: float
) -> AirSide:
    """Heat from a sprayed coil to air and water, and how it grows with coil temperature.

    Parameters
    ----------
    spray, water, condenser, state : Spray, SprayState, Condenser, CondenserState
        The condenser.
    out : Outdoors
        Weather and airflow.
    pump : float
        Pump speed over rated. [-]
    dt : float
        Length of the step. [s]
    """
    flow = max(out.airflow, condenser.still_air)
    strength = sprayed(water, pump)
    wet = min(max(water.film / spray.film, 0.0), 1.0)
    saturated, steep = rough_saturated(state.coil)
    humidity = humidity_from_wet_bulb(out.dry_bulb, out.wet_bulb)
    log_flow = log(flow)
    reach = condenser.air_flow * flow * (1.0 - exp(-spray.wet_units * exp(-0.35 * log_flow)))
    dry = condenser.dry_ua * exp(0.6 * log_flow)
    tubes = 1.0 - state.flooded
    wet_heat = wet * reach * (saturated - enthalpy(out.dry_bulb, humidity))
    heat = tubes * (wet_heat + (1.0 - wet) * dry * (state.coil - out.dry_bulb))
    slope = tubes * (wet * reach * steep + (1.0 - wet) * dry)
    basin, flows = spray.basin * WATER_HEAT / dt, spray.spray * strength
    pull = flows * basin / (basin + flows)
    sink, touch = wet * out.wet_bulb + (1.0 - wet) * out.dry_bulb, 0.4 + 0.6 * wet
    return AirSide(
        flow, out.dry_bulb, heat, slope, sink, touch, SENSIBLE, pull, water.water, wet, strength, max(tubes * wet_heat, 0.0)
    )


@compiled
def wet_the_coil(spray: Spray, state: SprayState, side: AirSide, to_water: float, dt: float) -> None:
    """Water on the coil and in the basin one step of `dt` [s] on; the spray brings it `to_water` [W]."""
    state.water += dt * to_water / (spray.basin * WATER_HEAT)
    state.spray = side.sprayed
    evaporated = min(side.evaporating / EVAPORATION, state.film / dt)
    wanted = spray.film * min(side.sprayed / 0.6, 1.0) * spray.nozzles
    filled = max(wanted - state.film, 0.0) / (20.0 + dt) if side.sprayed > 0.05 else 0.0
    filled = filled + evaporated * min(side.sprayed * spray.nozzles * 4.0, 1.0)
    state.film = max(state.film + dt * (filled - evaporated), 0.0)
    if state.film > wanted and side.sprayed > 0.05:
        state.film += (wanted - state.film) * dt / (60.0 + dt)
    opens = min(max((spray.float_level - state.level) * 20.0, 0.0), 1.0) * spray.float_share
    state.level = min(max(state.level + dt * (opens * spray.makeup - filled - 0.002 * side.sprayed) / spray.basin, 0.0), 1.0)

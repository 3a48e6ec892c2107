"""One refrigerated circuit: liquid branch, solenoid, expansion valve, coil, case air, product and frost.

The coil holds liquid (mass, energy). The valve opens with the superheat its bulb feels; the wetted share of the coil boils, the
rest warms the vapour, so superheat is an outcome. Two linear implicit solves keep a 5 s step stable: {liquid, bulb} in `feed`, and
suction pressure with the air of all cases between `balance` and `evaporate`. All circuits are taken through each of look, reach,
feed, balance, evaporate, settle before the next: a processor works on several at a time if each is done in few instructions.

    feed    = area open √(2 density (p_branch - p_coil))       open = (bulb - dew - set) / 6 K, held between least and most
    boiling = C_air (1 - exp(-UA wetted / C_air)) (air - t)     C_air falls with frost, blocked grille, dead fans
    vapour  = energy in the liquid above saturated liquid / heat of vaporisation
    case    C dT/dt = leaking-in + lights + fans + product - boiling - superheating - melting

Two air temperatures belong to one mean: air off the coil and air back to it, apart by heat over airflow. Moisture freezes on
the coil while it is cold and melts while it is fed nothing and the air is above 0 C. Coefficients: common practice, no source.
"""

import math
from typing import NamedTuple

from scenarios.compiling.exact import exp
from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record, row
from scenarios.refrigeration.fluid import Saturation, rise, saturation
from scenarios.refrigeration.plant import PlaceAir
from scenarios.refrigeration.refrigerants import Fluid

GRAVITY = 9.80665
"""[m/s2]"""
MELTING, VAPORISING = 334e3, 2501e3
"""Heat of water [J/kg]."""
VALVE_GAIN = 1.0 / 6.0
"""Opening of an expansion valve per kelvin of superheat above its setting [1/K]."""
STILL = 0.05
"""Airflow of a case whose fans stand, over rated [-]."""
ON_ICE = 0.3
"""Ice that takes half of what a defrost heater gives; the rest warms the case [kg]. Common practice, no source."""
SKIN = 0.15
"""Share of the product that counts as its surface [-]."""


@record
class Circuit:
    """One case or walk-in: its design and its condition. Faults edit these."""

    valve_area: float = quantity("m2", "expansion valve, fully open", default=2.5e-6, least=1e-7, most=1e-4)
    valve_share: float = quantity(
        "-", "share of that area that passes: below 1 underfeeds, above 1 overfeeds", default=1.0, least=0.0, most=5.0
    )
    valve_set: float = quantity("K", "superheat at which the valve begins to open", default=3.2, least=-20.0, most=20.0)
    valve_least: float = quantity("-", "opening it cannot go below", default=0.03, least=0.0, most=1.0)
    valve_most: float = quantity("-", "opening it cannot go above", default=1.0, least=0.0, most=1.0)
    bulb_lag: float = quantity("s", "lag of the bulb", default=30.0, least=5.0)
    solenoid_stuck_shut: bool = quantity("-", "the liquid solenoid stays shut whatever its coil does", default=False)
    solenoid_stuck_open: bool = quantity("-", "the liquid solenoid stays open whatever its coil does", default=False)
    height: float = quantity("m", "branch above the motor room", default=4.0, least=-5.0, most=20.0)
    branch_resistance: float = quantity("Pa s2/kg2", "pressure lost in the branch over flow squared", default=1.5e6, least=0.0)
    suction_drop: float = quantity("K", "dew lost in its suction line at full feed", default=0.8, least=0.0, most=5.0)
    coil_ua: float = quantity("W/K", "air to boiling refrigerant", default=1300.0, least=1.0)
    dry_ua: float = quantity("W/K", "air to vapour if the whole coil were dry", default=600.0, least=1.0)
    coil_full: float = quantity("kg", "liquid that wets the whole coil", default=3.3, least=0.1)
    airflow: float = quantity("W/K", "heat capacity flow of the case air", default=1600.0, least=1.0)
    fans: float = quantity("-", "share of the evaporator fans that turn", default=1.0, least=0.0, most=1.0)
    blocked: float = quantity("-", "share of the return grille that product covers", default=0.0, least=0.0, most=0.95)
    fan_heat: float = quantity("W", "heat of the fans", default=250.0, least=0.0)
    lights: float = quantity("W", "lights and rail heaters", default=700.0, least=0.0)
    infiltration: float = quantity("W/K", "store air that falls in, wide open", default=430.0, least=0.0)
    curtain_share: float = quantity(
        "-", "share of it that is left with curtain down or door shut", default=0.72, least=0.0, most=1.0
    )
    ajar: float = quantity("-", "door or curtain cannot shut: 0 shuts, 1 stays wide open", default=0.0, least=0.0, most=1.0)
    moisture: float = quantity("kg/s", "air exchanged, for its water, wide open", default=0.09, least=0.0)
    air_capacity: float = quantity("J/K", "air, steel and coil", default=220e3, least=1e3)
    product_capacity: float = quantity("J/K", "product", default=5e6, least=1e4)
    product_ua: float = quantity("W/K", "air to product surface", default=420.0, least=1.0)
    core_ua: float = quantity("W/K", "product surface to core", default=220.0, least=1.0)
    frost_half: float = quantity("kg", "frost that halves the airflow", default=9.0, least=0.1)
    drain_blocked: float = quantity(
        "-", "share of the ice that cannot melt away because the drain is frozen", default=0.0, least=0.0, most=1.0
    )
    place: int = row("place whose air falls in", default=0)


@record
class DefrostHeater:
    """Electric heater of a coil: it melts ice while its case is in defrost. Faults edit these."""

    watts: float = quantity("W", "its elements", default=2500.0, least=0.0, most=50e3)
    share: float = quantity("-", "share of them that heats", default=1.0, least=0.0, most=1.0)
    coil_ua: float = quantity("W/K", "heated coil to still air, for the sensor that ends the defrost", default=120.0, least=1.0)
    circuit: int = row("its circuit", default=0)


@record
class CircuitState:
    """What one circuit carries from step to step."""

    liquid: float = quantity("kg", "refrigerant in the coil", default=2.0)
    energy: float = quantity("J", "its energy", default=0.0)
    bulb: float = quantity("C", "valve bulb", default=0.0)
    air: float = quantity("C", "case air, mean of off and return", default=2.0)
    surface: float = quantity("C", "product surface", default=2.0)
    core: float = quantity("C", "product core", default=2.0)
    frost: float = quantity("kg", "ice on the coil", default=0.5)
    outlet: float = quantity("C", "suction line at the case outlet", default=2.0)
    flow: float = quantity("kg/s", "feed of the last step", default=0.03)
    vapour: float = quantity("kg/s", "vapour made in the last step", default=0.03)


@record
class CircuitStep:
    """What happens in one circuit during one step; nothing here is carried on."""

    open: bool = quantity("-", "liquid is let in", default=False)
    full: float = quantity("kg/s", "what the valve would pass wide open", default=0.0)
    feed: float = quantity("kg/s", "through the valve", default=0.0)
    stirred: float = quantity("-", "what the airflow as it is now leaves of heat transfer", default=1.0)
    units: float = quantity("-", "transfer units of the coil wet all over, on the side of the air", default=0.8)
    share: float = quantity("-", "share of the air's warmth over boiling that the wet part leaves", default=0.5)
    dry_units: float = quantity("-", "transfer units of the coil dry all over, on the side of the vapour", default=20.0)
    lacks: float = quantity("K", "what the vapour off the coil stays below the air", default=0.0)
    wetted: float = quantity("-", "share of the coil that boils", default=0.0)
    follows: float = quantity("-", "share of the way to the vapour around it that the bulb goes", default=0.0)
    gain: float = quantity("W/K", "air to boiling refrigerant, effectiveness included", default=0.0)
    cold: float = quantity("C", "boiling temperature at the start", default=-8.0)
    dew: float = quantity("C", "dew at the coil: at the start, then at the end", default=-6.0)
    alone: float = quantity("C", "air at the end if pressure does not change", default=2.0)
    drags: float = quantity("-", "and how far it goes with dew", default=0.0)
    air: float = quantity("C", "air at the end but for the heat that superheats", default=2.0)
    off: float = quantity("C", "vapour off the coil", default=0.0)
    warmth: float = quantity("W", "heat into the air at 0 C of air", default=0.0)
    loss: float = quantity("W/K", "and how it falls with air temperature", default=0.0)
    touch: float = quantity("W/K", "air to product surface as it is now", default=400.0)
    latent: float = quantity("W", "heat of freezing moisture", default=0.0)
    water: float = quantity("kg/s", "moisture frozen", default=0.0)
    melt: float = quantity("W", "heat that melts ice", default=0.0)
    boil: float = quantity("W", "heat boiled off", default=0.0)
    dry: float = quantity("W", "heat that superheats", default=0.0)
    carry: float = quantity("kg/s", "liquid carried out", default=0.0)
    draught: float = quantity("W/K", "airflow as it is now", default=1700.0)
    made: float = quantity("kg/s", "vapour made", default=0.0)
    made_slope: float = quantity("kg/(s K)", "vapour made less per kelvin of dew", default=0.0)
    heater: float = quantity("W", "electric defrost", default=0.0)
    heater_lift: float = quantity("K", "how far it warms the bare coil over its air", default=0.0)


class Around(NamedTuple):
    """What all circuits share in a step."""

    head: float
    """Pressure at the liquid header [Pa]."""
    enthalpy: float
    """Of what the liquid line holds [J/kg]."""
    density: float
    """Of what the liquid line holds, mass over volume [kg/m3]."""
    most_feed: float
    """No branch may draw more [kg/s]."""
    coil_humidity: float
    """Water that air keeps at a cold coil [kg/kg]."""


@compiled
def stirring(circuit: Circuit, frost: float) -> float:
    """Airflow of the case over that of a clean one; still air keeps a twentieth [-].

    Parameters
    ----------
    circuit : Circuit
        Fans and grille.
    frost : float
        Ice on the coil. [kg]
    """
    ice = frost / circuit.frost_half
    return max(circuit.fans * (1.0 - circuit.blocked) / (1.0 + ice * ice), STILL)


@compiled
def opening(circuit: Circuit, superheat: float) -> float:
    """How far the expansion valve opens at the `superheat` [K] that its bulb feels [-]."""
    return min(max(VALVE_GAIN * (superheat - circuit.valve_set), circuit.valve_least), circuit.valve_most)


@compiled
def dry_units(circuit: Circuit, fluid: Fluid, flow: float) -> float:
    """Transfer units by which air would warm the vapour, `flow` [kg/s] of it, if the whole coil were dry [-]."""
    return circuit.dry_ua / (fluid.about[0].gas_heat * max(flow, 0.004))


@compiled
def through_valve(circuit: Circuit, state: CircuitState, around: Around, fluid: Fluid, at: Saturation) -> float:
    """What the valve would pass if it were wide open [kg/s]."""
    branch = around.head - GRAVITY / at.v_liq * circuit.height - circuit.branch_resistance * state.flow * state.flow
    here = saturation(fluid, branch)
    heat = here.h_gas - here.h_liq
    flash = min(max(around.enthalpy - here.h_liq, 0.0), heat)  # what of it is free to make vapour before the valve
    density = min(heat / (heat * here.v_liq + flash * (here.v_gas - here.v_liq)), around.density)
    full = circuit.valve_area * circuit.valve_share * math.sqrt(2.0 * density * max(branch - at.pressure, 0.0))
    return min(full, around.most_feed)


@compiled
def reach(circuit: Circuit, state: CircuitState, now: CircuitStep, fluid: Fluid) -> None:
    """How near air comes to boiling refrigerant in the wet part of the coil, and vapour to air in the dry part."""
    wetted = min(state.liquid / circuit.coil_full, 1.0)
    now.share = exp(-now.units * wetted)
    now.dry_units = dry_units(circuit, fluid, state.vapour)
    now.lacks = max(state.air - now.dew, 0.0) * exp(-now.dry_units * (1.0 - wetted))


@compiled
def feed(circuit: Circuit, state: CircuitState, now: CircuitStep, around: Around, at: Saturation, dt: float) -> None:
    """Valve, bulb and liquid of one coil, implicitly together; fills `feed`, `wetted`, `follows`.

    Parameters
    ----------
    circuit, state, now, around, at : Circuit, CircuitState, CircuitStep, Around, Saturation
        What it works on; `at` the suction pressure of the start.
    dt : float
        Length of the step. [s]
    """
    per_heat, per_full = 1.0 / (at.h_gas - at.h_liq), 1.0 / circuit.coil_full
    over, left = state.air - now.cold, max(state.air - now.dew, 0.0)
    flow0 = now.full * opening(circuit, state.bulb - now.dew)
    boiling = (now.draught * (1.0 - now.share) * over + flow0 * (around.enthalpy - at.h_liq)) * per_heat
    per_kg = circuit.coil_ua * now.share * max(over, 0.0) * per_heat * per_full if state.liquid < circuit.coil_full else 0.0
    out_per_kg = -now.lacks * now.dry_units * per_full
    now.follows = dt / (circuit.bulb_lag + dt)
    gain = now.full * VALVE_GAIN * now.follows
    off = now.dew + left - now.lacks - state.bulb
    more = dt * (flow0 - boiling + gain * off) / (1.0 + dt * (per_kg - gain * out_per_kg))
    bulb = state.bulb + now.follows * (off + out_per_kg * more)
    now.feed = now.full * opening(circuit, bulb - now.dew)
    now.wetted = min(max((state.liquid + more) * per_full, 0.0), 1.0)


@compiled
def frost_and_thaw(
    circuit: Circuit, state: CircuitState, now: CircuitStep, around: Around, humidity: float, share: float, dt: float
) -> None:
    """Moisture freezes on a cold coil, ice melts on one that is fed nothing, by its air and by an electric heater.

    `humidity` [kg/kg] is that of the store's air, `share` [-] how much of the most that can be exchanged the case exchanges.
    """
    damp = max(circuit.moisture * share * (humidity - around.coil_humidity), 0.0)
    now.water = damp * min(now.wetted * 2.0, 1.0)
    now.latent = now.water * (VAPORISING + MELTING)
    now.melt = 0.0
    if now.wetted < 0.02:
        thaw = (1.0 - circuit.drain_blocked) * max(state.air, 0.0) * 1200.0 * state.frost / (state.frost + 1.0)
        if now.heater > 0.0:
            thaw += (1.0 - circuit.drain_blocked) * now.heater * state.frost / (state.frost + ON_ICE)
        now.melt = min(thaw, 0.5 * state.frost * MELTING / dt)


@compiled
def look(circuit: Circuit, state: CircuitState, now: CircuitStep, around: Around, fluid: Fluid, at: Saturation) -> None:
    """What one circuit finds at the start: boiling temperature, airflow, and what its valve could pass."""
    now.dew = at.t_dew + circuit.suction_drop * min(state.vapour * state.vapour * 400.0, 3.0)
    now.cold = now.dew - fluid.about[0].boils_below_dew * (at.t_dew - at.t_bub)
    airflow = stirring(circuit, state.frost) if now.heater == 0.0 else STILL  # its fans stand while a heater defrosts
    now.stirred = math.sqrt(airflow)
    now.draught = circuit.airflow * airflow
    now.units = circuit.coil_ua / now.draught
    now.full = through_valve(circuit, state, around, fluid, at) if now.open else 0.0


@compiled
def balance(
    circuit: Circuit,
    state: CircuitState,
    now: CircuitStep,
    around: Around,
    store: PlaceAir,
    fluid: Fluid,
    at: Saturation,
    open_front: float,
    dt: float,
) -> None:
    """Everything of one circuit before suction pressure is known: feed, air balance, and vapour made as a line in dew.

    `store` is the air round the case; `open_front` [-] is 0 with the curtain down or the door shut, 1 wide open; `dt` [s] the step.
    """
    now.touch = circuit.product_ua * now.stirred
    front = circuit.curtain_share + (1.0 - circuit.curtain_share) * max(open_front, circuit.ajar)
    frost_and_thaw(circuit, state, now, around, store.humidity, front * now.stirred, dt)
    leak, rate = circuit.infiltration * front, 1.0 / dt
    fans = 0.0 if now.heater > 0.0 else circuit.fans
    now.warmth = leak * store.temperature + circuit.lights + circuit.fan_heat * fans + now.touch * state.surface - now.melt
    now.warmth += now.heater
    now.loss = leak + now.touch
    now.gain = now.draught * (1.0 - exp(-now.units * now.stirred * now.wetted))
    inertia = circuit.air_capacity * rate
    per_stiff = 1.0 / (inertia + now.loss + now.gain)
    now.alone = (inertia * state.air + now.warmth + now.gain * now.cold) * per_stiff
    now.drags = now.gain * per_stiff
    free, slope = now.gain * (now.alone - now.cold), now.gain * (1.0 - now.drags)
    per_heat, liquid = 1.0 / (at.h_gas - at.h_liq), state.liquid + dt * now.feed
    surplus = state.energy - state.liquid * at.h_liq + dt * (now.feed * (around.enthalpy - at.h_liq) + free + now.latent)
    now.made = surplus * per_heat * rate
    now.made_slope = (slope + liquid * fluid.about[0].liquid_slope * rate) * per_heat


@compiled
def evaporate(
    circuit: Circuit,
    state: CircuitState,
    now: CircuitStep,
    around: Around,
    fluid: Fluid,
    at: Saturation,
    higher: float,
    dt: float,
) -> float:
    """Boil, warm the vapour and the case's air by one step; enthalpy flow into the suction line [W].

    Parameters
    ----------
    circuit, state, now, around, fluid : Circuit, CircuitState, CircuitStep, Around, Fluid
        What it works on; states are changed in place.
    at : Saturation
        Properties at the suction pressure of this step's end.
    higher : float
        How far dew has moved in the step. [K]
    dt : float
        Length of the step. [s]
    """
    now.dew, now.air = now.dew + higher, now.alone + now.drags * higher
    now.boil = now.gain * (now.air - now.cold - higher)
    mass = state.liquid + dt * now.feed
    energy = state.energy + dt * (now.feed * around.enthalpy + now.boil + now.latent)
    flashed = (energy - mass * at.h_liq) * (1.0 / (at.h_gas - at.h_liq))
    vapour = min(max(flashed, 0.0), mass)
    leaves = at.h_gas
    if flashed >= mass and mass > 0.0:  # boiled dry within the step: all of it goes, with the energy it has
        vapour, leaves = mass, energy / mass
    now.made = vapour * (1.0 / dt)
    now.carry = max(mass - vapour - circuit.coil_full, 0.0) * (1.0 / (10.0 + dt))
    state.liquid = max(mass - vapour - dt * now.carry, 0.0)
    state.energy = energy - vapour * leaves - dt * now.carry * at.h_liq
    left = max(now.air - now.dew, 0.0)
    warmer = left - left * exp(-dry_units(circuit, fluid, now.made) * (1.0 - now.wetted))
    now.off = now.dew + warmer
    now.dry = min(now.made * rise(at, warmer), 0.2 * left * circuit.air_capacity * (1.0 / dt))
    state.flow, state.vapour = now.feed, now.made
    return now.made * leaves + now.dry + now.carry * at.h_liq


@compiled
def settle(circuit: Circuit, state: CircuitState, now: CircuitStep, dt: float) -> float:
    """Move air, product, ice, bulb and suction line of one circuit by a step; heat that came into the case [W].

    It came from the store, lights, fans and moisture. `dt` [s] is the step.
    """
    state.air = now.air - now.dry * (dt / circuit.air_capacity)
    state.bulb += now.follows * (now.off - state.bulb)
    still, flow = (state.air - state.outlet) * (dt / (600.0 + dt)), now.made + now.carry
    state.outlet += (now.off - state.outlet) * (dt * flow / (0.8 + dt * flow)) + still / (1.0 + 400.0 * flow)
    state.outlet = max(state.outlet, now.dew)  # vapour condenses on a pipe that is colder
    taken = now.touch * (state.surface - now.air)
    inside = circuit.core_ua * (state.core - state.surface)
    per_product = dt / circuit.product_capacity
    state.surface += per_product * (1.0 / SKIN) * (inside - taken)
    state.core -= per_product * (1.0 / (1.0 - SKIN)) * inside
    state.frost = max(state.frost + dt * (now.water - now.melt * (1.0 / MELTING)), 0.0)
    return now.warmth - now.loss * now.air + now.melt - taken + now.water * VAPORISING

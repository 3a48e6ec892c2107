"""Liquid line of a rack: from the receiver past drier and glass to the header of all circuits, and the charge.

    header   p = p_receiver + static - K m²       K grows with a plugged drier; solved in closed form with the valves
    line     holds (mass, energy); where it is warmer than its boiling point it flashes, and its density falls

Figures: common practice, no source.
"""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.circuit import GRAVITY
from scenarios.refrigeration.fluid import Saturation, liquid_temperature, saturation
from scenarios.refrigeration.plant import Clock
from scenarios.refrigeration.receiver import Receiver, ReceiverState, outlet, settle
from scenarios.refrigeration.refrigerants import Fluid

REFILL = 60.0
"""Time in which the liquid line fills up again [s]."""


@record
class LiquidLine:
    """Pipe, drier and charge. Faults edit these."""

    space: float = quantity("m3", "liquid line to the cases", default=0.040, least=1e-3)
    static: float = quantity("m", "receiver outlet above the header", default=1.2)
    resistance: float = quantity("Pa s2/kg2", "liquid header, clean drier", default=2.0e4, least=0.0)
    drier: float = quantity("-", "resistance of the drier over clean", default=1.0, least=0.0, most=1e4)
    ua: float = quantity("W/K", "liquid line to the store", default=25.0, least=0.0)
    extra_charge: float = quantity("kg", "refrigerant added, or lost where negative", default=0.0, least=-500.0, most=500.0)
    charge_rate: float = quantity("kg/s", "how fast it comes or goes", default=0.02, least=1e-5, most=1.0)


@record
class LiquidState:
    """What the liquid line carries from step to step."""

    liquid: float = quantity("kg", "in the liquid line", default=40.0)
    liquid_energy: float = quantity("J", "its energy", default=0.0)
    demand: float = quantity("kg/s", "what the valves drew", default=0.35)
    head: float = quantity("Pa", "pressure over the valves", default=8e5)
    header: float = quantity("Pa", "pressure at the liquid header", default=12e5)
    before: float = quantity("Pa", "pressure before the drier", default=12e5)
    flash: float = quantity("-", "vapour share at the glass", default=0.0)
    charged: float = quantity("kg", "refrigerant added so far", default=0.0)
    total: float = quantity("kg", "charge of the rack", default=0.0)


class LiquidHeader(NamedTuple):
    """What the branches see."""

    pressure: float
    enthalpy: float
    density: float
    most: float
    """Most one branch may draw [kg/s]."""
    wanted_density: float
    """Density the whole line would have if full [kg/m3]."""


@compiled
def liquid_header(
    line: LiquidLine,
    state: LiquidState,
    fluid: Fluid,
    receiver: float,
    liquid_volume: float,
    suction: float,
    branches: int,
    dt: float,
) -> LiquidHeader:
    """Pressure and content of the liquid header; drier and valves share the drop in closed form.

    Parameters
    ----------
    line, state, fluid : LiquidLine, LiquidState, Fluid
        What it works on; states are changed in place.
    receiver, suction : float
        Pressure in the receiver, and behind the valves. [Pa]
    liquid_volume : float
        Of the receiver's liquid. [m3/kg]
    branches : int
        How many branches share the header. [-]
    dt : float
        Length of the step. [s]
    """
    static = GRAVITY * line.static / liquid_volume
    resistance = line.resistance * (0.7 + 0.3 * line.drier)
    over = max(receiver + static - suction, 0.0)
    passes = state.demand * state.demand / max(state.head, 1e4)
    squared = passes * over / (1.0 + passes * resistance)
    state.before = receiver + static - 0.7 * line.resistance * squared
    state.header = receiver + static - resistance * squared
    state.head = max(state.header - suction, 0.0)
    here = saturation(fluid, state.header)
    enthalpy = state.liquid_energy / state.liquid if state.liquid > 1e-6 else here.h_liq
    state.flash = min(max((enthalpy - here.h_liq) / (here.h_gas - here.h_liq), 0.0), 1.0)
    full = 1.0 / (here.v_liq + state.flash * (here.v_gas - here.v_liq))
    held = state.liquid / (0.93 * line.space)  # a few percent short of full still feeds solid liquid
    return LiquidHeader(state.header, enthalpy, held, 0.5 * state.liquid / (branches * dt), full)


@compiled
def liquid_line(
    line: LiquidLine,
    state: LiquidState,
    receiver: Receiver,
    held: ReceiverState,
    clock: Clock,
    fluid: Fluid,
    header: LiquidHeader,
    drained: float,
    drawn: float,
    at: Saturation,
    room: float,
    store: float,
    dt: float,
) -> None:
    """Receiver to liquid line to valves; charge that is added or lost; what settles in the receiver.

    Parameters
    ----------
    line, state, receiver, held, clock, fluid, header : LiquidLine, LiquidState, Receiver, ReceiverState, Clock, Fluid, LiquidHeader
        What it works on; states are changed in place.
    drained : float
        Liquid from the condenser. [kg/s]
    drawn : float
        Liquid into all coils. [kg/s]
    at : Saturation
        Properties at receiver pressure.
    room, store : float
        Air round the receiver, and round the line. [C]
    dt : float
        Length of the step. [s]
    """
    wanted = max(drawn + (line.space * header.wanted_density - state.liquid) / REFILL, 0.0)
    leaves = outlet(held, wanted, drained, dt)
    warm = held.liquid_energy / held.liquid if held.liquid > 1e-6 else at.h_liq
    gain = line.ua * (store - liquid_temperature(fluid, header.enthalpy)) * min(state.liquid / 5.0, 1.0)
    state.liquid += dt * (leaves.liquid + leaves.vapour - drawn)
    state.liquid_energy += dt * (leaves.liquid * warm + leaves.vapour * at.h_gas - drawn * header.enthalpy + gain)
    held.liquid -= dt * leaves.liquid
    held.liquid_energy -= dt * leaves.liquid * warm
    held.gas -= dt * leaves.vapour
    held.gas_energy -= dt * leaves.vapour * at.h_gas
    move = min(max((line.extra_charge - state.charged) / dt, -line.charge_rate), line.charge_rate)
    if move < 0.0:
        move = max(move, -0.3 * max(held.liquid, 0.0) / dt)
    held.liquid += dt * move
    held.liquid_energy += dt * move * warm
    state.charged += dt * move
    state.total += dt * move
    state.demand = drawn
    heat = settle(receiver, held, fluid, at, room, dt)
    clock.charge_heat += dt * move * warm
    clock.line_heat += dt * gain
    clock.heat_in += dt * (gain + heat.from_room)
    clock.steel_to_gas += dt * heat.from_steel

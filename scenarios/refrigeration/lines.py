"""Pipes and headers of a rack: liquid line and drier, suction header, discharge pipe.

    header   p = p_receiver + static - K m²       K grows with a plugged drier; solved in closed form with the valves
    line     holds (mass, energy); where it is warmer than its boiling point it flashes, and its density falls
    suction  dM/dt = vapour made - compressors     solved implicitly for the move of dew within the step
    gas      steel of the discharge pipe takes heat from the gas and loses it to the room

Figures: common practice, no source.
"""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.circuit import GRAVITY
from scenarios.refrigeration.fluid import Fluid, Saturation, saturation, superheat

MOST_MOVE = 6.0
"""Most kelvin that dew moves in one step [K]."""


@record
class Lines:
    """Pipes, drier, charge and room. Faults edit these."""

    liquid_space: float = quantity("m3", "liquid line to the cases", default=0.040, least=1e-3)
    liquid_static: float = quantity("m", "receiver outlet above the header", default=1.2)
    liquid_resistance: float = quantity("-", "liquid header, clean drier, Pa s2/kg2", default=2.0e4, least=0.0)
    drier: float = quantity("-", "resistance of the drier over clean", default=1.0, least=0.0, most=1e4)
    liquid_ua: float = quantity("W/K", "liquid line to the store", default=25.0, least=0.0)
    suction_space: float = quantity("m3", "suction lines and vapour part of the coils", default=0.55, least=0.01)
    suction_ua: float = quantity("W/K", "suction line to its surroundings", default=110.0, least=0.0)
    gas_resistance: float = quantity("-", "discharge line, Pa s2/kg2", default=8e4, least=0.0)
    gas_steel: float = quantity("J/K", "discharge line steel", default=45e3, least=1e3)
    gas_ua: float = quantity("W/K", "discharge line to the room", default=20.0, least=0.0)
    room: float = quantity("C", "motor room", default=24.0)
    store: float = quantity("C", "store air", default=22.0)
    store_humidity: float = quantity("kg/kg", "water in store air", default=0.0082, least=0.0)
    noncondensable: float = quantity("kg", "air or nitrogen in the condenser", default=0.0, least=0.0, most=3.0)
    extra_charge: float = quantity("kg", "refrigerant added, or lost where negative", default=0.0, least=-500.0, most=500.0)
    charge_rate: float = quantity("kg/s", "how fast it comes or goes", default=0.02, least=1e-5, most=1.0)


@record
class LinesState:
    """What the pipes carry from step to step."""

    liquid: float = quantity("kg", "in the liquid line", default=40.0)
    liquid_energy: float = quantity("J", "its energy", default=0.0)
    demand: float = quantity("kg/s", "what the valves drew", default=0.35)
    head: float = quantity("Pa", "pressure over the valves", default=8e5)
    header: float = quantity("Pa", "pressure at the liquid header", default=12e5)
    before: float = quantity("Pa", "pressure before the drier", default=12e5)
    flash: float = quantity("-", "vapour share at the glass", default=0.0)
    suction: float = quantity("kg", "in the suction lines", default=9.0)
    suction_energy: float = quantity("J", "its energy", default=0.0)
    pressure: float = quantity("Pa", "suction header", default=4.2e5)
    temperature: float = quantity("C", "suction gas", default=5.0)
    quality: float = quantity("-", "its vapour share, above 1 superheated", default=1.05)
    enthalpy: float = quantity("J/kg", "suction gas", default=410e3)
    discharge: float = quantity("Pa", "discharge header", default=12.2e5)
    gas_steel: float = quantity("C", "discharge line", default=50.0)
    gas_enthalpy: float = quantity("J/kg", "of the gas that reaches the roof", default=440e3)
    gas_out: float = quantity("C", "temperature of it", default=45.0)
    pumped: float = quantity("kg/s", "compressors together", default=0.35)
    charged: float = quantity("kg", "refrigerant added so far", default=0.0)
    total: float = quantity("kg", "charge of the plant", default=0.0)


DEW_STEEPNESS = 0.034
"""d ln p / d dew of R-448A near -7 C; only steers the implicit solve [1/K]."""


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
    lines: Lines, state: LinesState, fluid: Fluid, receiver: float, liquid_volume: float, branches: int, dt: float
) -> LiquidHeader:
    """Pressure and content of the liquid header; drier and valves share the drop in closed form.

    Parameters
    ----------
    lines, state, fluid : Lines, LinesState, Fluid
        What it works on; states are changed in place.
    receiver : float
        Receiver pressure. [Pa]
    liquid_volume : float
        Of the receiver's liquid. [m3/kg]
    branches : int
        How many branches share the header. [-]
    dt : float
        Length of the step. [s]
    """
    static = GRAVITY * lines.liquid_static / liquid_volume
    resistance = lines.liquid_resistance * (0.7 + 0.3 * lines.drier)
    over = max(receiver + static - state.pressure, 0.0)
    passes = state.demand * state.demand / max(state.head, 1e4)
    squared = passes * over / (1.0 + passes * resistance)
    state.before = receiver + static - 0.7 * lines.liquid_resistance * squared
    state.header = receiver + static - resistance * squared
    state.head = max(state.header - state.pressure, 0.0)
    enthalpy = state.liquid_energy / state.liquid if state.liquid > 1e-6 else 230e3
    here = saturation(fluid, state.header)
    state.flash = min(max((enthalpy - here.h_liq) / (here.h_gas - here.h_liq), 0.0), 1.0)
    full = 1.0 / (here.v_liq + state.flash * (here.v_gas - here.v_liq))
    held = state.liquid / (0.93 * lines.liquid_space)  # a few percent short of full still feeds solid liquid
    return LiquidHeader(state.header, enthalpy, held, 0.5 * state.liquid / (branches * dt), full)


@compiled
def suction_move(
    made: float, made_slope: float, pumped: float, lines: Lines, state: LinesState, at: Saturation, dt: float
) -> float:
    """How far dew moves within the step so that vapour made, moved and stored agree [K].

    Parameters
    ----------
    lines, state, at : Lines, LinesState, Saturation
        What it works on; states are changed in place.
    made, made_slope : float
        Vapour of all coils, and how it falls per kelvin. [kg/s]
    pumped : float
        Compressors at the present suction. [kg/s]
    dt : float
        Length of the step. [s]
    """
    stored = lines.suction_space / at.v_gas * DEW_STEEPNESS / dt
    move = (made - pumped) / (made_slope + 1.06 * pumped * DEW_STEEPNESS + stored)
    return min(max(move, -MOST_MOVE), MOST_MOVE)


class Gas(NamedTuple):
    """Discharge gas after its pipe."""

    enthalpy: float
    to_room: float
    """Heat the pipe loses [W]."""
    to_steel: float
    """Heat the gas gives to the pipe [W]."""


@compiled
def discharge_pipe(lines: Lines, state: LinesState, at: Saturation, flow: float, enthalpy: float, dt: float) -> Gas:
    """Gas through the pipe steel: the steel follows it with a lag.

    Parameters
    ----------
    lines, state : Lines, LinesState
        What it works on; states are changed in place.
    at : Saturation
        Properties at discharge.
    flow : float
        Of the gas. [kg/s]
    enthalpy : float
        At the compressors. [J/kg]
    dt : float
        Length of the step. [s]
    """
    hot = at.t_dew + superheat(at, enthalpy)
    exchanged = min(600.0 * flow, 0.2 * lines.gas_steel / dt) * (hot - state.gas_steel) if flow > 1e-9 else 0.0
    lost = lines.gas_ua * (state.gas_steel - lines.room)
    state.gas_steel += dt * (exchanged - lost) / lines.gas_steel
    reaches = enthalpy - exchanged / max(flow, 1e-9)
    state.gas_enthalpy = reaches
    state.gas_out = at.t_dew + superheat(at, reaches)
    return Gas(reaches, lost, exchanged)

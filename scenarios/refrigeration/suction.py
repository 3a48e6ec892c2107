"""Suction header of a group: vapour of its coils on the way to its machines.

    dM/dt = vapour made - compressors     solved implicitly for the move of dew within the step

Figures: common practice, no source.
"""

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.closed_volume import closed_volume
from scenarios.refrigeration.crankcase import Shed
from scenarios.refrigeration.fluid import Saturation
from scenarios.refrigeration.plant import Clock, GroupStep
from scenarios.refrigeration.refrigerants import Fluid

MOST_MOVE = 6.0
"""Most kelvin that dew moves in one step [K]."""


@record
class SuctionLine:
    """Pipes. Faults edit these."""

    space: float = quantity("m3", "suction lines and vapour part of the coils", default=0.55, least=0.01)
    ua: float = quantity("W/K", "suction line to its surroundings", default=110.0, least=0.0)


@record
class SuctionState:
    """What the suction lines carry from step to step."""

    suction: float = quantity("kg", "in the suction lines", default=9.0)
    suction_energy: float = quantity("J", "its energy", default=0.0)
    pressure: float = quantity("Pa", "suction header", default=4.2e5)
    temperature: float = quantity("C", "suction gas", default=5.0)
    quality: float = quantity("-", "its vapour share, above 1 superheated", default=1.05)
    enthalpy: float = quantity("J/kg", "suction gas", default=410e3)
    pumped: float = quantity("kg/s", "its compressors together", default=0.35)
    drawn: float = quantity("kg/s", "what its valves drew from the liquid line", default=0.35)


@compiled
def suction_move(
    made: float, made_slope: float, pumped: float, line: SuctionLine, fluid: Fluid, at: Saturation, dt: float
) -> float:
    """How far dew moves within the step so that vapour made, moved and stored agree [K].

    Parameters
    ----------
    made, made_slope : float
        Vapour of all coils, and how it falls per kelvin. [kg/s]
    pumped : float
        Compressors at the present suction. [kg/s]
    line, fluid, at : SuctionLine, Fluid, Saturation
        What it works with.
    dt : float
        Length of the step. [s]
    """
    steep = fluid.about[0].steepness
    stored = line.space / at.v_gas * steep / dt
    move = (made - pumped) / (made_slope + 1.06 * pumped * steep + stored)
    return min(max(move, -MOST_MOVE), MOST_MOVE)


@compiled
def suction_lines(
    line: SuctionLine,
    state: SuctionState,
    clock: Clock,
    fluid: Fluid,
    now: GroupStep,
    back_enthalpy: float,
    shed: Shed,
    room: float,
    dt: float,
) -> None:
    """Suction lines one step on: pressure and temperature from what they hold.

    Parameters
    ----------
    line, state, clock, fluid : SuctionLine, SuctionState, Clock, Fluid
        What it works on; states are changed in place.
    now : GroupStep
        From the coils, into the compressors, and what leaks back through them.
    back_enthalpy : float
        Of what leaks back: of the gas that reaches the condenser. [J/kg]
    shed : Shed
        From the crankcases.
    room : float
        Air of the motor room. [C]
    dt : float
        Length of the step. [s]
    """
    gain = line.ua * (room - state.temperature)
    state.suction += dt * (now.vapour + now.back + shed.flow - now.flow)
    state.suction_energy += dt * (now.heat + now.back * back_enthalpy + shed.heat - now.flow * state.enthalpy + gain)
    found = closed_volume(fluid, line.space / state.suction, state.suction_energy / state.suction, state.pressure)
    state.pressure, state.temperature, state.quality = found.pressure, found.temperature, found.quality
    state.enthalpy, state.pumped, state.drawn = found.enthalpy, now.flow, now.drawn
    clock.line_heat += dt * gain
    clock.heat_in += dt * gain

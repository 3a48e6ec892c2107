"""Discharge pipe of a rack: gas of all its machines, mixed, on the way to the condenser.

The steel of the pipe takes heat from the gas and loses it to the room. Figures: common practice, no source.
"""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.fluid import Saturation, superheat
from scenarios.refrigeration.plant import Clock, Rows
from scenarios.refrigeration.refrigerants import Fluid


@record
class DischargeLine:
    """Pipe. Faults edit these."""

    resistance: float = quantity("Pa s2/kg2", "discharge line", default=8e4, least=0.0)
    steel: float = quantity("J/K", "discharge line steel", default=45e3, least=1e3)
    ua: float = quantity("W/K", "discharge line to the room", default=20.0, least=0.0)


@record
class DischargeState:
    """What the discharge pipe carries from step to step."""

    discharge: float = quantity("Pa", "discharge header", default=12.2e5)
    gas_steel: float = quantity("C", "discharge line", default=50.0)
    gas_enthalpy: float = quantity("J/kg", "of the gas that reaches the roof", default=440e3)
    gas_out: float = quantity("C", "temperature of it", default=45.0)


class Discharged(NamedTuple):
    """What the machines of a rack move together, behind their pipe."""

    flow: float
    """[kg/s]"""
    enthalpy: float
    """Of the gas that reaches the condenser [J/kg]."""
    back: float
    """Blown back through leaking valves [kg/s]."""


@compiled
def discharged(
    line: DischargeLine,
    state: DischargeState,
    groups: Rows,
    clock: Clock,
    fluid: Fluid,
    at: Saturation,
    most_back: float,
    room: float,
    dt: float,
) -> Discharged:
    """Mix what the groups discharge, and pass it through the pipe's steel, which follows with a lag.

    Parameters
    ----------
    line, state, clock, fluid : DischargeLine, DischargeState, Clock, Fluid
        What it works on; states are changed in place.
    groups : recarray of GroupStep
        What each suction group moves; what leaks back is held to `most_back`.
    at : Saturation
        Properties at the condenser's refrigerant pressure.
    most_back : float
        More cannot leak back. [kg/s]
    room : float
        Air of the motor room. [C]
    dt : float
        Length of the step. [s]
    """
    flow, back, enthalpy = groups[0].flow, groups[0].back, groups[0].enthalpy
    for g in range(1, len(groups)):
        flow += groups[g].flow
        back += groups[g].back
        if flow > 1e-9:
            enthalpy += (groups[g].enthalpy - enthalpy) * (groups[g].flow / flow)
    if back > most_back:
        for g in range(len(groups)):
            groups[g].back = most_back * (groups[g].back / back)
        back = most_back
    hot = at.t_dew + superheat(fluid, at, enthalpy)
    exchanged = min(600.0 * flow, 0.2 * line.steel / dt) * (hot - state.gas_steel) if flow > 1e-9 else 0.0
    lost = line.ua * (state.gas_steel - room)
    state.gas_steel += dt * (exchanged - lost) / line.steel
    reaches = enthalpy - exchanged / max(flow, 1e-9)
    state.gas_enthalpy = reaches
    state.gas_out = at.t_dew + superheat(fluid, at, reaches)
    clock.heat_out += dt * lost
    clock.steel_to_gas -= dt * exchanged
    return Discharged(flow, reaches, back)

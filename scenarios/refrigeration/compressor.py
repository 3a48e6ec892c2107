"""Reciprocating compressor of a rack.

A machine moves a swept volume. What is left in the clearance expands first, so it fills less at a high pressure ratio; leaking
valves let part of every stroke back. Its shaft takes the polytropic work over its efficiency, and nearly all of that leaves
with the gas; the rest warms the room.

    ratio       = discharge pressure / suction pressure
    volumetric  = tightness (1 - clearance (ratio^(1/n) - 1))
    flow        = swept_flow speed volumetric density (1 - valve_leak)
    work        = p_suction / density (ratio^((n-1)/n) - 1) n/(n-1)

n is the refrigerant's. All machines of a group work between the same two headers, so the powers of the ratio are taken once for
all of them.

Source: ASHRAE Handbook, HVAC Systems and Equipment (2020), ch. 38, "Positive-displacement compressors" (from memory). Losses
and efficiency curve: common practice, no source; tests pin what they give.
"""

import math
from typing import NamedTuple

from scenarios.compiling.exact import power
from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record

HEAT_INTO_GAS = 0.92
"""Share of shaft power that leaves with the gas [-]. Common practice."""
LEAK_UNLOADS = 0.7
"""Share of the work saved on gas that leaks back within the cylinder [-]. Common practice."""


@record
class Compressor:
    """One machine: nameplate and condition. Faults edit these."""

    swept_flow: float = quantity("m3/s", "volume swept per second at rated speed", least=1e-4, most=0.2)
    clearance: float = quantity("-", "clearance volume over swept volume", default=0.04, least=0.0, most=0.2)
    tightness: float = quantity("-", "what rings and hot walls leave of a stroke", default=0.97, least=0.0, most=1.0)
    valve_leak: float = quantity("-", "share that leaks back through the valves in every stroke", default=0.0, least=0.0, most=1.0)
    leak_back: float = quantity("m2", "gap from discharge to suction, open also at rest", default=0.0, least=0.0, most=1e-4)
    friction: float = quantity("W", "shaft power at no load", default=350.0, least=0.0)
    heater: float = quantity("W", "crankcase heater", default=120.0, least=0.0, most=1000.0)
    crankcase_iron: float = quantity("J/K", "crankcase with its oil", default=40e3, least=1e3)
    crankcase_ua: float = quantity("W/K", "crankcase to the room", default=6.0, least=0.0)
    oil_takes: float = quantity("kg", "most refrigerant that its oil takes up", default=4.0, least=0.0, most=50.0)


@record
class CompressorState:
    """What one machine shows and, below its outlet, what its crankcase carries from step to step."""

    speed: float = quantity("-", "shaft speed over rated speed, from the motor", default=0.0)
    flow: float = quantity("kg/s", "refrigerant moved", default=0.0)
    shaft: float = quantity("W", "shaft power; standing, what it would take at rated speed", default=0.0)
    outlet: float = quantity("C", "temperature of its discharge gas", default=30.0)
    waste: float = quantity("W", "shaft power that does not leave with the gas", default=0.0)
    oil: float = quantity("C", "oil and iron of its crankcase", default=40.0)
    dissolved: float = quantity("kg", "refrigerant in its oil", default=0.0)
    dissolved_energy: float = quantity("J", "energy of that", default=0.0)
    foam: float = quantity("kg/s", "refrigerant that boils and is thrown out of its oil", default=0.0)


class Stroke(NamedTuple):
    """What one machine does in this step."""

    flow: float
    """Refrigerant moved [kg/s]."""
    shaft: float
    """Power at the shaft; the motor must find it [W]."""
    enthalpy_rise: float
    """Enthalpy gained by the gas [J/kg]."""


class Compression(NamedTuple):
    """What a pressure ratio asks of any machine."""

    expanded: float
    """Volume of a gas after the expansion from discharge to suction pressure, over that before [-]."""
    work: float
    """Polytropic work over p_suction / density [-]."""
    efficiency: float
    """That work over shaft work, friction apart [-]."""


@compiled
def volumetric_efficiency(expanded: float, machine: Compressor) -> float:
    """Share of the swept volume that takes in fresh gas, before leaks and never below zero [-].

    Parameters
    ----------
    expanded : float
        Volume of a gas after the expansion from discharge to suction pressure, over that before. [-]
    machine : Compressor
        Its clearance and tightness.
    """
    return max(machine.tightness * (1.0 - machine.clearance * (expanded - 1.0)), 0.0)


@compiled
def efficiency(ratio: float) -> float:
    """Polytropic work over shaft work, friction apart; best near ratio 3.2 [-].

    Parameters
    ----------
    ratio : float
        Discharge over suction pressure. [-]

    Examples
    --------
    >>> efficiency(3.2), efficiency(20.0)
    (0.7, 0.35)
    """
    return max(0.70 - 0.012 * (ratio - 3.2) * (ratio - 3.2), 0.35)


@compiled
def compression(suction: float, discharge: float, exponent: float) -> Compression:
    """What lies between two headers.

    Parameters
    ----------
    suction, discharge : float
        Pressures at the flanges. [Pa]
    exponent : float
        Of the refrigerant's compression. [-]

    Examples
    --------
    >>> compression(4.0e5, 12.8e5, 1.085).efficiency
    0.7
    """
    ratio = max(discharge / suction, 1.02)  # at standstill the two may meet
    expanded = power(ratio, 1.0 / exponent)
    return Compression(expanded, (ratio / expanded - 1.0) * (exponent / (exponent - 1.0)), efficiency(ratio))


@compiled
def compress(machine: Compressor, speed: float, suction: float, density: float, ratio: Compression, most_rise: float) -> Stroke:
    """Flow, shaft power and enthalpy rise of one machine at a speed.

    Parameters
    ----------
    machine : Compressor
        The machine.
    speed : float
        Shaft speed over rated. [-]
    suction : float
        Pressure at the suction flange. [Pa]
    density : float
        Density of the suction gas. [kg/m3]
    ratio : Compression
        What the pressure ratio asks of it.
    most_rise : float
        More enthalpy is not put into the gas. [J/kg]
    """
    stroke = machine.swept_flow * speed * density * volumetric_efficiency(ratio.expanded, machine)
    flow = stroke * (1.0 - machine.valve_leak)
    worked = stroke * (1.0 - LEAK_UNLOADS * machine.valve_leak)
    shaft = worked * (suction / density) * (ratio.work / ratio.efficiency) + machine.friction * speed
    rise = HEAT_INTO_GAS * shaft / max(flow, 1e-3 * machine.swept_flow * density)
    return Stroke(flow, shaft, min(rise, most_rise))


@compiled
def leaks_back(machine: Compressor, density: float, suction: float, discharge: float) -> float:
    """Gas that blows from discharge to suction through a machine's valves, running or not [kg/s].

    Parameters
    ----------
    machine : Compressor
        The machine and its gap.
    density : float
        Density of the discharge gas. [kg/m3]
    suction, discharge : float
        Pressures at the flanges. [Pa]
    """
    return 0.6 * machine.leak_back * math.sqrt(2.0 * density * max(discharge - suction, 0.0))

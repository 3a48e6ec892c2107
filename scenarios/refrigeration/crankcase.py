"""Crankcase of a compressor: oil on warm iron, and the refrigerant that dissolves in it while the machine stands.

Oil takes up refrigerant as long as it is not much warmer than dew at suction pressure. A running machine's own heat, or the heater
of one that stands, keeps it warm enough. What went in boils out at the next start, faster than the iron gives heat for: it foams,
and part of it reaches the cylinders as liquid.

    settles   m* = most (1 - (oil - dew) / REACH), between 0 and most
    moves     dm/dt = (m* - m) / tau           an hour at rest, a minute while the shaft stirs it
    iron      C d(oil)/dt = heater + waste - ua (oil - room) - heat taken up by what boils out

What leaves and comes carries its enthalpy; the iron gives what keeps the rest at that of boiling liquid, so the books close.

Source: ASHRAE Handbook, Refrigeration (2018), ch. 12, "Lubricants in refrigerant systems" for what happens (from memory); every
figure is common practice, no source.
"""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.fluid import Saturation
from scenarios.refrigeration.plant import Array, Clock, Rows

TURNS = 0.02
"""Speed below which a shaft counts as standing [-]."""
REACH = 15.0
"""Oil this much warmer than dew holds nothing [K]."""
AT_REST, STIRRED = 3600.0, 60.0
"""Time constants of a machine that stands and of one that runs [s]."""
FOAM = 0.5
"""Share of what a running machine sheds that is vapour; the rest is carried over as liquid [-]."""
INTO_IRON = 0.25
"""Share of a machine's waste heat that passes through its crankcase [-]."""


class Shed(NamedTuple):
    """What all crankcases give to the suction lines; negative where oil takes up."""

    flow: float
    """[kg/s]"""
    heat: float
    """Its enthalpy [W]."""


@compiled
def settles_at(most: float, oil: float, dew: float) -> float:
    """Refrigerant that oil holds in the long run [kg].

    Parameters
    ----------
    most : float
        What the crankcase takes at the most. [kg]
    oil, dew : float
        Temperature of the oil, and dew at suction pressure. [C]

    Examples
    --------
    >>> settles_at(4.0, 45.0, -6.0), settles_at(4.0, 24.0, 16.5), settles_at(4.0, 10.0, 16.0)
    (0.0, 2.0, 4.0)
    """
    return most * min(max(1.0 - (oil - dew) / REACH, 0.0), 1.0)


@compiled
def crankcases(
    machines: Rows, shows: Rows, heated: Array, suction: float, room: float, clock: Clock, at: Saturation, dt: float
) -> Shed:
    """Every crankcase one step on.

    Parameters
    ----------
    machines, shows : recarray of Compressor, CompressorState
        The machines; states are changed in place.
    heated : array
        Which heaters have volts, one per machine. [-]
    suction : float
        Enthalpy of the suction gas. [J/kg]
    room : float
        Air of the motor room. [C]
    clock : Clock
        Books.
    at : Saturation
        Properties at suction pressure.
    dt : float
        Length of the step. [s]
    """
    flow, heat = 0.0, 0.0
    for n in range(len(machines)):
        machine, seen = machines[n], shows[n]
        turning = seen.speed > TURNS
        tau = STIRRED if turning else AT_REST
        shed = (seen.dissolved - settles_at(machine.oil_takes, seen.oil, at.t_dew)) / (tau + dt)
        vapour = FOAM if turning else 1.0
        carries = at.h_liq + vapour * (at.h_gas - at.h_liq) if shed > 0.0 else suction
        seen.dissolved -= dt * shed
        boils = seen.dissolved * at.h_liq - (seen.dissolved_energy - dt * shed * carries)
        seen.dissolved_energy = seen.dissolved * at.h_liq
        seen.foam = max(shed, 0.0) if turning else 0.0
        warms = (machine.heater if heated[n] != 0.0 else 0.0) + INTO_IRON * seen.waste
        lost = machine.crankcase_ua * (seen.oil - room)
        seen.oil += (dt * (warms - lost) - boils) / machine.crankcase_iron
        flow += shed
        heat += shed * carries
        clock.heat_in += dt * (warms - INTO_IRON * seen.waste)
        clock.heat_out += dt * (lost - INTO_IRON * seen.waste)
        clock.line_heat += boils
    return Shed(flow, heat)

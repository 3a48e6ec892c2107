"""All coils of a suction group in one step, with the suction pressure that fits them and the compressors."""

from typing import NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.air import saturated_humidity
from scenarios.refrigeration.circuit import Around, balance, evaporate, feed, look, reach, settle
from scenarios.refrigeration.fluid import Saturation, saturation
from scenarios.refrigeration.liquid import LiquidHeader
from scenarios.refrigeration.plant import Array, Clock, GroupStep, Rows
from scenarios.refrigeration.refrigerants import Fluid
from scenarios.refrigeration.suction import SuctionLine, suction_move


class Ready(NamedTuple):
    """What the coils would give, before suction pressure has moved."""

    made: float
    """Vapour [kg/s]."""
    slope: float
    """And how it falls per kelvin that dew rises [kg/s K]."""


@compiled
def make_ready(
    fluid: Fluid,
    circuits: Rows,
    states: Rows,
    steps: Rows,
    solenoid: Array,
    door: Array,
    around: Around,
    places: Rows,
    at: Saturation,
    dt: float,
) -> Ready:
    """Feed every coil and find what it would evaporate.

    `solenoid` [-] are the energised liquid solenoids, `door` [-] how far each front is open, `dt` [s] the step.
    """
    made, slope = 0.0, 0.0
    for n in range(len(circuits)):
        circuit, now = circuits[n], steps[n]
        now.open = (solenoid[n] != 0.0 or circuit.solenoid_stuck_open) and not circuit.solenoid_stuck_shut
        look(circuit, states[n], now, around, fluid, at)
    for n in range(len(circuits)):
        reach(circuits[n], states[n], steps[n], fluid)
    for n in range(len(circuits)):
        feed(circuits[n], states[n], steps[n], around, at, dt)
    for n in range(len(circuits)):
        circuit, now = circuits[n], steps[n]
        balance(circuit, states[n], now, around, places[circuit.place], fluid, at, door[n], dt)
        if now.made > 0.0:
            made += now.made
            slope += now.made_slope
    return Ready(made, slope)


@compiled
def cool(
    fluid: Fluid,
    circuits: Rows,
    states: Rows,
    steps: Rows,
    solenoid: Array,
    door: Array,
    places: Rows,
    line: SuctionLine,
    group: GroupStep,
    clock: Clock,
    header: LiquidHeader,
    at: Saturation,
    pumped: float,
    dt: float,
) -> None:
    """Move every coil and case of a suction group by one step; `group` takes what they gave and drew.

    Parameters
    ----------
    fluid, circuits, states, steps, places, line, group, clock, header : Fluid, Rows, SuctionLine, GroupStep, Clock, LiquidHeader
        What it works on; states are changed in place.
    solenoid : array
        Energised liquid solenoids. [-]
    door : array
        How far each front is open. [-]
    at : Saturation
        Properties at the suction pressure of the start.
    pumped : float
        Compressors at that pressure. [kg/s]
    dt : float
        Length of the step. [s]
    """
    wet_air = saturated_humidity(at.t_dew + 3.0)
    around = Around(header.pressure, header.enthalpy, header.density, header.most, wet_air)
    ready = make_ready(fluid, circuits, states, steps, solenoid, door, around, places, at, dt)
    higher = suction_move(ready.made, ready.slope, pumped, line, fluid, at, dt)
    steep = fluid.about[0].steepness
    end = saturation(fluid, at.pressure * (1.0 + steep * higher * (1.0 + 0.5 * steep * higher)))
    vapour, heat, drawn, boiled, leaked = 0.0, 0.0, 0.0, 0.0, 0.0
    for n in range(len(circuits)):
        now = steps[n]
        heat += evaporate(circuits[n], states[n], now, around, fluid, end, higher, dt)
        vapour += now.made + now.carry
        drawn += now.feed
        boiled += now.boil + now.latent + now.dry
    for n in range(len(circuits)):
        leaked += settle(circuits[n], states[n], steps[n], dt)
    clock.boiled += dt * boiled
    clock.heat_in += dt * leaked
    group.vapour, group.heat, group.drawn, group.higher = vapour, heat, drawn, higher

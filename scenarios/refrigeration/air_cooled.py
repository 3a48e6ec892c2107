"""Air side of an air-cooled condenser: finned tubes in a stream of outdoor air.

    q = C (1 - exp(-UA f^0.6 / C)) (coil - dry bulb)        C = 1006 m_air f

f is airflow over rated. Source of the form: effectiveness of an exchanger one of whose sides has one temperature, any textbook of
heat transfer; figures: common practice, no source.
"""

from scenarios.compiling.exact import exp, log
from scenarios.compiling.kernel import compiled
from scenarios.refrigeration.condenser import AIR_HEAT, AirSide, Condenser, CondenserState, Outdoors


@compiled
def dry_side(condenser: Condenser, state: CondenserState, out: Outdoors) -> AirSide:
    """Heat from a finned coil to the air, and how it grows with coil temperature.

    Parameters
    ----------
    condenser, state : Condenser, CondenserState
        The condenser.
    out : Outdoors
        Weather and airflow.
    """
    flow = max(out.airflow, condenser.still_air)
    stream = AIR_HEAT * condenser.air_flow * flow
    takes = stream * (1.0 - exp(-condenser.dry_ua * exp(0.6 * log(flow)) / stream)) * (1.0 - state.flooded)
    heat = takes * (state.coil - out.dry_bulb)
    return AirSide(flow, out.dry_bulb, heat, takes, out.dry_bulb, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0)

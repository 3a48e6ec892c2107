"""Fan loop of a condenser: a PI loop holds condensing dew at the higher of a floor and wet bulb plus approach.

Its reference goes to the drives; a fan without a drive is called above its own share of it and dropped below another. An air-cooled
condenser's approach is over the dry bulb.
"""

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.fans import Fan, FanState


@record
class FanLoop:
    """Settings, and what its sensors do. Faults edit these."""

    floor: float = quantity("C", "least condensing dew", default=22.0)
    approach: float = quantity(
        "K", "condensing dew wanted over wet bulb, or over dry bulb where nothing sprays", default=10.0, least=1.0
    )
    gain: float = quantity("1/K", "fan reference per kelvin", default=0.045, least=0.0)
    reset: float = quantity("s", "integral time of the fan loop", default=180.0, least=1.0)
    ramp: float = quantity("s", "full travel of the reference", default=60.0, least=1.0)
    discharge_offset: float = quantity("Pa", "discharge transducer reads too high by", default=0.0, least=-30e5, most=30e5)
    wet_bulb_offset: float = quantity("K", "weather sensor reads too high by", default=0.0, least=-30.0, most=30.0)


@record
class FanLoopState:
    """What it remembers."""

    integral: float = quantity("-", "of the fan loop", default=0.5)
    reference: float = quantity("-", "fan reference", default=0.5)
    discharge: float = quantity("Pa", "what the discharge transducer says", default=12e5)
    target: float = quantity("C", "condensing dew wanted now", default=25.0)


@compiled
def fan(settings: FanLoop, state: FanLoopState, condensing: float, wet_bulb: float, dt: float) -> None:
    """PI loop of the condenser fans, held at its ends, ramped.

    Parameters
    ----------
    settings, state : FanLoop, FanLoopState
        What it works on; states are changed in place.
    condensing : float
        Condensing dew by the transducer. [C]
    wet_bulb : float
        Outdoor wet bulb. [C]
    dt : float
        Length of the step. [s]
    """
    state.target = max(settings.floor, wet_bulb + settings.wet_bulb_offset + settings.approach)
    error = condensing - state.target
    state.integral = min(max(state.integral + dt * settings.gain * error / settings.reset, 0.0), 1.0)
    wanted = min(max(state.integral + settings.gain * error, 0.0), 1.0)
    most = dt / settings.ramp
    state.reference += min(max(wanted - state.reference, -most), most)


@compiled
def stage_fan(fan: Fan, state: FanState, reference: float) -> None:
    """Call one fan or let it go, by the loop's `reference` [-]."""
    state.called = reference > (fan.stops if state.called else fan.starts)

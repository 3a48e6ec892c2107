"""The rack controller: what it measures, which compressors it calls, how fast the fan turns, when a case gets liquid.

It knows only its transducers and case sensors, each of which may read wrong, and one proof per compressor that it runs.
Capacity: suction dew inside a dead band changes nothing; above it a machine is added after a delay, below it one is dropped; a
machine called but not proved is said to have failed; its call stays on, others are called as suction asks, and it is the first
to be dropped. Fan: a PI loop holds condensing dew at the higher of a floor and wet bulb plus approach. The spray pump is always
called. Cases: thermostat with differential, and an off-cycle defrost by clock that ends by coil temperature or by time. When its
supply fails every output drops.
"""

import math

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record

DAY = 86400.0
"""[s]"""


@record
class Controller:
    """Settings, and what its sensors do. Faults edit these."""

    suction_target: float = quantity("C", "suction dew wanted", default=-6.5)
    dead_band: float = quantity("K", "half width in which nothing changes", default=1.2, least=0.1)
    add_delay: float = quantity("s", "above the band before a machine is added", default=60.0, least=0.0)
    drop_delay: float = quantity("s", "below the band before one is dropped", default=30.0, least=0.0)
    least_on: float = quantity("s", "shortest run", default=90.0, least=0.0)
    least_off: float = quantity("s", "shortest rest", default=120.0, least=0.0)
    proof_time: float = quantity("s", "called without proof before it counts as failed", default=20.0, least=5.0)
    floor: float = quantity("C", "least condensing dew", default=22.0)
    approach: float = quantity("K", "condensing dew wanted over wet bulb", default=10.0, least=1.0)
    fan_gain: float = quantity("-", "fan reference per kelvin, 1/K", default=0.045, least=0.0)
    fan_reset: float = quantity("s", "integral time of the fan loop", default=180.0, least=1.0)
    fan_ramp: float = quantity("s", "full travel of the reference", default=60.0, least=1.0)
    fan_least: float = quantity("-", "reference below which the fan is stopped", default=0.12, least=0.0, most=1.0)
    suction_offset: float = quantity("Pa", "suction transducer reads too high by", default=0.0, least=-10e5, most=10e5)
    discharge_offset: float = quantity("Pa", "discharge transducer reads too high by", default=0.0, least=-30e5, most=30e5)
    wet_bulb_offset: float = quantity("K", "weather sensor reads too high by", default=0.0, least=-30.0, most=30.0)
    clock_offset: float = quantity("s", "its clock is ahead by", default=0.0)


@record
class ControllerState:
    """What the controller remembers."""

    add_timer: float = quantity("s", "time above the band", default=0.0)
    drop_timer: float = quantity("s", "time below the band", default=0.0)
    integral: float = quantity("-", "of the fan loop", default=0.5)
    reference: float = quantity("-", "fan reference", default=0.5)
    fan_on: bool = quantity("-", "fan called", default=True)
    suction: float = quantity("Pa", "what the suction transducer says", default=4.2e5)
    discharge: float = quantity("Pa", "what the discharge transducer says", default=12e5)
    target: float = quantity("C", "condensing dew wanted now", default=25.0)
    powered: bool = quantity("-", "had supply in the last step", default=True)
    restarted: bool = quantity("-", "supply came back in this step", default=False)


@record
class Stage:
    """One compressor as the controller sees it."""

    capacity: float = quantity("-", "share of the rack", default=0.25, least=0.0)
    called: bool = quantity("-", "output on", default=False)
    timer: float = quantity("s", "since it last changed", default=1000.0)
    unproved: float = quantity("s", "called without proof", default=0.0)
    failed: bool = quantity("-", "did not prove; until it runs again", default=False)


@record
class CaseControl:
    """Thermostat, sensor and defrost clock of one circuit. Faults edit the settings."""

    cut_in: float = quantity("C", "liquid on at and above", default=1.5)
    cut_out: float = quantity("C", "liquid off at and below", default=-0.5)
    sensor_offset: float = quantity("K", "sensor reads too high by", default=0.0, least=-60.0, most=60.0)
    interval: float = quantity("s", "between defrosts", default=21600.0, least=60.0)
    first: float = quantity("s", "first defrost of the day", default=3600.0, least=0.0)
    longest: float = quantity("s", "defrost ends at the latest after", default=2100.0, least=0.0)
    ends_at: float = quantity("C", "coil temperature at which defrost ends", default=5.0)
    skipped: bool = quantity("-", "defrost never starts", default=False)


@record
class CaseControlState:
    """What it remembers of one circuit."""

    calling: bool = quantity("-", "liquid called", default=True)
    defrosting: bool = quantity("-", "in defrost", default=False)
    lasted: float = quantity("s", "defrost so far", default=0.0)
    by_time: bool = quantity("-", "last defrost ended by time, not temperature", default=False)
    display: float = quantity("C", "what its sensor says", default=2.0)


@compiled
def since(first: float, interval: float, clock: float) -> float:
    """Time since the last of the hours first, first + interval, ... and before; cheaper than a remainder [s].

    Parameters
    ----------
    first, interval, clock : float
        One of the hours, how far they lie apart, and now. [s]

    >>> since(3600.0, 21600.0, 7200.0), since(3600.0, 21600.0, 0.0)
    (3600.0, 18000.0)
    """
    return clock - first - interval * math.floor((clock - first) / interval)


@compiled
def case(control: CaseControl, state: CaseControlState, air: float, coil: float, clock: float, on: bool, dt: float) -> None:
    """Thermostat and defrost of one circuit.

    Parameters
    ----------
    control, state : CaseControl, CaseControlState
        What it works on; states are changed in place.
    air : float
        True case air. [C]
    coil : float
        True temperature of the coil in defrost. [C]
    clock : float
        Time of day by the controller's clock. [s]
    on : bool
        The controller has supply.
    dt : float
        Length of the step. [s]
    """
    state.display = air + control.sensor_offset
    if not on:
        state.calling = False
        return
    into = since(control.first, control.interval, clock)
    if state.defrosting:
        state.lasted += dt
        over = state.lasted >= control.longest
        if over or coil >= control.ends_at:
            state.defrosting, state.by_time, state.calling = False, over, True
    elif into < dt and not control.skipped:
        state.defrosting, state.lasted, state.by_time = True, 0.0, False
    if state.defrosting:
        state.calling = False
    elif state.display >= control.cut_in:
        state.calling = True
    elif state.display <= control.cut_out:
        state.calling = False


@compiled
def fan(settings: Controller, state: ControllerState, condensing: float, wet_bulb: float, dt: float) -> None:
    """PI loop of the condenser fan, held at its ends, ramped.

    Parameters
    ----------
    settings, state : Controller, ControllerState
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
    state.integral = min(max(state.integral + dt * settings.fan_gain * error / settings.fan_reset, 0.0), 1.0)
    wanted = min(max(state.integral + settings.fan_gain * error, 0.0), 1.0)
    most = dt / settings.fan_ramp
    state.reference += min(max(wanted - state.reference, -most), most)
    if state.fan_on:
        state.fan_on = state.reference > 0.7 * settings.fan_least
    else:
        state.fan_on = state.reference > settings.fan_least

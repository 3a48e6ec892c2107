"""Case control: thermostat with differential, and defrost by clock that ends by coil temperature or by time.

A case without a defrost heater thaws by its own air while liquid is off (off cycle); one with a heater has it called meanwhile.
"""

import math

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record

DAY = 86400.0
"""[s]"""


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

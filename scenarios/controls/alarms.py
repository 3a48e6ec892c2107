"""Alarms of the rack controller: a threshold, a delay, a return, and a log by the controller's own clock.

A table of rows is all there is; what each row watches is named by `kind`, of which rack, group, machine or circuit by `which`. The
log of each rack holds a fixed number of events and forgets the oldest.
"""

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.plant import Plant, Rows

FAN_FULL, DISCHARGE, HIGH_PRESSURE, LOW_PRESSURE, CASE_AIR, DOOR, NO_PROOF, DEFROST_BY_TIME, SUCTION, SUPPLY, LIQUID_BACK = range(
    11
)
KINDS = (
    "fan_full",
    "discharge",
    "high_pressure",
    "low_pressure",
    "case_air",
    "door",
    "no_proof",
    "defrost_by_time",
    "suction",
    "supply",
    "liquid_back",
)
MOST_EVENTS = 512
"""Events that the log of a rack holds."""


@record
class Alarm:
    """One row: what is watched and when it speaks."""

    kind: int = quantity("-", "what is watched, index of KINDS")
    which: int = quantity("-", "row of the table that it watches", default=0)
    limit: float = quantity("-", "raised at and above, in the unit of what is watched", default=0.5)
    returns: float = quantity("-", "returned at and below, same unit", default=0.5)
    delay: float = quantity("s", "beyond the limit before it is raised", default=0.0, least=0.0)
    calm: float = quantity("s", "back before it is returned", default=0.0, least=0.0)


@record
class AlarmState:
    """Whether it stands."""

    active: bool = quantity("-", "raised and not returned", default=False)
    timer: float = quantity("s", "beyond the limit, or back, so far", default=0.0)


@record
class Event:
    """One line of the log."""

    time: float = quantity("s", "by the controller's clock", default=0.0)
    alarm: int = quantity("-", "row of the alarm table", default=-1)
    on: bool = quantity("-", "raised; otherwise returned", default=False)


@record
class Log:
    """How many events there have been."""

    written: int = quantity("-", "events since the start; the last MOST_EVENTS are kept", default=0)


@compiled
def watch(alarm: Alarm, state: AlarmState, value: float, dt: float) -> int:
    """Judge one row: 1 raised now, -1 returned now, 0 no news.

    Parameters
    ----------
    alarm, state : Alarm, AlarmState
        What it works with.
    value : float
        What is watched, in its own unit. [-]
    dt : float
        Length of the step. [s]
    """
    if state.active:
        state.timer = state.timer + dt if value <= alarm.returns else 0.0
        if state.timer > alarm.calm:
            state.active, state.timer = False, 0.0
            return -1
        return 0
    if value < alarm.limit:
        state.timer = 0.0
        return 0
    state.timer += dt
    if state.timer > alarm.delay:
        state.active, state.timer = True, 0.0
        return 1
    return 0


@compiled
def note(events: Rows, log: Log, time: float, alarm: int, on: bool) -> None:
    """Write one event at `time` [s] of the controller's clock; the oldest gives way when the log is full."""
    line = events[log.written % len(events)]
    line.time = time
    line.alarm = alarm
    line.on = on
    log.written += 1


@compiled
def speak(plant: Plant, r: int, time: float, dt: float) -> None:
    """Judge every alarm of a rack and write the news.

    Parameters
    ----------
    plant : Plant
        Its alarms, and what they watch; states and log are changed in place.
    r : int
        Row of the rack. [-]
    time : float
        By its controller's clock. [s]
    dt : float
        Length of the step. [s]
    """
    events = plant.events[r * MOST_EVENTS : (r + 1) * MOST_EVENTS]
    for n in range(plant.racks[r].alarms, plant.racks[r].alarms_end):
        alarm = plant.alarms[n]
        news = watch(alarm, plant.alarm_states[n], plant.signals[alarm.kind, alarm.which], dt)
        if news != 0:
            note(events, plant.log[r], time, n, news > 0)

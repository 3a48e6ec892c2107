"""Whether a repair held: what the plant and its controller did in the 72 hours after close-out, with the repair as it was left."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from graders.moments import Aftermath, Trend
from scenarios.facts import AlarmKind, Event, EventKind

HOUR = 3600.0
BRINGS: Mapping[EventKind | AlarmKind, bool] = {
    AlarmKind.CASE_AIR: True,
    AlarmKind.DISCHARGE: True,
    AlarmKind.SUCTION: True,
    AlarmKind.HIGH_PRESSURE: True,
    AlarmKind.NO_PROOF: True,
    AlarmKind.LIQUID_BACK: True,
    AlarmKind.DOOR: False,
    AlarmKind.DEFROST_BY_TIME: False,
    AlarmKind.FAN_FULL: False,
    AlarmKind.LOW_PRESSURE: False,
    AlarmKind.SUPPLY: False,
}
"""Which alarms call a technician; doors, defrosts and a busy fan do not."""
TRIPS = (
    EventKind.BREAKER_TRIPS, EventKind.FUSE_MELTS, EventKind.OVERLOAD_TRIPS, EventKind.DRIVE_TRIPS, EventKind.POLE_BURNS_OPEN,
    EventKind.PROTECTOR_OPENS,
)  # fmt: skip
"""What in the wiring calls a technician, whenever it happens."""
GRACE_HOURS = 2.0
"""New alarms this soon belong to the recovery (common practice)."""
RETURN_HOURS = 8.0
"""An alarm that stood at close-out has to be back by then (common practice: the next opening)."""


@dataclass(frozen=True)
class Happening:
    """One event of the call's world with the words for it; nothing is read out of the words."""

    event: Event
    text: str

    @property
    def t(self) -> float:
        """Time from the ticket [s]."""
        return self.event.t

    @property
    def what(self) -> str:
        """Id of the alarm, or mark of the part."""
        return self.event.what

    @property
    def on(self) -> bool:
        """Whether it came, and did not go."""
        return self.event.on


def is_trip(happened: Happening) -> bool:
    """Whether something tripped, melted or burnt."""
    return happened.event.kind in TRIPS


def calls_out(happened: Happening, ignored: Iterable[str] = ()) -> bool:
    """Whether an alarm is of a kind that brings a technician."""
    return BRINGS.get(happened.event.kind, False) and happened.what not in set(ignored)


def standing(events: Iterable[Happening], closed: float) -> dict[str, str]:
    """Alarms (id, title) that were on at a time [s] and call somebody."""
    state: dict[str, Happening] = {}
    for event in sorted(events, key=lambda e: e.t):
        if event.t <= closed and not is_trip(event):
            state[event.what] = event
    return {what: event.text for what, event in state.items() if event.on and calls_out(event)}


def judge(events: Iterable[Happening], closed: float, goals: Mapping[str, Any], trends: tuple[Trend, ...] = ()) -> Aftermath:
    """What 72 hours made of a repair.

    Parameters
    ----------
    events : iterable of Happening
        The log before and after close-out.
    closed : float
        Time of close-out. [s]
    goals : mapping
        ``goals.service`` of the key: grace_hours, return_hours, ignore.
    trends : tuple of Trend
        Channels to show.
    """
    log = sorted((event for event in events if is_trip(event) or calls_out(event)), key=lambda e: e.t)
    ignored = [str(name) for name in goals.get("ignore", [])]
    grace = closed + HOUR * float(goals.get("grace_hours", GRACE_HOURS))
    patience = closed + HOUR * float(goals.get("return_hours", RETURN_HOURS))
    open_still = {what: text for what, text in standing(log, closed).items() if what not in ignored}
    found = [e for e in log if (e.t > closed and is_trip(e)) or (e.t > grace and e.on and calls_out(e, ignored))]
    late = [what for what in open_still if not any(e.what == what and not e.on and closed < e.t <= patience for e in log)]
    shown = tuple((e.t - closed, e.text + ("" if e.on else ", back")) for e in log if e.t > closed)
    if found:
        first = found[0]
        hours = (first.t - closed) / HOUR
        return Aftermath(
            False,
            f"It called again after {hours:.0f} h: {first.text}.",
            first.t - closed,
            shown,
            tuple(open_still.values()),
            trends,
        )
    if late:
        text = open_still[late[0]]
        reason = f"Still not right after {(patience - closed) / HOUR:.0f} h: {text}."
        return Aftermath(False, reason, patience - closed, shown, tuple(open_still.values()), trends)
    return Aftermath(True, "", None, shown, tuple(open_still.values()), trends)

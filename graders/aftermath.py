"""Whether a repair held: what the plant and its controller did in the 72 hours after close-out, with the repair as it was left."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from graders.moments import Aftermath, Trend

HOUR = 3600.0
CALLS = ("air_", "discharge_high", "suction_high", "high_pressure_", "no_proof_", "liquid_back")
"""Beginnings of alarms that call a technician; doors, defrosts and a busy fan do not."""
TRIPS = ("breaker trips", "fuse melts", "overload trips", "drive trips", "pole burns open", "motor protector opens")
"""What in the wiring calls a technician, whenever it happens."""
GRACE_HOURS = 2.0
"""New alarms this soon belong to the recovery (common practice)."""
RETURN_HOURS = 8.0
"""An alarm that stood at close-out has to be back by then (common practice: the next opening)."""


@dataclass(frozen=True)
class Happening:
    """One alarm or trip: time [s from the ticket], id or mark, on or back, words."""

    t: float
    what: str
    on: bool
    text: str


def is_trip(event: Happening) -> bool:
    """Whether something tripped, melted or burnt."""
    return event.text.endswith(TRIPS)


def calls_out(event: Happening, ignored: Iterable[str] = ()) -> bool:
    """Whether an alarm is of a kind that brings a technician."""
    return event.what.startswith(CALLS) and event.what not in set(ignored)


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

"""What a technician knows and can do at this moment: everything a screen or a terminal may show.

Only what was told, read, seen or is noticed from here; never the true state. Shapes are those of JSON. Temperatures are in F and
pressures in psig, as the technician reads them.
"""

from typing import Any

from course.screen import circuits, pad, paperwork, phonebook, places, rows
from course.screen.acts import acts_of, wire_acts
from course.screen.words import TOOLS
from graders import rubric
from scenarios.call import Session
from scenarios.faults.modes import MODES


def view(session: Session) -> dict[str, Any]:
    """All of it, made anew."""
    return Screen(session).view()


class Screen:
    """The view of one open call, in pieces; what cannot have changed since it was last asked is the same object again."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.fixed = fixed(session)
        self.rows = rows.Rows(session)

    def view(self) -> dict[str, Any]:
        """All of it."""
        session, person = self.session, self.session.person
        log = session.log_read if session.log_read is not None else session.read_log()
        on = {row["id"] for row in log["alarms"] if row["spans"] and row["spans"][-1][1] is None}
        seen = self.rows.now()
        listed = circuits.of(session, self.rows.latest, on)
        return {
            **self.fixed,
            "phase": "closed" if session.closed else "on_site" if person.on_site else "dispatch",
            "clock": {"t": session.t, "now": rows.clock(session, session.t), "note": _note(session)},
            "place": person.place,
            "places": places.of(session),
            "senses": [{"sense": sense, "text": text} for sense, text in session.noticed()],
            "alarms": log["alarms"],
            "trends": log["trends"],
            "circuits": listed,
            "over": circuits.over(session, listed, on),
            "clamps": paperwork.clamps(session),
            "gauges": paperwork.gauges(session),
            "door": "open" if person.door_open else "shut",
            "held": person.held,
            "readings": seen,
            "acts": {part: acts_of(session, part) for part in paperwork.parts_here(session)},
            "parts": paperwork.parts(session),
            "locks": dict(person.locks),
            "covers": sorted(person.covers),
            "lifted": list(person.lifted),
            "isolation": paperwork.isolation_form(session),
            "phone": phonebook.of(session, rows.clock),
            "closed": session.closed,
            **pad.of(session),
        }


def fixed(session: Session) -> dict[str, Any]:
    """What is the same from the ticket to close-out."""
    call = session.night.call
    return {
        "call": {key: call[key] for key in ("id", "title", "level", "minutes")},
        "seed": session.seed,
        "practice": False,
        "ticket": _ticket(session),
        "van": {"tools": list(TOOLS), "parts": call["van"]["parts"]},
        "names": pad.nameable(session.world.store),
        "modes": [[mode, words] for mode, words in MODES.items()],
        "cards": pad.cards(session.night),
        "wire_acts": wire_acts(),
    }


def _note(session: Session) -> str:
    if not session.person.on_site:
        return "not there yet"
    minutes = int((session.t - session.arrived) // 60)
    return f"{minutes} min on site" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} on site"


def _ticket(session: Session) -> dict[str, Any]:
    ticket = session.night.call["ticket"]
    store = session.world.store
    return {
        "came": session.night.call["starts"],
        "drive": session.night.call["drive_minutes"],
        "who": ticket["who"],
        "says": ticket["says"],
        "rows": [
            ["Plant", store.title],
            ["Service", store.supply.title],
            ["Weather", ticket["weather_says"]],
            ["Access", ticket["access"]],
        ],
        "scored": [[f"{weight:g}", rubric.TITLES[part].lower()] for part, weight in rubric.DEFAULT.weights.items()],
        "asked": [question["title"] for question in session.night.call["questions"]],
    }

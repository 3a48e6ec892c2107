"""What a technician knows and can do at this moment: everything a screen or a terminal may show.

Only what was told, read, seen or is noticed from here; never the true state. Shapes are those of JSON. Temperatures are in F and
pressures in psig, as the technician reads them.
"""

from collections.abc import Callable
from functools import partial
from typing import Any

from course.screen import circuits, pad, paperwork, phonebook, places, rows
from course.screen.acts import acts_of, is_open, wire_acts
from course.screen.words import SCORED, TOOLS
from scenarios.call import Session
from scenarios.facts import AlarmKind
from scenarios.faults.modes import MODES


def view(session: Session) -> dict[str, Any]:
    """All of it, made anew."""
    return Screen(session).view()


class Screen:
    """The view of one open call, in pieces; a piece that hangs on nothing that has changed is the same object again.

    What a piece hangs on is named beside it, so that its cost follows what has changed and not what the store holds.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self.fixed = fixed(session)
        self.rows = rows.Rows(session)
        self.points = circuits.points_of(session.world.store)
        self.kept: dict[str, tuple[Any, Any]] = {}

    def view(self) -> dict[str, Any]:
        """All of it."""
        session, person = self.session, self.session.person
        log = session.log_read if session.log_read is not None else session.read_log()
        alarms = [row for row in log["alarms"] if row["kind"] == AlarmKind.CASE_AIR]
        on = {row["of"] for row in alarms if row["spans"] and row["spans"][-1][1] is None}
        readings = self.rows.now()
        covers = frozenset(person.covers)
        own = [self.rows.latest.get(point) for points in self.points.values() for point in points.values()]
        listed = self._piece("circuits", (own, on), lambda: circuits.of(session, self.points, self.rows.latest, on))
        return {
            **self.fixed,
            "phase": "closed" if session.closed else "on_site" if person.on_site else "dispatch",
            "clock": {"t": session.t, "now": rows.clock(session, session.t), "note": _note(session)},
            "place": person.place,
            "places": self._piece("places", (person.place, person.on_site), lambda: places.of(session)),
            "senses": [{"sense": sense, "text": text} for sense, text in session.noticed()],
            "alarms": log["alarms"],
            "trends": log["trends"],
            "circuits": listed,
            "over": circuits.over(session, listed, on),
            "clamps": paperwork.clamps(session, self.rows),
            "gauges": paperwork.gauges(session, self.rows),
            "door": "open" if person.door_open else "shut",
            "held": person.held,
            "readings": readings,
            "acts": self._piece("acts", (person.place, person.door_open, covers), lambda: self._acts(person.place)),
            "parts": self._parts(person.place),
            "locks": dict(person.locks),
            "covers": sorted(covers),
            "lifted": list(person.lifted),
            "isolation": self._isolation(),
            "phone": self._piece("phone", len(person.said), lambda: phonebook.of(session, rows.clock)),
            "closed": session.closed,
            **pad.of(session, self.rows),
        }

    def _piece(self, name: str, hangs_on: Any, make: Callable[[], Any]) -> Any:
        """A piece as it was made last, or made anew where what it hangs on is another."""
        if name not in self.kept or self.kept[name][0] != hangs_on:
            self.kept[name] = hangs_on, make()
        return self.kept[name][1]

    def _here(self, place: str) -> list[str]:
        return self._piece("here", place, lambda: paperwork.parts_here(self.session))  # type: ignore[no-any-return]

    def _acts(self, place: str) -> dict[str, Any]:
        """Acts of every part here; what is on offer at a part hangs on whether it is open."""
        found = {}
        for mark in self._here(place):
            found[mark] = self._piece(f"acts {mark}", is_open(self.session, mark), partial(acts_of, self.session, mark))
        return found

    def _parts(self, place: str) -> dict[str, Any]:
        """What is known of every part here; of each it hangs on what was seen of it last, its lock and its cover."""
        locks, covers, seen = self.session.person.locks, self.session.person.covers, self.rows.seen
        hangs = {m: (*seen.get(m, ())[-2:], locks.get(m), m in covers) for m in self._here(place)}

        def make() -> dict[str, Any]:
            return {
                mark: self._piece(f"part {mark}", on, partial(paperwork.part, self.session, mark, seen.get(mark, [])[-2:]))
                for mark, on in hangs.items()
            }

        found: dict[str, Any] = self._piece("parts", hangs, make)
        return found

    def _isolation(self) -> dict[str, Any]:
        log = self.session.person.isolation
        hangs_on = len(log.entries), log.entries[-1:], self.session.person.isolating()
        found: dict[str, Any] = self._piece("isolation", hangs_on, lambda: paperwork.isolation_form(self.session))
        return found


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
        "scored": SCORED,
        "asked": [question["title"] for question in session.night.call["questions"]],
    }

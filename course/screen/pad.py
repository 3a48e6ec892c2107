"""The technician's paper: suspects, notes, sums, work order, and the words they are written in."""

from typing import Any

from course.screen import names
from course.screen.rows import Rows, clock
from course.screen.words import FIELD_TITLES, NEEDED, OFFERS, UNIT_WORDS
from scenarios.assignments import Assignment
from scenarios.call import Session
from scenarios.faults.modes import MODES
from scenarios.parts.kind import nothing
from scenarios.store.model import Store
from scenarios.units import to_si

CARD = [*range(20, 100, 2), *range(100, 200, 2), *range(200, 352, 4)]
"""Pressures of a pressure card [psig]."""


def of(session: Session, seen: Rows) -> dict[str, Any]:
    """What is written at this moment; readings that sums need are looked up in ``seen``."""
    pad = session.person.pad
    return {
        "suspects": [_suspect(session, row) for row in pad.suspects],
        "notes": [{**row, "clock": clock(session, row["t"])} for row in pad.notes],
        "questions": _questions(session, seen),
        "order": {"fields": [_field(name, pad.order.get(name, "")) for name in FIELD_TITLES], "cause": _cause(session)},
        "open": _open(session),
    }


def nameable(store: Store) -> list[dict[str, Any]]:
    """Parts that can be suspected: what each is called, its terminals and what each of them is called at it."""
    wired = [
        {"part": mark, "says": device.says, "ends": [[end, names.short(store, end)] for end in device.terminals]}
        for mark, device in store.wiring.devices.items()
    ]
    seen = [part for part in store.parts.values() if not part.kind.wired and part.kind.look is not nothing]
    return wired + [{"part": part.mark, "says": names.says(store, part.mark), "ends": []} for part in seen]


def _suspect(session: Session, row: dict[str, Any]) -> dict[str, Any]:
    """One suspect as the pad shows it."""
    store = session.world.store
    said = {"clock": clock(session, row["t"]), "title": names.says(store, row["part"])}
    return {**row, "words": MODES[row["mode"]], "spot": names.short(store, row["at"]) if row.get("at") else None, **said}


def _field(name: str, value: str) -> dict[str, Any]:
    """One field of the work order."""
    return {"id": name, "title": FIELD_TITLES[name], "choices": None, "value": value, "offers": OFFERS.get(name, [])}


def _questions(session: Session, seen: Rows) -> list[dict[str, Any]]:
    answers = session.person.pad.answers
    return [
        {
            "id": q["id"],
            "title": q["title"],
            "asks": q["asks"],
            "unit": UNIT_WORDS.get(q["unit"], q["unit"]),
            "step_unit": q["unit"],
            "needs": [
                {**need, "shown": seen.last(f"{need['at']} wet bulb" if need.get("how") == "wick" else need["at"])}
                for need in q["needs"]
            ],
            "answer": answers.get(q["id"]),
        }
        for q in session.night.call["questions"]
    ]


def cards(night: Assignment) -> list[dict[str, Any]]:
    """A pressure card for every refrigerant of the store: psig, dew F, bubble F."""
    from scenarios.refrigeration import fluid, property_tables

    found = []
    for name in dict.fromkeys(rack.refrigerant for rack in night.store.racks):
        tables, lines = property_tables.load(name), []
        for psig in CARD:
            at = fluid.saturation(tables, to_si(psig, "psig"))
            lines.append([float(psig), round(at.t_dew * 1.8 + 32.0, 1), round(at.t_bub * 1.8 + 32.0, 1)])
        found.append({"refrigerant": name, "rows": lines})
    return found


def _cause(session: Session) -> dict[str, Any] | None:
    """The cause as it was named, with what it is called at its part, and its reason likewise."""
    named, store = session.person.pad.cause, session.world.store
    if named is None:
        return None
    where, reason = named["where"] or None, named["reason"] or None
    because = None
    if reason and reason != "unknown":
        part, _, rest = reason.partition(":")
        mode, _, at = rest.partition(":")
        because = {"part": part, "mode": mode, "at": at or None, "spot": names.short(store, at) if at else None}
    return {**named, "at": where, "spot": names.short(store, where) if where else None, "why": reason, "because": because}


def _open(session: Session) -> list[str]:
    """What is still empty on the pad."""
    pad = session.person.pad
    missing = [_within(FIELD_TITLES[name]) for name in NEEDED if not pad.order.get(name)]
    if pad.cause is None:
        missing.insert(0, "what failed")
    sums = len(session.night.call["questions"]) - len(pad.answers)
    return missing + ([f"{sums} sum{'s' * (sums != 1)}"] if sums else [])


def _within(title: str) -> str:
    """A title inside a sentence.

    >>> _within("What I did")
    'what I did'
    """
    return title[:1].lower() + title[1:]

"""What a technician knows and can do at this moment: everything a screen or a terminal may show.

Only what was told, read, seen or is noticed from here; never the true state. Shapes are those of JSON. Temperatures are in F and
pressures in psig, as the technician reads them.
"""

from typing import Any

from scenarios.assignments import Assignment
from scenarios.call import Session
from scenarios.faults.modes import MODES
from scenarios.outlook import paperwork, phonebook
from scenarios.outlook.acts import acts_of, wire_acts
from scenarios.parts.kind import nothing
from scenarios.verbs import FIELDS
from scenarios.visit import limits

SCORED = [[20, "safe work"], [30, "diagnosis"], [20, "sums"], [15, "service"], [10, "paper"], [5, "economy"]]
CARD = [*range(20, 100, 2), *range(100, 200, 2), *range(200, 352, 4)]
"""Pressures of the pressure card [psig]."""
FIELD_TITLES = {
    "why": "Why it failed",
    "left": "Left as",
    "temporary": "Temporary",
    "until": "Until",
    "whose": "Whose",
    "food": "Food",
    "told": "Told",
    "did": "What I did",
    "evidence": "How I know",
}
OFFERS = {
    "left": [
        "Running, all in automatic",
        "Running on one temporary measure",
        "Running in part; product moved",
        "Off and locked; product moved",
    ],
    "temporary": ["None"],
    "until": ["The morning visit", "The spare is fitted"],
    "whose": ["Morning technician", "Dispatcher", "Store manager", "Mine: I come back"],
    "told": ["Night manager and dispatcher", "Night manager", "Dispatcher", "Second person"],
    "food": ["Product temperatures with times given to the manager; the store decides", "No product over its limit"],
}
"""Usual words for fields of the work order, the same in every call; anything else may be written."""
NEEDED = ("why", "did", "left", "temporary", "food", "told")


def view(session: Session) -> dict[str, Any]:
    """All of it."""
    person, known = session.person, _knowledge(session)
    return {
        "call": {key: session.night.call[key] for key in ("id", "title", "level", "minutes")},
        "seed": session.seed,
        "practice": False,
        "phase": "closed" if session.closed else "on_site" if person.on_site else "dispatch",
        "clock": {"t": session.t, "now": paperwork.clock(session, session.t), "note": _note(session)},
        "place": person.place,
        "places": _places(session),
        "senses": [{"sense": sense, "text": text} for sense, text in session.noticed()],
        "ticket": _ticket(session),
        "alarms": known.alarms,
        "trends": known.trends,
        "circuits": _circuits(session),
        "over": _over(session),
        "clamps": paperwork.clamps(session),
        "gauges": paperwork.gauges(session),
        "door": "open" if person.door_open else "shut",
        "held": person.held,
        "readings": paperwork.readings(session),
        "acts": {part: acts_of(session, part) for part in paperwork.parts_here(session)},
        "wire_acts": wire_acts(),
        "parts": paperwork.parts(session),
        "locks": dict(person.locks),
        "covers": sorted(person.covers),
        "lifted": list(person.lifted),
        "isolation": paperwork.isolation_form(session),
        "phone": phonebook.of(session, paperwork.clock),
        "refrigerant": session.night.store.racks[0].refrigerant,
        "open": _open(session),
        "closed": session.closed,
        **_pad(session),
    }


def _pad(session: Session) -> dict[str, Any]:
    """The technician's paper: suspects, notes, sums, work order, and the words they are written in."""
    pad, devices = session.person.pad, session.world.wiring.devices
    wired = [{"part": mark, "says": device.says, "terminals": list(device.terminals)} for mark, device in devices.items()]
    seen = [part.mark for part in session.world.store.parts.values() if not part.kind.wired and part.kind.look is not nothing]
    return {
        "suspects": [_suspect(session, row) for row in pad.suspects],
        "notes": [{**row, "clock": paperwork.clock(session, row["t"])} for row in pad.notes],
        "names": wired + [{"part": mark, "says": paperwork.says(session, mark), "terminals": []} for mark in seen],
        "modes": [[mode, words] for mode, words in MODES.items()],
        "questions": _questions(session),
        "card": card(session.night),
        "order": {"fields": [_field(name, pad.order.get(name, "")) for name in FIELDS], "cause": _cause(pad.cause)},
    }


def _suspect(session: Session, row: dict[str, Any]) -> dict[str, Any]:
    """One suspect as the pad shows it."""
    said = {"clock": paperwork.clock(session, row["t"]), "title": paperwork.says(session, row["part"])}
    return {**row, "words": MODES[row["mode"]], **said}


def _field(name: str, value: str) -> dict[str, Any]:
    """One field of the work order."""
    return {"id": name, "title": FIELD_TITLES[name], "choices": None, "value": value, "offers": OFFERS.get(name, [])}


class _Knowledge:
    def __init__(self, alarms: list[dict[str, Any]], trends: dict[str, Any]) -> None:
        self.alarms, self.trends = alarms, trends


def _knowledge(session: Session) -> _Knowledge:
    """The controller's log as it was last read: with the ticket, or at the rack display."""
    seen = session.log_read if session.log_read is not None else session.read_log()
    return _Knowledge(seen["alarms"], seen["trends"])


def _note(session: Session) -> str:
    if not session.person.on_site:
        return "not there yet"
    minutes = int((session.t - session.arrived) // 60)
    return f"{minutes} min on site" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} on site"


def _places(session: Session) -> list[dict[str, Any]]:
    here = session.person.place
    drive = 0.0 if session.person.on_site else float(session.night.call["drive_minutes"])
    return [
        {
            "id": name,
            "title": about.title,
            "here": name == here and session.person.on_site,
            "minutes": round(limits.walk_minutes(session.world, here, name) + drive),
        }
        for name, about in session.world.places.items()
    ]


def _ticket(session: Session) -> dict[str, Any]:
    ticket = session.night.call["ticket"]
    store = session.world.store
    rows = [
        ["Plant", store.title],
        ["Service", store.supply.title],
        ["Weather", ticket["weather_says"]],
        ["Access", ticket["access"]],
    ]
    return {
        "came": session.night.call["starts"],
        "drive": session.night.call["drive_minutes"],
        "who": ticket["who"],
        "says": ticket["says"],
        "rows": rows,
        "scored": SCORED,
        "asked": [question["title"] for question in session.night.call["questions"]],
        "van": session.night.call["van"]["parts"],
    }


def _circuits(session: Session) -> list[dict[str, Any]]:
    """Every circuit with the latest of the technician's own readings."""
    latest: dict[str, tuple[str, float]] = {}
    for moment in session.moments:
        for reading in moment.saw.readings:
            latest[reading["of"]] = (reading["shown"], moment.t)
    told = {row["id"] for row in _knowledge(session).alarms if row["spans"][-1][1] is None}
    if any(of.endswith(".D") for of in latest):
        told = set()  # one look of one's own, and the ticket's word counts no more
    rows = []
    for circuit in session.world.store.circuits:
        n, limit = circuit.number, float(circuit.limit_fahrenheit)
        shown = {key: latest.get(f"{circuit.mark}.{point}") for key, point in (("display", "D"), ("air", "A1"), ("product", "G1"))}
        times = [value[1] for value in shown.values() if value]
        display = _number(shown["display"])
        rows.append(
            {
                "n": n,
                "id": circuit.mark,
                "title": circuit.title,
                "kind": circuit.part.kind.title,
                "limit": limit,
                "display": display,
                "over": (f"air_{n}" in told or None) if display is None else display > limit,
                "seen": paperwork.clock(session, shown["display"][1]) if shown["display"] else None,
                "air": _number(shown["air"]),
                "product": _number(shown["product"]),
                "at": paperwork.clock(session, max(times)) if times else None,
            }
        )
    return rows


def _number(shown: tuple[str, float] | None) -> float | None:
    try:
        return float(shown[0]) if shown else None
    except ValueError:
        return None


def _over(session: Session) -> dict[str, Any]:
    rows = _circuits(session)
    seen = [row for row in rows if row["display"] is not None]
    if not seen:
        told = sum(
            1 for row in _knowledge(session).alarms if row["id"].startswith("air_") and row["spans"] and row["spans"][-1][1] is None
        )
        return {"count": told, "of": len(rows), "seen": f"sent at {session.night.call['starts']}"}
    return {"count": sum(1 for row in seen if row["over"]), "of": len(rows), "seen": f"seen at {max(row['seen'] for row in seen)}"}


def _questions(session: Session) -> list[dict[str, Any]]:
    answers = session.person.pad.answers
    return [
        {
            "id": q["id"],
            "title": q["title"],
            "asks": q["asks"],
            "unit": UNIT_WORDS.get(q["unit"], q["unit"]),
            "step_unit": q["unit"],
            "needs": [
                {**need, "shown": paperwork.last(session, f"{need['at']} wet bulb" if need.get("how") == "wick" else need["at"])}
                for need in q["needs"]
            ],
            "answer": answers.get(q["id"]),
        }
        for q in session.night.call["questions"]
    ]


UNIT_WORDS = {"F-difference": "°F", "-": ""}


def card(night: Assignment) -> list[list[float]]:
    """Pressure card of the store's refrigerant: psig, dew F, bubble F."""
    from scenarios.refrigeration import fluid, property_tables

    if "card" not in night.__dict__:
        tables = property_tables.load(night.store.racks[0].refrigerant)
        rows = []
        for psig in CARD:
            at = fluid.saturation(tables, psig * 6894.757293168 + 101325.0)
            rows.append([float(psig), round(at.t_dew * 1.8 + 32.0, 1), round(at.t_bub * 1.8 + 32.0, 1)])
        night.__dict__["card"] = rows
    found: list[list[float]] = night.__dict__["card"]
    return found


def _cause(named: dict[str, Any] | None) -> dict[str, Any] | None:
    """The cause as it was named, in the words of a suspect."""
    return None if named is None else {**named, "at": named["where"] or None, "why": named["reason"] or None}


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

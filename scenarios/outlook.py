"""What a technician knows and can do at this moment: everything a screen or a terminal may show.

Only what was told, read, seen or is noticed from here; never the true state. Shapes are those of JSON. Temperatures are in F and
pressures in psig, as the technician reads them.
"""

from typing import Any

from scenarios import handling, isolation, limits, nights, phonebook
from scenarios.call import Session
from scenarios.faults.modes import MODES
from scenarios.kinds_of_acts import acts_of
from scenarios.steps import parse
from scenarios.units import from_si
from scenarios.verbs import FIELDS, VERBS

SCORED = [[20, "safe work"], [30, "diagnosis"], [20, "sums"], [15, "service"], [10, "paper"], [5, "economy"]]
REFRIGERANT = "R-448A"
"""What the stores hold; the fluid of the property table."""
CARD = [*range(20, 100, 2), *range(100, 200, 2), *range(200, 352, 4)]
"""Pressures of the pressure card [psig]."""
FIELD_TITLES = {"why": "Why it failed", "left": "Left as", "temporary": "Temporary", "until": "Until", "whose": "Whose", "food": "Food", "told": "Told",
                "did": "What I did", "evidence": "How I know"}
OFFERS = {
    "left": ["Running, all in automatic", "Running on one temporary measure", "Running in part; product moved", "Off and locked; product moved"],
    "temporary": ["None"], "until": ["The morning visit", "The spare is fitted"],
    "whose": ["Morning technician", "Dispatcher", "Store manager", "Mine: I come back"],
    "told": ["Night manager and dispatcher", "Night manager", "Dispatcher", "Second person"],
    "food": ["Product temperatures with times given to the manager; the store decides", "No product over its limit"],
}  # fmt: skip
"""Usual words for fields of the work order, the same in every call; anything else may be written."""
NEEDED = ("why", "did", "left", "temporary", "food", "told")


def clock(session: Session, t: float) -> str:
    """Time of day of a call time, ``04:33``."""
    minutes = int((session.world.starts + t) // 60) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def view(session: Session) -> dict[str, Any]:
    """All of it."""
    person, world = session.person, session.world
    known = _knowledge(session)
    return {
        "call": {key: session.call[key] for key in ("id", "title", "level", "minutes")},
        "seed": session.seed, "practice": False,
        "phase": "closed" if session.closed else "on_site" if person.on_site else "dispatch",
        "clock": {"t": session.t, "now": clock(session, session.t), "note": _note(session)},
        "place": person.place, "places": _places(session),
        "senses": [{"sense": sense, "text": text} for sense, text in session.noticed()],
        "ticket": _ticket(session), "alarms": known.alarms, "trends": known.trends,
        "circuits": _circuits(session), "over": _over(session),
        "clamps": _clamps(session), "gauges": _gauges(session), "door": "open" if person.door_open else "shut", "held": person.held,
        "readings": _readings(session), "acts": {part: acts_of(session, part) for part in _parts_here(session)},
        "parts": _parts(session), "locks": dict(person.locks), "covers": sorted(person.covers),
        "isolation": _isolation(session), "phone": phonebook.of(session, clock),
        "suspects": [{**row, "words": MODES[row["mode"]], "clock": clock(session, row["t"]), "title": _says(session, row["part"])} for row in person.pad.suspects],
        "notes": [{**row, "clock": clock(session, row["t"])} for row in person.pad.notes],
        "names": [{"part": mark, "says": device.says, "terminals": list(device.terminals)} for mark, device in world.wiring.devices.items()]
        + [{"part": part, "says": says, "terminals": []} for part, says in PLANT_PARTS.items()],
        "modes": [[mode, words] for mode, words in MODES.items()],
        "questions": _questions(session), "card": card(session.night), "refrigerant": REFRIGERANT,
        "order": {"fields": [{"id": name, "title": FIELD_TITLES[name], "choices": None, "value": person.pad.order.get(name, ""), "offers": OFFERS.get(name, [])} for name in FIELDS],
                  "cause": person.pad.cause},
        "open": _open(session), "closed": session.closed,
    }  # fmt: skip


class _Knowledge:
    def __init__(self, alarms: list[dict[str, Any]], trends: dict[str, Any]) -> None:
        self.alarms, self.trends = alarms, trends


def _knowledge(session: Session) -> _Knowledge:
    """The controller's log as it was last read: with the ticket, or at the rack display."""
    seen = session.log_read if session.log_read is not None else session.read_log()
    return _Knowledge(seen["alarms"], seen["trends"])


def alarm_rows(session: Session) -> list[dict[str, Any]]:
    """Alarms of the last two days as rows with spans [s from the ticket]."""
    rows: dict[str, dict[str, Any]] = {}
    for event in session.world.alarm_events():
        if event.t < -nights.HISTORY:
            continue
        row = rows.setdefault(event.what, {"id": event.what, "text": event.text.capitalize(), "spans": []})
        if event.on:
            row["spans"].append([event.t, None])
        elif row["spans"] and row["spans"][-1][1] is None:
            row["spans"][-1][1] = event.t
        else:
            row["spans"].append([-nights.HISTORY, event.t])
    return sorted(rows.values(), key=lambda row: row["spans"][-1][0])


def trend_rows(session: Session) -> dict[str, Any]:
    """The controller's trends: discharge and suction, fan, and every case display."""
    log = session.world.trends()
    skip = max(0, int((-nights.HISTORY - log["from"]) / log["step"]))
    rows = log["rows"][skip:]
    circuits = session.world.store.data["circuits"]
    def column(n: int, unit: str) -> list[float]:
        return [round(from_si(float(value), unit), 1) for value in rows[:, n]]
    channels = [
        {"id": "discharge", "title": "Discharge pressure", "unit": "psig", "limit": 280, "values": column(1, "psig")},
        {"id": "suction", "title": "Suction pressure", "unit": "psig", "limit": None, "values": column(0, "psig")},
        {"id": "fan", "title": "Condenser fan", "unit": "%", "limit": None, "values": [round(100 * float(v)) for v in rows[:, 2]]},
    ]
    channels += [{"id": f"C{n}", "title": circuit["title"], "unit": "°F", "limit": circuit.get("limit_F", 41.0), "values": column(3 + n, "F")}
                 for n, circuit in enumerate(circuits, 1)]
    return {"from": log["from"] + skip * log["step"], "step": log["step"], "channels": channels}


def _note(session: Session) -> str:
    if not session.person.on_site:
        return "not there yet"
    minutes = int((session.t - session.arrived) // 60)
    return f"{minutes} min on site" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} on site"


def _places(session: Session) -> list[dict[str, Any]]:
    here = session.person.place
    drive = 0.0 if session.person.on_site else float(session.call["drive_minutes"])
    return [{"id": name, "title": about["title"], "here": name == here and session.person.on_site,
             "minutes": round(limits.walk_minutes(session.world, here, name) + drive)} for name, about in session.world.places.items()]


def _ticket(session: Session) -> dict[str, Any]:
    ticket = session.call["ticket"]
    data = session.world.store.data
    rows = [["Plant", data.get("about", data["title"])], ["Service", f"{data['supply']['line_volts']:g}Y/277 V, {data['supply']['hertz']:g} Hz"],
            ["Weather", ticket["weather_says"]], ["Access", ticket["access"]]]
    return {"came": session.call["starts"], "drive": session.call["drive_minutes"], "who": ticket["who"], "says": ticket["says"], "rows": rows, "scored": SCORED,
            "asked": [question["title"] for question in session.call["questions"]], "van": session.call["van"]["parts"]}


def _circuits(session: Session) -> list[dict[str, Any]]:
    """Every circuit with the latest of the technician's own readings."""
    latest: dict[str, tuple[str, float]] = {}
    for moment in session.moments:
        for reading in moment.saw.readings:
            latest[reading["of"]] = (reading["shown"], moment.t)
    told = set() if session.person.on_site else {row["id"] for row in _knowledge(session).alarms if row["spans"][-1][1] is None}
    rows = []
    for n, circuit in enumerate(session.world.store.data["circuits"], 1):
        limit = float(circuit.get("limit_F", 41.0))
        shown = {key: latest.get(f"C{n}.{point}") for key, point in (("display", "D"), ("air", "A1"), ("product", "G1"))}
        times = [value[1] for value in shown.values() if value]
        display = _number(shown["display"])
        rows.append({"n": n, "id": f"C{n}", "title": circuit["title"], "kind": circuit.get("kind", "case"), "limit": limit, "display": display,
                     "over": (f"air_{n}" in told or None) if display is None else display > limit, "seen": clock(session, shown["display"][1]) if shown["display"] else None,
                     "air": _number(shown["air"]), "product": _number(shown["product"]), "at": clock(session, max(times)) if times else None})
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
        told = sum(1 for row in _knowledge(session).alarms if row["id"].startswith("air_") and row["spans"] and row["spans"][-1][1] is None)
        return {"count": told, "of": len(rows), "seen": f"sent at {session.call['starts']}"}
    return {"count": sum(1 for row in seen if row["over"]), "of": len(rows), "seen": f"seen at {max(row['seen'] for row in seen)}"}


def _last(session: Session, of: str) -> str | None:
    for moment in reversed(session.moments):
        for reading in moment.saw.readings:
            if reading["of"] == of:
                return f"{reading['shown']} {reading['unit']}".strip()
    return None


def _clamps(session: Session) -> list[dict[str, Any]]:
    hung = session.person.clamps
    return [{"n": n, "terminal": hung.get(n), "now": _last(session, hung[n]) if n in hung else None,
             "max": _last(session, f"{hung[n]} max") if n in hung else None} for n in (1, 2, 3)]


def _gauges(session: Session) -> dict[str, Any]:
    hoses = session.person.gauges
    return {side: {"point": hoses[side], "shown": _last(session, hoses[side])} if side in hoses else None for side in ("high", "low")}


def _readings(session: Session) -> list[dict[str, Any]]:
    """Every reading and note, oldest first, with how old it is."""
    changed = max((m.n for m in session.moments if m.saw.kind == "act" and m.step.split()[0] not in QUIET), default=0)
    last = session.moments[-1].n if session.moments else 0
    rows = []
    for moment in session.moments:
        if moment.saw.kind in ("pad", "time", "refused", "caution", "closed"):
            continue
        step = parse(moment.step)
        fresh = "now" if moment.n == last and moment.saw.kind == "reading" else "since" if moment.n > changed else "before"
        part = (limits.part_of(step) or "").split(".")[0]
        base = {"n": moment.n, "clock": clock(session, moment.t), "t": moment.t, "place": moment.place, "part": part, "step": moment.step, "fresh": fresh,
                "sub": f"{_says(session, part)}".strip(), "points": [a for a in step.args if ":" in a or a in session.points or a in session.world.wiring.rails]}
        measured = [r for r in moment.saw.readings if r["unit"] or r["kind"] in ("volts", "ohms", "amps")]
        for reading in measured:
            title = reading["of"].replace("|", " to ")
            rows.append({**base, "title": title, "of": reading["of"], "shown": reading["shown"], "unit": reading["unit"], "kind": reading["kind"]})
        if not measured:
            rows.append({**base, "title": _done(step), "sub": moment.saw.text, "of": "", "shown": "done" if moment.saw.kind == "act" else "note", "unit": "", "kind": moment.saw.kind})
    return rows


QUIET = ("phone", "clamp", "unclamp", "clear-max", "lock", "tag", "open", "close", "ungauge", "press")
"""Acts after which the plant is as it was."""


def _done(step: Any) -> str:
    words = {"look": "Looked at", "listen": "Listened to", "feel": "Felt", "read": "Read", "smell": "Smelt the air", "off": "Switched off", "on": "Switched on",
             "phone": "Telephone:", "tug": "Pulled at", "try": "Tried to start"}.get(step.verb, step.verb.capitalize())
    return f"{words} {' '.join(step.args)}".strip()


def _says(session: Session, part: str) -> str:
    devices = session.world.wiring.devices
    if part in devices:
        return f"{part} {devices[part].says}"
    return PLANT_PARTS.get(part, session.points.get(part, {}).get("says", ""))


PLANT_PARTS = {
    "COIL": "Condenser coil and nozzles", "BASIN": "Condenser basin", "FLOAT": "Make-up float", "FAN": "Condenser fan", "PUMP": "Spray pump",
    "RECEIVER": "Receiver", "GLASS": "Liquid sight glass", "DRIER": "Liquid drier", "RACK": "Rack controller and its transducers",
    **{f"COMP{n}": f"Compressor {n}" for n in range(1, 5)}, **{f"OIL{n}": f"Oil glass {n}" for n in range(1, 5)},
    **{f"C{n}": f"Circuit {n}" for n in range(1, 11)}, **{f"XV{n}": f"Expansion valve, circuit {n}" for n in range(1, 11)},
}  # fmt: skip


def _parts_here(session: Session) -> list[str]:
    """Parts that can be touched or looked at from here."""
    here, world = session.person.place, session.world
    found = [mark for mark, device in world.wiring.devices.items() if device.place == here]
    found += [part for part in (*PLANT_PARTS, "GD", "GS") if limits.place_of(world, part, session.points) == here]
    return found + (["DOOR"] if here == "panel" else [])


def _parts(session: Session) -> dict[str, Any]:
    """What is known of every part here, in the technician's own words."""
    found = {}
    for part in _parts_here(session):
        device = session.world.wiring.devices.get(part)
        seen = [m for m in session.moments if len(m.step.split()) > 1 and m.step.split()[1].split(":")[0] == part and m.saw.kind in ("sight", "sound", "act", "reading")]
        facts = [f"{clock(session, m.t)} {m.saw.text}" for m in seen[-2:]]
        if part in session.person.locks:
            facts.append(f"Your lock {session.person.locks[part]} hangs on it.")
        if part in session.person.covers:
            facts.append("Cover is off.")
        found[part] = {"title": _says(session, part) or part, "says": device.says if device else PLANT_PARTS.get(part, ""), "facts": facts,
                       "kind": device.kind if device else "plant", "terminals": list(device.terminals) if device else [], "sheet": None}
    return found


def _isolation(session: Session) -> dict[str, Any]:
    """The paper form: what was switched off, locked, tried, and the tester's round. It lists acts, never what is missing."""
    log = session.person.isolation
    sources = []
    for mark in log.off():
        row: dict[str, Any] = {"part": mark, "says": _says(session, mark)}
        row["off"] = next((clock(session, e.t) for e in reversed(log.entries) if e.what == "off" and e.where == (mark,)), None)
        for key, what in (("lock", "lock"), ("tag", "tag"), ("tried", "try")):
            entry = log.done(what, mark)
            row[key] = clock(session, entry.t) if entry else None
        sources.append(row)
    started = min((e.n for e in log.since_energised() if e.what == "off"), default=10**9)
    tests = [e for e in log.entries if e.what == "volts" and e.n >= started - isolation.BEFORE_STEPS]
    dead = [e for e in tests if e.volts < isolation.DEAD_VOLTS and e.n > started]
    first, last = min((e.n for e in dead), default=10**9), max((e.n for e in dead), default=10**9)
    live = [e for e in tests if e.volts >= isolation.LIVE_VOLTS]
    line = [{"clock": clock(session, e.t), "text": f"{' '.join(e.where)} {e.what}"} for e in log.entries if e.what in ("off", "lock", "tag", "try", "on", "unlock")]
    return {"active": session.person.isolating(), "line": line[-6:], "sources": sources,
            "before": [_pair(session, e) for e in live if e.n < first][-2:], "dead": [_pair(session, e) for e in dead],
            "after": [_pair(session, e) for e in live if e.n > last][:2], "work": dead[0].where[0].split(":")[0] if dead else None}


def _pair(session: Session, entry: Any) -> dict[str, str]:
    own = "proving unit" in entry.where
    return {"pair": "Proving unit" if own else " to ".join(entry.where), "shown": f"{entry.volts:.1f}", "clock": clock(session, entry.t)}


def _questions(session: Session) -> list[dict[str, Any]]:
    answers = session.person.pad.answers
    return [{"id": q["id"], "title": q["title"], "asks": q["asks"], "unit": UNIT_WORDS.get(q["unit"], q["unit"]), "step_unit": q["unit"],
             "needs": [{**need, "shown": _last(session, f"{need['at']} wet bulb" if need.get("how") == "wick" else need["at"])} for need in q["needs"]],
             "answer": answers.get(q["id"])} for q in session.call["questions"]]


UNIT_WORDS = {"F-difference": "°F", "-": ""}


def card(night: nights.Night) -> list[list[float]]:
    """Pressure card of the store's refrigerant: psig, dew F, bubble F."""
    from scenarios.refrigeration import fluid

    if "card" not in night.__dict__:
        tables = fluid.load()
        rows = []
        for psig in CARD:
            at = fluid.saturation(tables, psig * 6894.757293168 + 101325.0)
            rows.append([float(psig), round(at.t_dew * 1.8 + 32.0, 1), round(at.t_bub * 1.8 + 32.0, 1)])
        night.__dict__["card"] = rows
    found: list[list[float]] = night.__dict__["card"]
    return found


def _open(session: Session) -> list[str]:
    """What is still empty on the pad."""
    pad = session.person.pad
    missing = [FIELD_TITLES[name].lower() for name in NEEDED if not pad.order.get(name)]
    if pad.cause is None:
        missing.insert(0, "what failed")
    sums = len(session.call["questions"]) - len(pad.answers)
    return missing + ([f"{sums} sum{'s' * (sums != 1)}"] if sums else [])


def minutes_of(session: Session, line: str) -> float:
    """How long a step would take from here. [min]"""
    step = parse(line, session.words)
    return limits.minutes(session.world, session.person, session.call, step) if step.verb in VERBS else 0.0


def spare_of(session: Session, part: str) -> str | None:
    """Spare of the van that fits a part."""
    return handling.van_part(session.world, part)

"""The technician's own paper and instruments at this moment: readings, parts, clamps, gauges and the isolation form.

Everything comes from the moments of the call and the notes of the technician, never from the true state.
"""

from functools import lru_cache
from typing import Any

from scenarios.call import Session
from scenarios.facts import Moment, SawKind
from scenarios.outlook.acts import ends_of
from scenarios.steps import Step, parse
from scenarios.visit import isolation, limits


def clock(session: Session, t: float) -> str:
    """Time of day of a call time, ``04:33``."""
    minutes = int((session.world.starts + t) // 60) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def last(session: Session, of: str) -> str | None:
    """The latest reading of a point with its unit, as it was shown."""
    for moment in reversed(session.moments):
        for reading in moment.saw.readings:
            if reading["of"] == of:
                return f"{reading['shown']} {reading['unit']}".strip()
    return None


def clamps(session: Session) -> list[dict[str, Any]]:
    """The three clamps: where each hangs, its last reading and its highest."""
    hung = session.person.clamps
    return [
        {
            "n": n,
            "terminal": hung.get(n),
            "now": last(session, hung[n]) if n in hung else None,
            "max": last(session, f"{hung[n]} max") if n in hung else None,
        }
        for n in (1, 2, 3)
    ]


def gauges(session: Session) -> dict[str, Any]:
    """The two hoses: where each is and what it last showed."""
    hoses = session.person.gauges
    return {
        side: {"point": hoses[side], "shown": last(session, hoses[side])} if side in hoses else None for side in ("high", "low")
    }


def readings(session: Session) -> list[dict[str, Any]]:
    """Every reading and note, oldest first, with how old it is."""
    changed = max((m.n for m in session.moments if m.saw.kind is SawKind.ACT and _moves(session, m)), default=0)
    last = session.moments[-1].n if session.moments else 0
    rows = []
    for moment in session.moments:
        if moment.saw.kind in ("pad", "time", "refused", "caution", "closed"):
            continue
        step = _parsed(moment.step)
        fresh = "now" if moment.n == last and moment.saw.kind == "reading" else "since" if moment.n > changed else "before"
        part = step.mark.split(".")[0]
        points = [a for a in step.args if ":" in a or a in session.points or a in session.world.wiring.rails]
        base: dict[str, Any] = {
            "n": moment.n,
            "clock": clock(session, moment.t),
            "t": moment.t,
            "place": moment.place,
            "part": part,
            "step": moment.step,
            "fresh": fresh,
            "sub": f"{says(session, part)}".strip(),
            "points": points,
        }
        measured = [r for r in moment.saw.readings if r["unit"] or r["kind"] in ("volts", "ohms", "amps")]
        for reading in measured:
            title = reading["of"].replace("|", " to ")
            rows.append(
                {
                    **base,
                    "points": _ends(reading["of"], points),
                    "title": title,
                    "of": reading["of"],
                    "shown": reading["shown"],
                    "unit": reading["unit"],
                    "kind": reading["kind"],
                }
            )
        if not measured:
            rows.append(
                {
                    **base,
                    "title": f"Incident at {part}" if moment.saw.kind == "incident" else _done(step),
                    "sub": moment.saw.text,
                    "of": "",
                    "shown": "done" if moment.saw.kind == "act" else "note",
                    "unit": "",
                    "kind": moment.saw.kind,
                }
            )
    return rows


def _ends(of: str, points: list[str]) -> list[str]:
    """Of the points that a step went to, those that one of its readings is between; all of them where it says none."""
    named = of.split("|")
    return [point for point in points if point in named] or points


def _moves(session: Session, moment: Moment) -> bool:
    """Whether the store may be another after a step that was done."""
    return limits.changed(session.world.store, _parsed(moment.step)).moves


@lru_cache(4096)
def _parsed(line: str) -> Step:
    """A step that was done, from its line: the same for as long as the call is open."""
    return parse(line)


def _done(step: Step) -> str:
    """A step in the past tense."""
    return f"{step.about.done} {' '.join(step.args)}".strip()


def says(session: Session, part: str) -> str:
    """What a part is called; empty for one that has no name."""
    known = session.world.store.parts.get(part)
    if known is None:
        return session.points[part].title if part in session.points else ""
    return f"{part} {known.title}" if known.kind.wired else f"{known.title[:1].upper()}{known.title[1:]}"


def parts_here(session: Session) -> list[str]:
    """Parts that can be touched or looked at from here."""
    return [mark for mark, part in session.world.store.parts.items() if part.place == session.person.place]


def parts(session: Session) -> dict[str, Any]:
    """What is known of every part here, in the technician's own words."""
    seen, found = _seen_of(session), {}
    for part in parts_here(session):
        device = session.world.wiring.devices.get(part)
        facts = [f"{clock(session, m.t)} {m.saw.text}" for m in seen.get(part, [])[-2:]]
        if part in session.person.locks:
            facts.append(f"Your lock {session.person.locks[part]} hangs on it.")
        if part in session.person.covers:
            facts.append("Cover is off.")
        found[part] = {
            "title": says(session, part),
            "says": device.says if device else says(session, part),
            "facts": facts,
            "kind": device.kind if device else "plant",
            "terminals": list(device.terminals) if device else [],
            "ends": ends_of(session, part),
            "sheet": None,
        }
    return found


def _seen_of(session: Session) -> dict[str, list[Moment]]:
    """Part -> the moments that showed something of it, oldest first."""
    found: dict[str, list[Moment]] = {}
    for moment in session.moments:
        words = moment.step.split()
        if len(words) > 1 and moment.saw.kind in ("sight", "sound", "act", "reading"):
            found.setdefault(words[1].split(":")[0], []).append(moment)
    return found


def isolation_form(session: Session) -> dict[str, Any]:
    """The paper form: what was switched off, locked, tried, and the tester's round. It lists acts, never what is missing."""
    log = session.person.isolation
    sources = []
    for mark in log.off():
        row: dict[str, Any] = {"part": mark, "says": says(session, mark)}
        row["off"] = next((clock(session, e.t) for e in reversed(log.entries) if e.what == "off" and e.where == (mark,)), None)
        for key, what in (("lock", "lock"), ("tried", "try")):
            entry = log.done(what, mark) or (_tried(log, mark) if what == "try" else None)
            row[key] = clock(session, entry.t) if entry else None
        sources.append(row)
    started = min((e.n for e in log.since_energised() if e.what == "off"), default=10**9)
    tests = [e for e in log.entries if e.what == "volts" and e.n >= started - isolation.BEFORE_STEPS]
    dead = [e for e in tests if e.volts < isolation.DEAD_VOLTS and e.n > started]
    first, last = min((e.n for e in dead), default=10**9), max((e.n for e in dead), default=10**9)
    live = [e for e in tests if e.volts >= isolation.LIVE_VOLTS]
    line = [
        {"clock": clock(session, e.t), "text": f"{' '.join(e.where)} {e.what}"}
        for e in log.entries
        if e.what in ("off", "lock", "try", "on", "unlock")
    ]
    return {
        "active": session.person.isolating(),
        "line": line[-6:],
        "sources": sources,
        "before": [_pair(session, e) for e in live if e.n < first][-2:],
        "dead": [_pair(session, e) for e in dead],
        "after": [_pair(session, e) for e in live if e.n > last][:2],
        "work": dead[0].where[0].split(":")[0] if dead else None,
    }


def _tried(log: isolation.IsolationLog, mark: str) -> isolation.Entry | None:
    """The latest try at a start, of whatever part, since a source was switched off."""
    since = max((e.n for e in log.entries if e.what == "off" and e.where == (mark,)), default=10**9)
    return next((e for e in reversed(log.entries) if e.what == "try" and e.n > since), None)


def _pair(session: Session, entry: Any) -> dict[str, str]:
    own = "proving unit" in entry.where
    return {
        "pair": "Proving unit" if own else " to ".join(entry.where),
        "shown": f"{entry.volts:.1f}",
        "clock": clock(session, entry.t),
    }

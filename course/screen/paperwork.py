"""The technician's own paper and instruments at this moment: parts, clamps, gauges and the isolation form.

Everything comes from the moments of the call and the notes of the technician, never from the true state.
"""

from typing import Any

from course.screen import names
from course.screen.acts import ends_of
from course.screen.rows import Rows, clock
from scenarios.call import Session
from scenarios.facts import Moment
from scenarios.visit import isolation
from scenarios.visit.isolation import Noted


def clamps(session: Session, seen: Rows) -> list[dict[str, Any]]:
    """The three clamps: where each hangs, its last reading and its highest."""
    hung = session.person.clamps
    return [
        {
            "n": n,
            "terminal": hung.get(n),
            "now": seen.last(hung[n]) if n in hung else None,
            "max": seen.last(f"{hung[n]} max") if n in hung else None,
        }
        for n in (1, 2, 3)
    ]


def gauges(session: Session, seen: Rows) -> dict[str, Any]:
    """The two hoses: where each is and what it last showed."""
    hoses = session.person.gauges
    return {side: {"point": hoses[side], "shown": seen.last(hoses[side])} if side in hoses else None for side in ("high", "low")}


def parts_here(session: Session) -> list[str]:
    """Parts that can be touched or looked at from here."""
    return [mark for mark, part in session.world.store.parts.items() if part.place == session.person.place]


def part(session: Session, mark: str, seen: list[Moment]) -> dict[str, Any]:
    """What is known of a part, in the technician's own words; ``seen``: the last moments that showed something of it."""
    store, person = session.world.store, session.person
    device = store.wiring.devices.get(mark)
    facts = [f"{clock(session, m.t)} {m.saw.text}" for m in seen]
    if mark in person.locks:
        facts.append(f"Your lock {person.locks[mark]} hangs on it.")
    if mark in person.covers:
        facts.append("Cover is off.")
    title = names.says(store, mark)
    return {"title": title, "says": device.says if device else title, "facts": facts, "ends": ends_of(session, mark)}


def isolation_form(session: Session) -> dict[str, Any]:
    """The paper form: what was switched off, locked, tried, and the tester's round. It lists acts, never what is missing."""
    log = session.person.isolation
    sources = []
    for mark in log.off():
        row: dict[str, Any] = {"part": mark, "says": names.says(session.world.store, mark)}
        row["off"] = next((clock(session, e.t) for e in reversed(log.entries) if e.what == Noted.OFF and e.where == (mark,)), None)
        for key, what in (("lock", Noted.LOCK), ("tried", Noted.TRY)):
            entry = log.done(what, mark) or (_tried(log, mark) if what == Noted.TRY else None)
            row[key] = clock(session, entry.t) if entry else None
        sources.append(row)
    started = min((e.n for e in log.since_energised() if e.what == Noted.OFF), default=10**9)
    tests = [e for e in log.entries if e.what == Noted.VOLTS and e.n >= started - isolation.BEFORE_STEPS]
    dead = [e for e in tests if e.volts < isolation.DEAD_VOLTS and e.n > started]
    first, last = min((e.n for e in dead), default=10**9), max((e.n for e in dead), default=10**9)
    live = [e for e in tests if e.volts >= isolation.LIVE_VOLTS]
    line = [
        {"clock": clock(session, e.t), "text": f"{' '.join(e.where)} {e.what}"}
        for e in log.entries
        if e.what != Noted.VOLTS
    ]
    return {
        "active": session.person.isolating(),
        "line": line[-6:],
        "sources": sources,
        "before": [_pair(session, e) for e in live if e.n < first][-2:],
        "dead": [_pair(session, e) for e in dead],
        "after": [_pair(session, e) for e in live if e.n > last][:2],
        "work": names.owner(session.world.store, dead[0].where[0]) if dead else None,
    }


def _tried(log: isolation.IsolationLog, mark: str) -> isolation.Entry | None:
    """The latest try at a start, of whatever part, since a source was switched off."""
    since = max((e.n for e in log.entries if e.what == Noted.OFF and e.where == (mark,)), default=10**9)
    return next((e for e in reversed(log.entries) if e.what == Noted.TRY and e.n > since), None)


def _pair(session: Session, entry: Any) -> dict[str, str]:
    own = "proving unit" in entry.where
    return {
        "pair": "Proving unit" if own else " to ".join(entry.where),
        "shown": f"{entry.volts:.1f}",
        "clock": clock(session, entry.t),
    }

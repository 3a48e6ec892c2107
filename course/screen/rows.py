"""Every reading and note of a call as a row of the pad: what it is of, between which points, how it is headed, how old it is."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from course.screen import names
from scenarios.call import Session
from scenarios.facts import Moment, SawKind
from scenarios.steps import Step, parse
from scenarios.store.model import Store
from scenarios.visit import limits

UNSAID = (SawKind.PAD, SawKind.TIME, SawKind.REFUSED, SawKind.CAUTION, SawKind.CLOSED)
"""What leaves no row."""
TOLD = (SawKind.SIGHT, SawKind.SOUND, SawKind.ACT, SawKind.READING)
"""What tells something of a part."""
HOW = {"air": "in air", "packs": "between packs", "pipe": "on the pipe", "wick": "wet wick"}
"""How a probe was put on."""
MEASURED = ("volts", "ohms", "amps")
"""Kinds that are readings even where they show no unit."""
SENSED = ("look", "listen", "feel", "smell")
"""Kinds that are noticed, not measured."""


class Shown(NamedTuple):
    """What a reading showed, and when."""

    shown: str
    unit: str
    t: float
    """[s] from the ticket."""


class Rows:
    """Rows of an open call, kept: each step's are made once, and only how old they are is told again."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.made: list[tuple[Moment, list[dict[str, Any]]]] = []
        self.latest: dict[str, Shown] = {}
        """What was last shown of a point, over the whole call."""
        self.seen: dict[str, list[Moment]] = {}
        """Moments that showed something of a part, oldest first."""

    def now(self) -> list[dict[str, Any]]:
        """Every reading and note, oldest first, with how old it is."""
        moments = self.session.moments
        kept = len(self.made)
        if kept > len(moments) or (kept and self.made[-1][0] is not moments[kept - 1]):
            self.made, self.latest, self.seen = [], {}, {}  # the call was put back and done again
        for moment in moments[len(self.made) :]:
            self._take(moment)
        store = self.session.world.store
        moved = (m.n for m in reversed(moments) if m.saw.kind == SawKind.ACT and limits.changed(store, _parsed(m.step)).moves)
        changed = next(moved, 0)
        last = moments[-1].n if moments else 0
        found = []
        for moment, own in self.made:
            new = moment.n == last and moment.saw.kind == SawKind.READING
            fresh = "now" if new else "since" if moment.n > changed else "before"
            for row in own:
                if row.get("fresh") != fresh:
                    row = row | {"fresh": fresh}
                found.append(row)
            own[:] = found[len(found) - len(own) :]
        return found

    def _take(self, moment: Moment) -> None:
        """Note what one step showed."""
        self.made.append((moment, _made(self.session, moment)))
        self.latest |= {reading["of"]: Shown(reading["shown"], reading["unit"], moment.t) for reading in moment.saw.readings}
        part = _parsed(moment.step).mark
        if part and moment.saw.kind in TOLD:
            self.seen.setdefault(part, []).append(moment)

    def last(self, of: str) -> str | None:
        """The latest reading of a point with its unit, as it was shown."""
        shown = self.latest.get(of)
        return f"{shown.shown} {shown.unit}".strip() if shown else None


def _made(session: Session, moment: Moment) -> list[dict[str, Any]]:
    if moment.saw.kind in UNSAID:
        return []
    store, step = session.world.store, _parsed(moment.step)
    part = names.owner(store, step.mark)
    base: dict[str, Any] = {
        "n": moment.n,
        "clock": clock(session, moment.t),
        "t": moment.t,
        "place": moment.place,
        "part": part,
        "step": moment.step,
        "sub": names.says(store, part),
        "glimpses": [],
    }
    measured = [r for r in moment.saw.readings if r["unit"] or r["kind"] in MEASURED]
    if measured:
        return [base | _reading(session, step, part, reading) for reading in measured]
    points, said = [a for a in step.args if _is_point(session, a)], " ".join(step.args)
    own = {
        "title": f"Incident at {part}" if moment.saw.kind == SawKind.INCIDENT else f"{step.about.done} {said}".strip(),
        "sub": moment.saw.text,
        "of": "",
        "shown": "",
        "unit": "",
        "kind": moment.saw.kind,
        "glimpses": _glimpses(store, part, moment.saw.readings),
    }
    return [base | own | _points(store, points)]


def _is_point(session: Session, name: str) -> bool:
    return name in session.world.wiring.node or name in session.points


def _reading(session: Session, step: Step, part: str, reading: dict[str, str]) -> dict[str, Any]:
    """One number: what it is of, between which points, and its heading."""
    store, of, kind = session.world.store, reading["of"], reading["kind"]
    where, _, which = of.partition(" ")
    ends = [end for end in of.split("|") if _is_point(session, end)]
    points = ends or ([where] if _is_point(session, where) else [a for a in step.args if _is_point(session, a)])
    about = {"of": of, "shown": reading["shown"], "unit": reading["unit"], "kind": kind, **_points(store, points)}
    if step.verb == "prove-meter":
        title = "Proving unit"
    elif len(points) == 2:
        a, b = points
        same = names.owner(store, a) == names.owner(store, b)
        title = f"{names.short(store, a)} to {names.short(store, b) if same else b}"
    elif kind == "amps":
        title = f"{names.short(store, where)}, {which or 'now'}"
    elif kind == "display" and where in store.points:
        own = store.circuits[store.points[where].row]
        title = "Display" if part == own.mark else names.circuit(own)
    elif kind == "temperature" and where in store.points:
        how = HOW.get(step.options.get("how", ""))
        title = f"{names.short(store, where)} {which}".strip() + (f", {how}" if how else "")
    else:
        title = names.capital(which) if which and where == part else of
    return about | {"title": title}


def _points(store: Store, points: list[str]) -> dict[str, Any]:
    """Points of a row, and what each is called at its part."""
    return {"points": points, "shorts": [names.short(store, point) for point in points]}


def _glimpses(store: Store, part: str, seen: Sequence[dict[str, str]]) -> list[list[str]]:
    """What was noticed of a part, by aspect: ``["fans", "turn"]``."""
    found = []
    for each in seen:
        mark, _, aspect = each["of"].partition(" ")
        if each["kind"] in SENSED and mark == part and aspect:
            found.append([aspect, "nothing to be seen" if aspect == "outside" else _words(store, part, aspect, each["shown"])])
    return found


def _words(store: Store, part: str, aspect: str, category: str) -> str:
    """How a category is said at its box.

    A wired part's are short (in, out, bright), so its aspect goes with them; those of the plant speak for themselves.
    """
    own = store.parts.get(part)
    if own is not None and own.kind.wired and aspect not in category:
        return f"{aspect} {category}"
    return category.removeprefix(f"{aspect} ")


@lru_cache(4096)
def _parsed(line: str) -> Step:
    """A step that was done, from its line: the same for as long as the call is open."""
    return parse(line)


def clock(session: Session, t: float) -> str:
    """Time of day of a call time, ``04:33``."""
    minutes = int((session.world.starts + t) // 60) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"

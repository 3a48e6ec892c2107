"""Where graders meet the world, and the only place: a record is replayed, and turned into plain moments, facts and worlds."""

import math
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

from graders import aftermath, tour
from graders.aftermath import Happening
from graders.calculations import Saturation
from graders.ground import ground
from graders.locking import locked_off
from graders.moments import Aftermath, Fact, FactKind, Moment, Reading, Suspect, Trend, Truth, World
from graders.night import Night
from scenarios import facts as seen_facts
from scenarios import record as records
from scenarios.errors import BadRequest
from scenarios.facts import LeftKind
from scenarios.store.model import Point, Store
from scenarios.truths import Plan, truths
from scenarios.units import UNITS, from_si, to_si
from scenarios.visit import wording

NO_PLAN = Plan(())
DEAD, LIVE = 10.0, 50.0
"""Displayed volts that count as dead and as live."""
HOURS_AFTER = 72.0
PROOF_STEPS = 10
"""Steps after the last repair that are still replayed in suspects' worlds: switching on, the first amps."""


def figure(shown: str, unit: str) -> float | None:
    """SI value of a display; endless where it is over its range, None for words."""
    text = shown.strip()
    if text.startswith((">", "OL")):
        return math.inf
    try:
        value = float(text.replace("\u2212", "-"))
    except ValueError:
        return None
    return to_si(value, unit) if unit in UNITS else value


def reading(row: Mapping[str, str], truth: seen_facts.Truth | None) -> Reading:
    """One reading of a record; a sight keeps its words."""
    words = truth is not None and truth.value is None
    unit = str(row.get("unit", ""))
    return Reading(str(row["of"]), str(row["kind"]), str(row["shown"]), unit, None if words else figure(str(row["shown"]), unit))


def moment(made: seen_facts.Moment, truths: Sequence[Truth] = (), changed: tuple[tuple[str, str], ...] = ()) -> Moment:
    """One step, with the truths behind its readings."""
    by = {(truth.of, truth.kind): truth for truth in truths}
    readings = tuple(reading(row, by.get((row["of"], row["kind"]))) for row in made.saw.readings)
    saw = made.saw
    return Moment(made.n, made.t, made.place, made.step, saw.text, saw.kind, saw.minutes, readings, tuple(truths), changed)


def moments(
    made: Sequence[seen_facts.Moment], truths: Mapping[tuple[int, str, str], Truth], plan: Plan = NO_PLAN
) -> tuple[Moment, ...]:
    """All steps, each with its truths and what it changed."""
    by: dict[int, list[Truth]] = {}
    for (n, _, _), truth in truths.items():
        by.setdefault(n, []).append(truth)
    changed = {done.n: done.changed for done in plan.steps}
    return tuple(moment(one, by.get(one.n, ()), changed.get(one.n, ())) for one in made)


def facts(
    made: Sequence[seen_facts.Fact], moments: Sequence[Moment], left: Mapping[str, Any], end: float, store: Store
) -> tuple[Fact, ...]:
    """The session's facts, and what follows: tester proved, pair dead, part locked off, product measured, things left."""
    found: list[Fact] = []
    for fact in made:
        data = dict(fact.data)
        if fact.kind == FactKind.HANDS_ON:
            data["locked_off"] = locked_off(store.wiring, fact.what, data["locked"])
        found.append(Fact(fact.kind, fact.n, fact.t, fact.what, fact.text or str(data.get("text", "")), data))
        found += _derived(found[-1])
    cases = {p.name: circuit.mark for circuit in store.circuits for p in store.points.values() if _on_product(p, circuit.part.row)}
    found += [Fact(FactKind.PRODUCT_MEASURED, m.n, m.t, cases[r.of]) for m in moments for r in m.readings if r.of in cases]
    if any(fact.kind == FactKind.CLOSED_OUT for fact in found):
        n = moments[-1].n if moments else 0
        found += [Fact(FactKind.LEFT, n, end, what, text, {"kind": kind}) for kind, what, text in things_left(left)]
    return tuple(sorted(found, key=lambda fact: fact.n))


def _on_product(point: Point, row: int) -> bool:
    """Whether a point is in or on the product of a circuit's row."""
    return point.role in ("core", "surface") and point.row == row


def _derived(fact: Fact) -> Iterator[Fact]:
    """What a fact of the session means for safe work."""
    if fact.kind == FactKind.VOLTS:
        volts = float(fact.data["volts"])
        data = {"a": fact.data["a"], "b": fact.data["b"], "volts": volts}
        if volts >= LIVE:
            yield Fact(FactKind.KNOWN_LIVE, fact.n, fact.t, fact.what, "", data)
        elif volts < DEAD:
            yield Fact(FactKind.DEAD_PAIR, fact.n, fact.t, fact.what, "", data)


def things_left(left: Mapping[str, Any]) -> Iterator[tuple[LeftKind, str, str]]:
    """Kind, name and words of everything that was not put back."""
    if left.get("door_open"):
        yield LeftKind.DOOR, "DOOR", "the panel door open"
    for name in left.get("covers", []):
        yield LeftKind.COVER, name, f"the cover of {name} off"
    for name in left.get("locks", {}):
        yield LeftKind.LOCK, name, f"your lock on {name}"
    for pair in left.get("bridges", []):
        yield LeftKind.BRIDGE, " ".join(pair), f"a jumper from {pair[0]} to {pair[1]}"
    for name in left.get("lifted", []):
        yield LeftKind.LIFTED, name, f"the wire at {name} lifted"
    for n, name in left.get("clamps", {}).items():
        yield LeftKind.CLAMP, name, f"clamp {n} at {name}"
    for side, name in left.get("gauges", {}).items():
        yield LeftKind.GAUGE, name, f"the {side} hose on {name}"
    for name, position in left.get("off_normal", {}).items():
        yield LeftKind.BYPASS, name, f"{name} on {position}"


def how_left(session: Any) -> dict[str, Any]:
    """The session's own list, and selectors that do not stand where they belong."""
    left = dict(session.left())
    devices = session.world.wiring.devices
    normal = {mark: devices[mark].stands for mark in left.get("selectors", {})}
    left["off_normal"] = {mark: now for mark, now in left.get("selectors", {}).items() if normal[mark] and now != normal[mark]}
    return left


@cache
def saturation(refrigerant: str) -> Saturation:
    """Dew and bubble temperature of a refrigerant from the committed tables."""
    from scenarios.refrigeration import fluid, property_tables

    tables = property_tables.load(refrigerant)
    return Saturation(
        dew=lambda pressure: float(fluid.saturation(tables, pressure).t_dew),
        bubble=lambda pressure: float(fluid.saturation(tables, pressure).t_bub),
    )


def happenings(session: Any, events: Sequence[seen_facts.Event]) -> list[Happening]:
    """Alarms and trips with the words for them."""
    titles = {alarm.id: alarm.title for alarm in session.world.alarms}
    return [Happening(event, wording.event(event, titles)) for event in events]


def trends(session: Any) -> tuple[Trend, ...]:
    """Discharge pressure, and the case that is over its limit the longest, from the controller's own log."""
    log = session.world.trends()
    rows = log["rows"]
    if not len(rows):
        return ()
    start, step = float(log["from"]), float(log["step"])
    first = {name: next(n for column, n in log["columns"].items() if column.name == name) for name in ("discharge", "display")}
    discharge: Any = from_si(rows[:, first["discharge"]], "psig")
    shown = [Trend("Discharge pressure", "psig", start, step, tuple(discharge.tolist()))]
    circuits = session.world.store.circuits
    limits = {n: float(circuit.limit_fahrenheit) for n, circuit in enumerate(circuits)}
    cases: Any = from_si(rows[:, first["display"] :], "F")
    over = {n: int((cases[:, n] > limit).sum()) for n, limit in limits.items()}
    if over:
        n = max(over, key=lambda k: (over[k], -k))
        title = circuits[n].title.capitalize()
        shown.append(Trend(title, f"°F, limit {limits[n]:g}", start, step, tuple(cases[:, n].tolist()), limits[n]))
    return tuple(shown)


def hours_after(session: Any, key: Mapping[str, Any]) -> Aftermath:
    """The 72 hours after close-out."""
    before = happenings(session, session.world.events())
    after = session.after(HOURS_AFTER)
    log = [event for event in before if event.t <= session.t] + [
        event for event in happenings(session, after.events) if event.t > session.t
    ]
    return aftermath.judge(log, session.t, key.get("goals", {}).get("service", {}))


def in_all_worlds(session: Any, suspects: bool) -> tuple[tuple[Moment, ...], tuple[Suspect, ...], tuple[World, ...]]:
    """The steps of a call with the truths behind them, every suspect, and what every suspect's world would have shown."""
    night, seed = session.night, session.seed
    plan = Plan.of(session.moments, session.facts, session.words, night.store)
    shown = moments(session.moments, truths(plan, night.world(seed), session.call, seed), plan)
    return shown, *(suspects_and_worlds(night, seed, until_proved(session, plan)) if suspects else ((), ()))


def until_proved(session: Any, plan: Plan) -> Plan:
    """The plan up to a few steps after the last repair; recovery tells suspects nothing new."""
    repairs = [fact.n for fact in session.facts if fact.kind == FactKind.REPAIRED]
    return plan.upto(max(repairs) + PROOF_STEPS) if repairs else plan


def suspects_and_worlds(night: Any, seed: int, plan: Plan) -> tuple[tuple[Suspect, ...], tuple[World, ...]]:
    """Every suspect of a call, and the steps as each severity of each would have shown them."""
    found: dict[str, Suspect] = {}
    worlds = []
    for entry in night.suspects(seed):
        fault = entry.fault
        found.setdefault(fault.id, Suspect(fault.id, fault.part, fault.mode, fault.at, fault.title, float(fault.prior)))
        worlds.append(World(fault.id, float(entry.share), truths(plan, night.suspect_world(seed, entry), night.played)))
    return tuple(found.values()), tuple(worlds)


def seeds(call_id: str) -> list[int]:
    """One seed for every variant of a call."""
    from scenarios.assignments import assignment

    return list(range(max(len(assignment(call_id).key.get("variants", {})), 1)))


def level(call_id: str) -> str:
    """Level of a call: first, own or hard."""
    from scenarios.assignments import assignment

    return str(assignment(call_id).call["level"])


def key(call_id: str, seed: int) -> dict[str, Any]:
    """Key of a call with the words of the seed's variant put in."""
    from scenarios.assignments import assignment

    return dict(assignment(call_id).key_of(seed))


def walk(call_id: str) -> dict[tuple[str, str], float]:
    """Minutes on foot between all places of a call's store."""
    from scenarios.assignments import assignment

    places = assignment(call_id).store.places
    names, at = list(places), 0.0
    along = {}
    for name in names:
        along[name] = at
        at += places[name].next
    return {(a, b): abs(along[a] - along[b]) for a in names for b in names}


def start(call_id: str) -> str:
    """Place where a technician begins on foot: the van, whatever a store calls it."""
    from scenarios.assignments import assignment

    return assignment(call_id).store.place("van")


def take(call_id: str, seed: int, lines: Sequence[str]) -> records.Record:
    """Take a call by a list of steps, without a file.

    Raises
    ------
    BadRequest
        A line is no step of this call; the sentence says which line.
    """
    from scenarios.call import Session

    session = Session.open(call_id, seed)
    for n, line in enumerate(lines, 1):
        try:
            session.do(line)
        except BadRequest as error:
            raise BadRequest(f"{call_id}, step {n} {line!r}: {error}") from error
    made = [records.Line(m.n, m.t, m.step, m.saw.as_json(), "") for m in session.moments]
    return records.Record(session.night.head(seed), made, name=call_id)


def tour_of(call_id: str, seed: int) -> list[str]:
    """The tour of every safe step on the circuits of a call's suspects, as steps."""
    from scenarios.assignments import assignment

    built = assignment(call_id)
    return tour_in(built.store, [entry.fault.part for entry in built.suspects(seed)])


def tour_in(store: Store, suspected: Sequence[str]) -> list[str]:
    """The tour of every safe step on the circuits of some parts of a store."""
    devices = store.wiring.devices
    marks = tour.parts_of(suspected, {mark: device.group for mark, device in devices.items()})
    driven = {device.group for device in devices.values() if device.kind == "drive3"}
    wired = [wired_part(devices[mark], devices[mark].group in driven) for mark in marks]
    parts = store.parts
    handles = [mark for mark in devices if parts[mark].kind.handle]
    own = [mark for mark in handles if mark in marks and len(devices[mark].poles) == 3]
    control = [mark for mark in handles if len(devices[mark].poles) < 3]
    switched = {mark: devices[mark].place for mark in (*own, *control)}
    return tour.steps(wired, ground(store, suspected, switched))


def wired_part(device: Any, driven: bool) -> tour.Wired:
    """One part of the wiring as a tour needs it."""
    ends = [pair.split("-") for pair in (*device.contacts, *device.loads, *["A1-A2"] * device.coil)]
    pairs = tuple((f"{device.mark}:{a}", f"{device.mark}:{b}") for a, b in ends)
    return tour.Wired(device.mark, device.kind, device.place, device.poles, pairs, device.terminals, driven)


def replay(source: Path | str | bytes | records.Record, *, after: bool = True, suspects: bool = True) -> Night:
    """Replay a record in its own world and in every suspect's world.

    Parameters
    ----------
    source : path, bytes or Record
        The record.
    after : bool
        Whether to run the 72 hours after close-out.
    suspects : bool
        Whether to take the steps in every suspect's world as well; without them nothing can be said of the diagnosis.

    Raises
    ------
    BadRequest
        The record cannot be read, or was made for another call, key or engine.
    """
    from scenarios.call import Session

    made = source if isinstance(source, records.Record) else records.read(source)
    session, problems = Session.replay(made)
    if made.torn:
        problems = [f"{made.name}: the last line is torn and was left out", *problems]
    key = session.night.key_of(session.seed)
    with ThreadPoolExecutor(1) as aside:  # compiled physics lets the interpreter go: three days pass beside the suspects' hours
        later = aside.submit(hours_after, session, key) if session.closed and after else None
        shown, found, worlds = in_all_worlds(session, suspects)
    return Night(
        call=str(session.night.call["id"]),
        title=str(session.night.call["title"]),
        seed=session.seed,
        moments=shown,
        facts=facts(session.facts, shown, how_left(session), session.t, session.night.store),
        key=key,
        questions=session.night.call.get("questions", []),
        saturation=saturation(session.night.store.racks[0].refrigerant),
        suspects=found,
        worlds=worlds,
        aftermath=later.result() if later else None,
        trends=trends(session),
        starts=str(session.night.call["starts"]),
        problems=tuple(problems),
        replays=not [p for p in problems if "torn" not in p],
        groups=tuple(tuple(group) for group in session.night.inseparable(session.seed)),
    )

"""What hands can do to each kind of part, tempting acts included and unmarked: the list belongs to the kind, never to the fault."""

from typing import Any

from scenarios.call import Session
from scenarios.steps import Step
from scenarios.verbs import VERBS
from scenarios.visit import handling, limits

WIRE = ["tug {t}:Pull at it", "torque {t}:Tighten", "lift {t}:Lift the wire", "land {t}:Land the wire", "re-end {t}:New end"]
"""What hands can do to a wire end; ``{t}`` stands for the terminal."""


def acts_of(session: Session, part: str) -> list[dict[str, Any]]:
    """Acts of a part with their minutes; ``?`` in a line stands for a value still to be given."""
    gone = "open " if is_open(session, part) else "close "  # a cover is on or off
    rows = [row for row in _rows(session, part) if not row.startswith(gone)]
    return [_act(session, row) for row in (*rows, *_legs(session, part))]


def is_open(session: Session, part: str) -> bool:
    """Whether a part's cover is off, or a panel's door open."""
    person = session.person
    return person.door_open if part == session.world.places[person.place].door else part in person.covers


def _rows(session: Session, mark: str) -> list[str]:
    """What its kind offers, filled in: once for every position of a selector, and with the other case where product could go."""
    store = session.world.store
    part = store.parts.get(mark)
    if part is None:
        return []
    device = store.wiring.devices.get(mark)
    cases = [each for each in store.parts.values() if "cases" in each.kind.tables and each is not part]
    found = []
    for row in part.kind.acts:
        words = [{"position": each} for each in device.positions] if device and "{position}" in row else [{}]
        if "{other}" in row:
            words = [{"other": cases[-1].mark, "other_title": cases[-1].title}] if cases else []
        found += [row.format(p=mark, **each) for each in words]
    return found


def _legs(session: Session, part: str) -> list[str]:
    """Volts on every leg of a three-pole part at once: each to each other and to earth, on either side."""
    device = session.world.wiring.devices.get(part)
    if device is None or len(device.poles) != 3:
        return []
    sides = zip(("line", "load"), zip(*device.poles, strict=True), strict=True)
    return [f"volts {' '.join(ends)} {session.world.wiring.earth}:Volts, {side} side" for side, ends in sides]


def ends_of(session: Session, part: str) -> list[str]:
    """Terminals of a part at which a wire ends."""
    wiring = session.world.wiring
    return [t for t in wiring.devices[part].terminals if wiring.wires_at.get(t)] if part in wiring.devices else []


def wire_acts() -> list[dict[str, Any]]:
    """Acts on any wire end, told once: ``{t}`` in a line stands for its terminal, at which each is done."""
    found = []
    for row in WIRE:
        line, title = row.rsplit(":", 1)
        verb = line.split()[0]
        found.append({"line": line, "title": title, "verb": verb, "minutes": VERBS[verb].minutes})
    return found


def _act(session: Session, row: str) -> dict[str, Any]:
    line, title = row.rsplit(":", 1)
    verb, *args = line.split()
    shown: dict[str, Any] = {"line": line, "title": title, "verb": verb, "minutes": VERBS[verb].minutes}
    if VERBS[verb].minutes < 0:
        shown["minutes"] = limits.minutes(session.world, session.person, session.call, Step(verb, tuple(args)))
    if verb == "replace":
        shown["spare"] = handling.van_part(session.world, args[0])
    return shown

"""What can be done now, what deserves a caution, and how long it takes.

A refusal is a matter of place, cover or tool and costs nothing. A caution goes by the technician's notes alone: it says that they
do not show a part proved dead, before every such step until they do, and never says what is live.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from scenarios.site import World
from scenarios.steps import Step
from scenarios.store.model import Point, Store
from scenarios.verbs import Changes, Near, Risk, Takes, Where
from scenarios.visit import scenery
from scenarios.visit.isolation import LIVE_VOLTS, Noted, Proof
from scenarios.visit.technician import Technician

STEP = 5.0
"""Step of the simulation [s]; every act takes a whole number of them."""


def walk_minutes(world: World, start: str, end: str) -> float:
    """Minutes on foot between two places, along the row of places of the store. [min]"""
    names = list(world.places)
    a, b = sorted((names.index(start), names.index(end)))
    return float(sum(world.places[name].next for name in names[a:b]))


def minutes(world: World, person: Technician, call: dict[str, Any], step: Step) -> float:
    """How long a step takes. [min]"""
    match step.about.takes:
        case Takes.WAY:
            drive = 0.0 if person.on_site else float(call["drive_minutes"])
            return drive + walk_minutes(world, person.place, step.args[0])
        case Takes.PAIRS:
            return 0.5 * len(list(combinations(step.names, 2)))
        case Takes.PERSON:
            return step.about.minutes + float(call["people"][step.args[0]].get("answers_minutes", 0.0))
        case Takes.PART:
            part = world.store.parts.get(step.mark)
            return part.minutes if part else 0.0
        case Takes.SAID:
            return float(step.args[0])
        case Takes.VERB:
            return step.about.minutes


def changed(store: Store, step: Step) -> Changes:
    """What of a store, or of the technician's things, is another after a step that is done."""
    about, part = step.about, store.parts.get(step.mark)
    on_case = about.on_case is not None and part is not None and "cases" in part.kind.tables
    return about.on_case if on_case and about.on_case else about.changes


def refusal(world: World, person: Technician, step: Step, points: dict[str, Point]) -> str:
    """Why a step cannot be done from here, in one sentence; empty where it can."""
    about = step.about
    hung = [terminal for n, terminal in sorted(person.clamps.items()) if step.args[:1] in ((), (str(n),))] if about.hung else []
    if about.hung and not hung:
        return "No clamp hangs on a wire; hang one first."
    if about.where is Where.ANYWHERE:
        return ""
    if not person.on_site:
        return "You are not there yet; drive there first."
    names = {Where.PART: step.names, Where.CLAMP: tuple(hung)}.get(about.where, ())
    away = next((why for name in names if (why := _at_hand(world, person, points, name))), "")
    return away or _covered(world, person, step, names) or _barred(world, person, step)


def _barred(world: World, person: Technician, step: Step) -> str:
    """Why no hands go on a part that could not be made safe after an incident, as long as it is live."""
    mark = touched(world, person, step)
    if mark not in person.barred or world.touch_volts(mark) <= LIVE_VOLTS:
        return ""
    return f"{mark} could not be made safe and is live still; no hands go there."


def _at_hand(world: World, person: Technician, points: dict[str, Point], name: str) -> str:
    """Where a part is instead, if it is not here."""
    where = place_of(world, name, points)
    return f"{name} is elsewhere: {world.places[where].title}." if where and where != person.place else ""


def place_of(world: World, name: str, points: dict[str, Point]) -> str:
    """Place of a part, terminal or test point; empty for what is everywhere (rails, earth)."""
    mark = name.split(":")[0]
    if mark in world.store.parts:
        return world.store.parts[mark].place
    if name in points:
        return points[name].place
    inside = mark in world.wiring.rails and mark != world.wiring.earth
    return world.store.place("panel") if inside else ""


def _covered(world: World, person: Technician, step: Step, names: Sequence[str]) -> str:
    """The cover or door that is still in the way: the outside of what is covered can be felt, what is behind the door cannot."""
    shut = _open if step.about.cover else _behind_door if step.about.touch is Near.HAND else None
    return next((why for name in names if (why := shut(world, person, name))), "") if shut else ""


def _open(world: World, person: Technician, name: str) -> str:
    """The door or cover that hides a terminal, if it is shut."""
    mark = name.split(":")[0]
    device = world.wiring.devices.get(mark)
    if device and not in_panel(world, device.place) and mark not in person.covers:
        return f"The cover of {mark} is on; take it off first."
    return _behind_door(world, person, name)


def in_panel(world: World, place: str) -> bool:
    """Whether a place is that of a panel: its parts are behind its door, not under covers of their own."""
    return world.places[place].kind == "panel"


def _behind_door(world: World, person: Technician, name: str) -> str:
    """The panel door, if it is shut before a part or rail."""
    mark = name.split(":")[0]
    device = world.wiring.devices.get(mark)
    inside = in_panel(world, device.place) if device else mark in world.wiring.rails and mark != world.wiring.earth
    return "The panel door is shut; open it first." if inside and not person.door_open else ""


def touched(world: World, person: Technician, step: Step) -> str:
    """Mark of the electrical part whose metal bare hands or a hand tool go to; empty where there is none.

    A hand on the outside of a part that is closed touches no metal that can be live: its box is insulated or earthed.
    """
    about, mark = step.about, step.mark
    if about.touch is not Near.HAND or mark not in world.wiring.devices or (not about.cover and _open(world, person, mark)):
        return ""
    return mark


@dataclass(frozen=True)
class Caution:
    """What the notes do not show."""

    part: str
    text: str


def to_prove(world: World, mark: str) -> tuple[list[str], list[tuple[str, str]]]:
    """Line-side terminals and control pairs that must read dead before hands go on a part."""
    device, prove = world.wiring.devices[mark], world.store.parts[mark].kind.prove
    sides = {"line": [pole[0] for pole in device.poles], "load": [pole[-1] for pole in device.poles]}
    control = [(e.a, world.wiring.earth) for e in world.wiring.elements_of(mark) if e.role != "pole"]
    return sides.get(prove, list(device.terminals[:3])), control


def proof(world: World, person: Technician, mark: str) -> Proof:
    """How far the notes prove a part dead; an overload relay is as dead as the contactor it sits on."""
    own = person.proof(*to_prove(world, mark))
    carrier = world.wiring.devices[mark].on
    return own if own.whole or not carrier else person.proof(*to_prove(world, carrier))


def caution(world: World, person: Technician, step: Step) -> Caution | None:
    """A caution that is due before this step, by the notes alone."""
    if not step.about.dead:
        return None
    if step.about.touch is not Near.HAND:
        return _dead_reading(world, person, step)
    mark = touched(world, person, step)
    if not mark or proof(world, person, mark).whole:
        return None
    return Caution(mark, f"Your notes do not show that {mark} is proved dead.")


def _dead_reading(world: World, person: Technician, step: Step) -> Caution | None:
    """Ohms and insulation want a dead circuit: the part proved, or this pair read dead since anything was switched on."""
    marks = [name.split(":")[0] for name in step.args[:2] if name.split(":")[0] in world.wiring.devices]
    key = "|".join(sorted(step.args[:2]))
    if any(proof(world, person, mark).whole for mark in marks):
        return None
    pair = frozenset(step.args[:2])
    if any(e.what == Noted.VOLTS and frozenset(e.where) == pair and e.volts < 10.0 for e in person.isolation.since_energised()):
        return None
    opened = [mark for mark in marks if mark in person.covers and not in_panel(world, world.wiring.devices[mark].place)]
    if opened and person.isolation.off():
        return None
    tool = "An insulation test" if step.about.risk is Risk.TESTING else "Ohms"
    return Caution(key, f"{tool} needs a dead circuit. Your notes do not show that this one is.")


def left(world: World, person: Technician) -> dict[str, Any]:
    """How things stand: door, covers, locks, jumpers, lifted wires, bypasses, settings, temperatures."""
    return {
        "door_open": person.door_open, "covers": sorted(person.covers), "locks": dict(person.locks),
        "bridges": list(person.bridges), "lifted": list(person.lifted), "clamps": dict(person.clamps),
        "gauges": dict(person.gauges), "replaced": list(person.replaced),
        **scenery.standing(world),
    }  # fmt: skip

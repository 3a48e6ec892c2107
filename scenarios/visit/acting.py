"""What hands do: each verb changes the world or the notes, and says what was done.

An act never knows what is wrong with the store. It changes parameters and states through `World`, keeps the technician's notes,
and leaves facts for whoever looks back. What follows from the act is simulated and noticed like everything else.
"""

from collections.abc import Callable
from dataclasses import replace as replace_fields

from scenarios.errors import BadRequest
from scenarios.facts import FactKind, Observed
from scenarios.parts.kind import Part
from scenarios.steps import Step
from scenarios.verbs import Changes
from scenarios.visit import handling, limits, scenery
from scenarios.visit.isolation import Noted
from scenarios.visit.outcome import Act, Outcome, Refused, Scene
from scenarios.visit.paper import PAPER
from scenarios.visit.technician import LOCKS

WATCH = 20.0
"""How long one stays and listens after switching something [s]."""

HAS: dict[str, Callable[[Part], bool]] = {
    "handle": lambda part: part.kind.handle,
    "selector": lambda part: part.kind.name == "selector",
    "armature to push": lambda part: part.kind.armature,
    "button": lambda part: "high" in part.kind.tables,
    "start": lambda part: part.kind.wired,
}
"""How a kind shows that its parts have what a verb is done on."""


def refusal(scene: Scene, step: Step) -> str:
    """Why an act cannot be done, found on copies before any time passes; empty where it can."""
    about = step.about
    if (about.changes is Changes.PAPER and not about.minutes) or step.verb not in ACTING:
        return ""  # what only writes is never tried
    part = scene.world.store.parts.get(step.mark)
    if about.on and not (part and HAS[about.on](part)):
        return f"{step.mark} has no {about.on}."
    world = scene.world.glance() if limits.changed(scene.world.store, step).moves else scene.world
    try:
        ACTING[step.verb](replace_fields(scene, world=world, person=scene.person.twin()), step)
    except Refused as why:
        return str(why)
    except BadRequest as why:
        return f"{str(why)[:1].upper()}{str(why)[1:]}."
    return ""


def go(scene: Scene, step: Step) -> Outcome:
    """Walk to a place, the first time after the drive; what hangs on the drawing stays, leads and held parts are let go."""
    person = scene.person
    if person.on_site and step.args[0] == person.place:
        raise Refused("You are there.")
    person.place, person.on_site = step.args[0], True
    return Outcome(f"{scene.world.places[person.place].title}.")


def wait(scene: Scene, step: Step) -> Outcome:
    """Time passes; the session has let it pass."""
    return Outcome("Waited.")


def open_part(scene: Scene, step: Step) -> Outcome:
    """Open the panel door or take a cover off."""
    name = step.args[0]
    if name == "DOOR":
        scene.person.door_open = True
    else:
        scene.person.covers.add(name)
    return Outcome(f"{name} open." if name == "DOOR" else f"Cover of {name} off.")


def close_part(scene: Scene, step: Step) -> Outcome:
    """Close the panel door or put a cover back."""
    name = step.args[0]
    if name == "DOOR":
        scene.person.door_open = False
    elif handling.is_case(scene.world, name):
        scene.person.covers.discard(name)
        return Outcome(f"Door or curtain of {name} {'shut' if handling.shut_case(scene.world, name) else 'was shut'}.")
    elif name in scene.person.covers:
        scene.person.covers.remove(name)
    else:
        raise Refused(f"The cover of {name} is on.")
    return Outcome(f"{name} shut." if name == "DOOR" else f"Cover of {name} on.")


def off(scene: Scene, step: Step) -> Outcome:
    """Switch off by the handle."""
    mark = step.args[0]
    handling.handle(scene.world, mark, False)
    scene.person.isolation.add(scene.n, scene.t, Noted.OFF, (mark,))
    return Outcome(f"{mark} off.", watch=5.0)


def on(scene: Scene, step: Step) -> Outcome:
    """Switch on by the handle; refused while a lock hangs on it."""
    mark = step.args[0]
    if mark in scene.person.locks:
        raise Refused(f"Your lock {scene.person.locks[mark]} hangs on {mark}; take it off first.")
    tripped = scenery.device(scene.world, mark).handle == "tripped"
    scene.person.made_safe.discard(mark)
    scene.person.resets[mark] = scene.person.resets.get(mark, 0) + tripped
    handling.handle(scene.world, mark, True)
    scene.person.isolation.add(scene.n, scene.t, Noted.ON, (mark,))
    return Outcome(f"{mark} on.", [(FactKind.SWITCHED_ON, mark, {})], watch=WATCH)


def select(scene: Scene, step: Step) -> Outcome:
    """Turn a selector."""
    mark, position = step.args
    allowed = scene.world.wiring.devices[mark].positions
    if position not in allowed:
        raise Refused(f"{mark} has the positions {', '.join(allowed)}.")
    handling.select(scene.world, mark, position)
    scene.person.isolation.add(scene.n, scene.t, Noted.OFF if position == "off" else Noted.ON, (mark,))
    return Outcome(f"{mark} on {position}.", watch=WATCH)


def lock(scene: Scene, step: Step) -> Outcome:
    """Hang a lock and its tag on a handle that stands off."""
    mark, person = step.args[0], scene.person
    if scenery.device(scene.world, mark).handle == "on":
        raise Refused(f"{mark} is on; switch it off first.")
    if mark in person.locks:
        raise Refused(f"Your lock {person.locks[mark]} hangs there already.")
    free = [n for n in range(1, LOCKS + 1) if n not in person.locks.values()]
    if not free:
        raise Refused(f"All {LOCKS} locks are in use.")
    person.locks[mark] = free[0]
    person.isolation.add(scene.n, scene.t, Noted.LOCK, (mark,))
    return Outcome(f"Lock {free[0]} and your tag on {mark}.", [(FactKind.LOCKED, mark, {"lock": free[0]})])


def unlock(scene: Scene, step: Step) -> Outcome:
    """Take one's own lock and tag off."""
    mark, person = step.args[0], scene.person
    if mark not in person.locks:
        raise Refused(f"No lock of yours hangs on {mark}.")
    del person.locks[mark]
    person.isolation.add(scene.n, scene.t, Noted.UNLOCK, (mark,))
    return Outcome(f"Lock and tag off {mark}.", [(FactKind.UNLOCKED, mark, {})])


def try_start(scene: Scene, step: Step) -> Outcome:
    """Call for the part and see whether anything moves."""
    mark = step.args[0]
    moved = handling.tries_to_move(scene.world, mark)
    scene.person.isolation.add(scene.n, scene.t, Noted.TRY, (mark,))
    words = f"{mark} answers." if moved else "Nothing moves."
    seen = Observed(f"{mark} try", "look", category="moves" if moved else "nothing", words=words)
    return Outcome("", [(FactKind.TRIED, mark, {"moved": moved})], [seen])


def reset(scene: Scene, step: Step) -> Outcome:
    """Press a reset and listen; a bimetal that is still hot refuses."""
    mark, person = step.args[0], scene.person
    part = scene.world.store.parts.get(mark)
    if part is not None and part.kind.dial and part.kind.dial.turns:
        return push(scene, step)
    if part is None or not part.kind.resets:
        raise Refused(f"{mark} has no reset.")
    before = scenery.device(scene.world, mark).tripped
    took = handling.reset(scene.world, mark)
    person.resets[mark] = person.resets.get(mark, 0) + 1
    data = {"looked_before": mark in person.looked, "count": person.resets[mark], "took": took}
    words = "Reset clicks and stays." if took else "It will not reset yet." if before else "It was not tripped."
    seen = Observed(f"{mark} reset", "look", category="took" if took else "refused" if before else "was set", words=words)
    return Outcome("", [(FactKind.RESET, mark, data)], [seen], watch=60.0 if took else 0.0)


def push(scene: Scene, step: Step) -> Outcome:
    """Push the button of a pressure cut-out; it holds only once pressure has fallen far enough."""
    mark = step.args[0]
    if not handling.resets_by_hand(scene.world, mark):
        raise Refused(f"{mark} has no button; it comes back by itself.")
    was_out = not scenery.device(scene.world, mark).follows
    took = handling.push(scene.world, mark)
    scene.person.resets[mark] = scene.person.resets.get(mark, 0) + 1
    words = "Button stays in." if took and was_out else "It was in." if not was_out else "Button comes out again."
    seen = Observed(f"{mark} button", "look", category="holds" if took else "comes out", words=words)
    return Outcome("", [(FactKind.PUSHED, mark, {"took": took})], [seen], watch=40.0)


def set_dial(scene: Scene, step: Step) -> Outcome:
    """Turn a dial."""
    mark, number = step.args[0], float(step.args[1])
    value, unit = handling.dial_of(scene.world, step)
    handling.set_dial(scene.world, mark, value)
    return Outcome(f"{mark} set to {number:g} {unit}.")


def press(scene: Scene, step: Step) -> Outcome:
    """Push an armature in by hand and hold it while the next readings are taken."""
    mark = step.args[0]
    scene.person.held = mark
    return Outcome(f"You hold the armature of {mark} in.")


def clamp(scene: Scene, step: Step) -> Outcome:
    """Hang a clamp round the wire at a terminal."""
    n, terminal = int(step.args[0]), step.args[1]
    scene.person.clamps[n] = terminal
    return Outcome(f"Clamp {n} round the wire at {terminal}.", clears=True)


def unclamp(scene: Scene, step: Step) -> Outcome:
    """Take a clamp off, or all that hang."""
    hung = scene.person.clamps
    wanted = [int(step.args[0])] if step.args else sorted(hung)
    return Outcome(" ".join(f"Clamp {n} off {hung.pop(n)}." for n in wanted))


def clear_most(scene: Scene, step: Step) -> Outcome:
    """Clear the MAX hold."""
    return Outcome("MAX cleared.", clears=True)


def gauge(scene: Scene, step: Step) -> Outcome:
    """Connect a hose; it stays until it is taken off."""
    side, point = step.args
    scene.person.gauges[side] = point
    return Outcome("")


def ungauge(scene: Scene, step: Step) -> Outcome:
    """Take a hose off."""
    side = step.args[0]
    if side not in scene.person.gauges:
        raise Refused(f"The {side} hose hangs nowhere.")
    return Outcome(f"{side.capitalize()} hose off {scene.person.gauges.pop(side)}.")


def lift(scene: Scene, step: Step) -> Outcome:
    """Take a wire off its terminal."""
    terminal = step.args[0]
    scene.world.network.lift(terminal, step.options.get("wire", ""))
    scene.person.lifted.append(terminal)
    return Outcome(f"Wire lifted at {terminal}.")


def land(scene: Scene, step: Step) -> Outcome:
    """Put a lifted wire back."""
    terminal = step.args[0]
    if terminal not in scene.person.lifted:
        raise Refused(f"No wire of yours is lifted at {terminal}.")
    scene.world.network.land(terminal, step.options.get("wire", ""))
    scene.person.lifted.remove(terminal)
    return Outcome(f"Wire landed at {terminal}.")


def torque(scene: Scene, step: Step) -> Outcome:
    """Tighten a screw to the maker's torque; a burnt lug does not become sound by it."""
    terminal = step.args[0]
    scene.world.network.tighten(terminal, step.options.get("wire", ""))
    scene.person.resets.clear()
    return Outcome(f"{terminal} tightened to the maker's torque.", [(FactKind.REPAIRED, terminal, {"verb": "torque"})])


def re_end(scene: Scene, step: Step) -> Outcome:
    """Cut back, make a new end, torque it."""
    terminal = step.args[0]
    scene.world.network.renew_joint(terminal, step.options.get("wire", ""))
    scene.person.resets.clear()
    return Outcome(f"New end at {terminal}, torqued.", [(FactKind.REPAIRED, terminal, {"verb": "re-end"})])


def replace(scene: Scene, step: Step) -> Outcome:
    """Fit a new part; wires go back on it as they are."""
    name = step.args[0]
    part = handling.van_part(scene.world, name)
    if part is None:
        raise Refused(f"{name} is nothing one changes at night.")
    if part not in scene.call["van"]["parts"]:
        raise Refused(f"The van has no {part} tonight.")
    handling.replace(scene.world, name)
    scene.person.replaced.append(name)
    scene.person.resets.clear()
    return Outcome(f"New {part} for {name} fitted.", [(FactKind.REPAIRED, name, {"verb": "replace", "part": part})])


def bridge(scene: Scene, step: Step) -> Outcome:
    """Put a jumper across two points."""
    a, b = step.args
    scene.world.network.bridge(a, b)
    scene.person.bridges.append((a, b))
    return Outcome(f"Jumper from {a} to {b}.", watch=WATCH)


def unbridge(scene: Scene, step: Step) -> Outcome:
    """Take a jumper off."""
    a, b = step.args
    pair = next((p for p in scene.person.bridges if set(p) == {a, b}), None)
    if pair is None:
        raise Refused(f"No jumper of yours goes from {a} to {b}.")
    scene.world.network.unbridge(*pair)
    scene.person.bridges.remove(pair)
    return Outcome(f"Jumper off {a} and {b}.")


def hose(scene: Scene, step: Step) -> Outcome:
    """Wash with water; on a dry coil it cools for minutes and scales for years."""
    part = scene.world.store.parts.get(step.args[0])
    if part is None or not part.kind.hosed:
        raise Refused("Only a condenser coil can be hosed here.")
    handling.hose(scene.world, part.mark)
    return Outcome("Water over the coil while you hold the hose.")


def move_product(scene: Scene, step: Step) -> Outcome:
    """Move the product of one circuit to a cold one; what is sold is for the store to decide."""
    a, _, b = step.args
    if a == b or not (handling.is_case(scene.world, a) and handling.is_case(scene.world, b)):
        raise Refused("Product goes from one case or walk-in to another.")
    handling.move_product(scene.world, a, b)
    scene.person.moved.append(a)
    return Outcome(f"Product of {a} moved to {b}. The store decides what is sold.", [(FactKind.MOVED, a, {"to": b})])


ACTING: dict[str, Act] = {
    "go": go, "wait": wait, "open": open_part, "close": close_part, "off": off, "on": on, "select": select, "lock": lock,
    "unlock": unlock, "try": try_start, "reset": reset, "push": push, "set": set_dial, "press": press, "clamp": clamp,
    "unclamp": unclamp, "clear-max": clear_most, "gauge": gauge, "ungauge": ungauge, "lift": lift, "land": land, "torque": torque,
    "re-end": re_end, "replace": replace, "bridge": bridge, "unbridge": unbridge, "hose": hose, "move-product": move_product,
    **PAPER,
}  # fmt: skip
"""Verbs that do something."""

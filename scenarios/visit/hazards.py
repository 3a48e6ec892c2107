"""Where work can hurt: looked up in the true network and the true pressures, never in switch positions.

Testing is not touching. Looking, testing live with a rated meter, and working on dead parts are three different things; only hands
on metal above 50 V, leads in the wrong place, or a defeated safety are incidents. Sources: NFPA 70E art. 110.4 and 120.5, 29 CFR
1910.333 and 1910.334(b)(2) (from memory, in our own words).
On a real job local rules, the maker's instructions and a licensed person come first.
"""

from collections.abc import Callable
from dataclasses import dataclass

from scenarios.facts import IncidentKind
from scenarios.site import World
from scenarios.steps import Step
from scenarios.verbs import Risk
from scenarios.visit import handling, limits, scenery
from scenarios.visit.isolation import LIVE_VOLTS
from scenarios.visit.technician import Technician

SCALE = 20e3
"""How exactly a cut-out's scale can be set [Pa]; common practice."""


@dataclass(frozen=True)
class Incident:
    """Something that stops the call for a debrief."""

    kind: IncidentKind
    text: str
    volts: float = 0.0


def incident(world: World, person: Technician, step: Step) -> Incident | None:
    """What would happen to the person or the plant if this step were done now; None where nothing would."""
    mark = limits.touched(world, person, step)
    if mark:
        live = _live(world, person, step, mark)
        if live is not None:
            return live
    check = CHECKS.get(step.about.risk)
    return check(world, person, step) if check else None


def _live(world: World, person: Technician, step: Step, mark: str) -> Incident | None:
    """Hands on a part that has volts on it, whatever the handles say."""
    volts = world.touch_volts(mark)
    if volts <= LIVE_VOLTS:
        return None
    if step.about.risk is Risk.PRESSING:
        text = f"{mark} had {volts:.0f} V on it when its armature was pushed in by hand."
        return Incident(IncidentKind.CONTACTOR_PRESSED_LIVE, text, volts)
    if person.locks:
        hung = ", ".join(person.locks)
        text = f"Your lock hung on {hung}, and {mark} had {volts:.0f} V on it when your hands went to it."
        return Incident(IncidentKind.WRONG_LOCK, text, volts)
    return Incident(IncidentKind.TOUCHED_LIVE, f"There were {volts:.0f} V on {mark} when your hands went to it.", volts)


def _reclosed(world: World, person: Technician, step: Step) -> Incident | None:
    """A tripped breaker closed, or a melted fuse renewed, before its cause was looked for; or a second time with nothing mended."""
    mark = step.args[0]
    device = world.wiring.devices.get(mark)
    if device is None or not (scenery.device(world, mark).tripped or scenery.device(world, mark).melted):
        return None
    if person.resets.get(mark, 0) > 0:
        return Incident(IncidentKind.RECLOSED_BLIND, f"{mark} had opened again and was closed once more with nothing mended.")
    behind = {other for other, d in world.wiring.devices.items() if d.group == device.group or device.group == "supply"} - {mark}
    if not person.looked & behind:
        return Incident(IncidentKind.RECLOSED_BLIND, f"{mark} had opened and was closed again before its cause was looked for.")
    return None


def _raised(world: World, person: Technician, step: Step) -> Incident | None:
    """A high-pressure cut-out set above what the store's plate allows."""
    part = world.store.parts.get(step.args[0])
    if part is None or part.kind.dial is None or not part.kind.dial.ceiling:
        return None
    if handling.dial_of(world, step)[0] <= handling.store_value(world, part) + SCALE:
        return None
    text = f"{part.mark} was to be set above the store's value; a safety is never raised to keep a machine on."
    return Incident(IncidentKind.SAFETY_BRIDGED, text)


def _insulation(world: World, person: Technician, step: Step) -> Incident | None:
    """500 V into a drive or a controller board kills it."""
    for terminal in step.args:
        for mark in reached(world, terminal):
            if world.store.parts[mark].kind.electronic:
                return Incident(
                    IncidentKind.INSULATION_INTO_ELECTRONICS,
                    f"500 V went into {mark}, which is electronic; such parts are lifted before the test.",
                )
    if world.volts(step.args[0], step.args[1]) > LIVE_VOLTS:
        return Incident(IncidentKind.INSULATION_INTO_ELECTRONICS, "The insulation tester was put across a live circuit.")
    return None


def _bridge(world: World, person: Technician, step: Step) -> Incident | None:
    """A jumper across a pressure, oil or motor safety."""
    marks = {terminal.split(":")[0] for terminal in step.args if ":" in terminal}
    for mark in sorted(marks):
        if mark in world.store.parts and world.store.parts[mark].kind.safety:
            return Incident(IncidentKind.SAFETY_BRIDGED, f"{mark} is a safety; with a jumper across it nothing stops the machine.")
    return None


CHECKS: dict[Risk, Callable[[World, Technician, Step], Incident | None]] = {
    Risk.RECLOSING: _reclosed, Risk.RAISING: _raised, Risk.TESTING: _insulation, Risk.BRIDGING: _bridge,
}  # fmt: skip
"""What else can go wrong, by what a verb risks."""


def feeding(world: World, mark: str) -> list[str]:
    """Handles that have to be switched off, nearest first, until a part is dead by the solver; found on a copy."""
    world = world.glance()
    devices = world.wiring.devices
    breakers = [name for name in devices if world.store.parts[name].kind.handle]
    own, supply = devices[mark].group, [name for name in breakers if devices[name].group == "supply"]
    order = [*(name for name in breakers if devices[name].group == own and own != "supply"), *reversed(supply)]
    moved = []
    for name in order:
        if world.touch_volts(mark) <= LIVE_VOLTS:
            break
        if scenery.device(world, name).handle == "on":
            switch_off(world, name)
            moved.append(name)
    return moved


def still_live(world: World, mark: str) -> list[str]:
    """Terminals of a part that can still hurt: against earth where any does so, else all of them; none where it is dead."""
    if world.touch_volts(mark) <= LIVE_VOLTS:
        return []
    device = world.wiring.devices[mark]
    points = list(dict.fromkeys([*device.terminals, *(end for pole in device.poles for end in pole)]))
    return [point for point in points if world.volts(point, world.wiring.earth, "body") > LIVE_VOLTS] or points


def from_outside(world: World, points: list[str]) -> bool:
    """Whether points are wired straight to the service, before every handle of the store."""
    devices = world.wiring.devices
    return any(devices[mark].kind == "service" for point in points for mark in reached(world, point))


def switch_off(world: World, name: str) -> None:
    """Move a handle off and let contacts follow, before anything else is looked at."""
    handling.handle(world, name, False)
    world.settle()


def reached(world: World, terminal: str) -> list[str]:
    """Parts whose terminals are joined to one by wires that are not lifted: where a test voltage goes first."""
    found = {terminal.split(":")[0]} if ":" in terminal else set()
    for wire in world.wiring.wires_at.get(terminal, []):
        row = world.network.wire_number[wire.name]
        state = world.network.state.wires[row]
        if not (state.lifted_a or state.lifted_b):
            found |= {end.split(":")[0] for end in (wire.a, wire.b) if ":" in end}
    return sorted(found)

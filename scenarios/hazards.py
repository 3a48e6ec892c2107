"""Where work can hurt: looked up in the true network and the true pressures, never in switch positions.

Testing is not touching. Looking, testing live with a rated meter, and working on dead parts are three different things; only hands
on metal above 50 V, leads in the wrong place, or a defeated safety are incidents. Sources: NFPA 70E art. 110.4 and 120.5, 29 CFR
1910.333 and 1910.334(b)(2) (from memory, in our own words).
On a real job local rules, the maker's instructions and a licensed person come first.
"""

from dataclasses import dataclass

from scenarios.isolation import LIVE_VOLTS
from scenarios.site import World
from scenarios.steps import Step
from scenarios.technician import Technician
from scenarios.verbs import VERBS

SAFETIES = {"high_pressure", "low_pressure", "oil_pressure", "motor_protector"}
"""Kinds of parts whose contact must never be bridged."""


@dataclass(frozen=True)
class Incident:
    """Something that stops the call for a debrief."""

    kind: str
    text: str
    volts: float = 0.0


def touched(step: Step) -> str | None:
    """Mark of the electrical part that bare hands or a hand tool go to, if any."""
    verb = VERBS[step.verb]
    if verb.touch != "hand" or not step.args:
        return None
    name = step.args[-1] if step.verb in ("clamp",) else step.args[0]
    return name.split(":")[0]


def incident(world: World, person: Technician, step: Step) -> Incident | None:
    """What would happen to the person or the plant if this step were done now; None where nothing would."""
    mark = touched(step)
    if mark is not None and mark in world.wiring.devices:
        volts = world.touch_volts(mark)
        if volts > LIVE_VOLTS:
            if step.verb == "press":
                return Incident(
                    "contactor_pressed_live", f"{mark} had {volts:.0f} V on it when its armature was pushed in by hand.", volts
                )
            return Incident("touched_live", f"There were {volts:.0f} V on {mark} when your hands went to it.", volts)
    if step.verb == "insulation":
        return _insulation(world, step)
    if step.verb == "bridge":
        return _bridge(world, step)
    return None


def _insulation(world: World, step: Step) -> Incident | None:
    """500 V into a drive or a controller board kills it."""
    for terminal in step.args:
        for mark in reached(world, terminal):
            if world.wiring.devices[mark].kind in ("drive3", "board_relay"):
                return Incident(
                    "insulation_into_electronics",
                    f"500 V went into {mark}, which is electronic; such parts are lifted before the test.",
                )
    if world.volts(*step.args) > LIVE_VOLTS:
        return Incident("insulation_into_electronics", "The insulation tester was put across a live circuit.")
    return None


def _bridge(world: World, step: Step) -> Incident | None:
    """A jumper across a pressure, oil or motor safety."""
    marks = {terminal.split(":")[0] for terminal in step.args if ":" in terminal}
    for mark in sorted(marks):
        if world.wiring.devices[mark].kind in SAFETIES:
            return Incident("safety_bridged", f"{mark} is a safety; with a jumper across it nothing stops the machine.")
    return None


def reached(world: World, terminal: str) -> list[str]:
    """Parts whose terminals are joined to one by wires that are not lifted: where a test voltage goes first."""
    found = {terminal.split(":")[0]} if ":" in terminal else set()
    for wire in world.wiring.wires_at.get(terminal, []):
        row = world.network.wire_number[wire.name]
        state = world.network.state.wires[row]
        if not (state.lifted_a or state.lifted_b):
            found |= {end.split(":")[0] for end in (wire.a, wire.b) if ":" in end}
    return sorted(found)

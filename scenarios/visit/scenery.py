"""What a world looks, sounds and feels like, put into words for whoever stands there. Nothing here gives an opinion."""

from collections.abc import Callable
from typing import Any

from scenarios.facts import EventKind, Observed
from scenarios.parts.kind import Here, Part
from scenarios.parts.places import kind_of
from scenarios.parts.wired import Wired
from scenarios.site import World

ENDS_A_GROWL = (EventKind.OVERLOAD_TRIPS, EventKind.BREAKER_TRIPS)
"""What one hears that takes a growling motor off."""
LAST_HEARD = 8
"""How many sounds one keeps in mind. [-]"""


def device(world: World, mark: str) -> Wired:
    """State of one wired part as far as it can be noticed."""
    return Wired(world, mark)


def parts_at(world: World, place: str, *kinds: str) -> list[Part]:
    """Parts of some kinds that stand in a place, in order of the store."""
    return [part for part in world.store.parts.values() if part.place == place and part.kind.name in kinds]


def aspect(world: World, part: Part, name: str) -> str:
    """What one aspect of a part's sight is; empty where it has none such."""
    return next((seen.category for seen in part.kind.look(Here(world, None, part)) if seen.aspect == name), "")


def silent(world: World, part: Part) -> bool:
    """Whether nothing is heard of a part."""
    return all(seen.category == "silent" for seen in part.kind.listen(Here(world, None, part)))


def scene(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    """What one sees, hears and feels on standing in a place."""
    return SCENES[kind_of(world, place)](world, place, door_open)


def _van(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    return [("see", "the van, its shelves in order.")]


def _roof(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    fans = [f"the fan {aspect(world, part, 'fan')}." for part in parts_at(world, place, "condenser_fan")]
    noticed = []
    for part in parts_at(world, place, "condenser_evaporative"):
        top = world.plant.condenser_state[part.rack]
        spray, over = aspect(world, part, "spray"), float(top.air_out - world.plant_in.outside[0].dry_bulb)
        dry = spray == "no spray" and over > 3
        noticed += [
            ("see", " ".join([*fans, f"The coil: {aspect(world, part, 'tubes')}."])),
            ("hear", "water falling." if spray == "full spray" else "no water."),
            ("feel", "warm, dry air from the top." if dry else "damp, mild air from the top." if over > 1 else "still air."),
        ]
    return noticed


def _motor_room(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    machines = parts_at(world, place, "compressor")
    running = [str(part.number) for part in machines if not silent(world, part)]
    standing = [str(part.number) for part in machines if silent(world, part)]
    words = [f"compressor {', '.join(running)} turning" if running else "no compressor turning"]
    words += [f"{', '.join(standing)} stopped"] if running and standing else []
    return [("see", "; ".join(words) + "."), ("hear", "machines." if running else "only the vent fan.")]


def _panel(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    here = [part for part in world.store.parts.values() if part.place == place]
    shown = {part.mark: device(world, part.mark).display for part in here if part.kind.name == "drive3"}
    if not door_open:
        drive = f"; drive display shows {', '.join(shown.values())}" if shown else ""
        return [("see", f"the door shut, handles on the front{drive}.")]
    out = [part.mark for part in here if part.kind.armature and not device(world, part.mark).picked]
    off = [part.mark for part in here if part.kind.handle and device(world, part.mark).handle != "on"]
    words = [f"{', '.join(out)} out" if out else "all contactors in", f"{', '.join(off)} off" if off else "all breakers on"]
    words += [", ".join(f"{mark} {display}" for mark, display in shown.items())] if shown else []
    return [("see", "; ".join(words) + ".")]


def _floor(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    idle = [str(part.number) for part in parts_at(world, place, "case", "walk_in") if aspect(world, part, "fans") != "fans turn"]
    return [
        ("see", "lights on, curtains down, doors of the walk-ins shut."),
        ("hear", "case fans." if not idle else f"case fans, but not of {', '.join(idle)}."),
    ]


SCENES: dict[str, Callable[[World, str, bool], list[tuple[str, str]]]] = {
    "van": _van, "sales_floor": _floor, "motor_room": _motor_room, "panel": _panel, "roof": _roof,
}  # fmt: skip
"""What one notices on standing in each kind of place."""


def heard(world: World, since: float, place: str) -> list[Observed]:
    """What was heard in a place since a time from the ticket [s]: words, and the seconds between a growl and its end."""
    network = world.network
    shift = float(network.state.clock[0]) - world.t
    at_panel = kind_of(world, place) == "panel"
    found: list[Observed] = []
    begun: dict[str, float] = {}
    for time, kind, mark in network.events(since + shift):
        part, group = world.store.parts[mark], world.wiring.devices[mark].group
        near = part.place == place or (at_panel and kind in part.kind.carries)
        if kind is EventKind.GROWLS and (near or at_panel):
            begun[group] = time
        if near and kind in part.kind.heard:
            found.append(Observed(f"{mark} {kind}", "sound", category=kind, words=part.kind.heard[kind].format(mark) + "."))
        if kind in ENDS_A_GROWL and group in begun and at_panel:
            seconds = time - begun.pop(group)
            found.append(Observed(f"{group} growl", "seconds", seconds, category="", words=f"The growl lasted {seconds:.0f} s."))
    return found[-LAST_HEARD:]


def standing(world: World) -> dict[str, Any]:
    """How the plant stands: selectors, handles, trips, latches, dials, temperatures."""
    parts = world.store.parts.values()
    dials = [part.mark for part in parts if part.kind.dial and not part.kind.dial.turns]
    circuits = [part.mark for part in parts if "cases" in part.kind.tables]
    return {
        "selectors": {m: device(world, m).position for m, d in world.wiring.devices.items() if d.positions},
        "handles": {part.mark: device(world, part.mark).handle for part in parts if part.kind.handle},
        "tripped": [mark for mark in dials if device(world, mark).tripped],
        "latched": [p.mark for p in parts if "high" in p.kind.tables and bool(world.plant.high_states[p.row].latched)],
        "dials": {mark: device(world, mark).dial for mark in dials},
        "air": {mark: world.point(f"{mark}.A1") for mark in circuits},
        "display": {mark: world.point(f"{mark}.D") for mark in circuits},
        "core": {mark: world.point(f"{mark}.G1") for mark in circuits},
        "discharge": {rack.part.mark: float(world.plant.discharge_state[rack.row].discharge) for rack in world.store.racks},
        "suction": {group.mark: float(world.plant.suction_state[group.row].pressure) for group in world.store.groups},
        "fan": {rack.part.mark: float(world.plant.fan_loop_state[rack.row].reference) for rack in world.store.racks},
        "speeds": {m: float(world.network.outputs.speed[n]) for n, m in enumerate(world.network.motors)},
        "alarms": sorted({e.what for e in active_alarms(world)}),
    }


def active_alarms(world: World) -> list[Any]:
    """Alarms that stand now, with when they came."""
    last: dict[str, Any] = {}
    for event in world.alarm_events():
        last[event.what] = event
    return [event for event in last.values() if event.on]

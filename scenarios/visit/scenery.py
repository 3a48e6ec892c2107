"""What a world looks, sounds and feels like, put into words for whoever stands there. Nothing here gives an opinion."""

from dataclasses import dataclass
from typing import Any

from scenarios.facts import Observed
from scenarios.refrigeration import observe as plant_eyes
from scenarios.site import World

AMBIENT = {"panel": 32.0, "motor_room": 27.0, "floor": 21.0, "roof": 24.0, "van": 22.0}
"""What unheated surfaces of a place have [C]; common practice."""
FAULTS = ("", "F1 undervoltage", "F2 earth fault", "F3 overload", "F4 overcurrent", "F5 phase lost")
ELEMENT_OVER = 20.0
"""What a heating element is warmer than the crankcase it lies on [K]; common practice."""
LOOSE_OHMS = 0.05
"""A joint above this moves when it is pulled [ohm]; common practice."""


@dataclass(frozen=True)
class Device:
    """State of one electrical part as far as it can be noticed."""

    handle: str = ""
    picked: bool = False
    tripped: bool = False
    dial: float = 0.0
    position: str = ""
    energised: bool = False
    follows: bool = False
    speed: float = 0.0
    current: float = 0.0
    hertz: float = 0.0
    display: str = ""
    hours: float = 0.0


def device(world: World, mark: str) -> Device:
    """State of one part."""
    network = world.network
    kind, n = world.wiring.devices[mark], network.number[mark]
    state = network.state.devices[n]
    loads = network.loads_of[mark]
    energised = any(bool(network.state.loads[k].energised) for k in loads)
    on_time = max((float(network.state.loads[k].on_time) for k in loads), default=0.0)
    handle = "tripped" if state.tripped else "on" if state.shut else "off"
    speed = current = hertz = 0.0
    display = ""
    if kind.kind == "motor3":
        m = network.motors.index(mark)
        speed, current = float(network.outputs.speed[m]), float(max(network.outputs.amps[m]))
    if kind.kind == "drive3":
        drive = network.state.drives[network.drives.index(mark)]
        hertz = float(drive.hertz) if drive.runs else 0.0
        display = (
            f"fault, {FAULTS[int(drive.fault)]}"
            if drive.fault
            else f"run, {hertz:.1f} Hz"
            if drive.runs
            else "stopped, 0.0 Hz"
            if drive.powered
            else "dark"
        )
    return Device(
        handle,
        bool(state.picked),
        bool(state.tripped),
        network.dial(mark) if kind.kind == "overload3" else 0.0,
        kind.positions[int(state.spot)] if kind.positions else "",
        energised or _transformer_hums(world, mark),
        bool(state.follows),
        speed,
        current,
        hertz,
        display,
        2310.4 * 3600.0 + 17.3 * 3600.0 * n + on_time if kind.kind == "hours_counter" else 0.0,
    )


def _transformer_hums(world: World, mark: str) -> bool:
    return world.wiring.devices[mark].kind == "transformer" and world.volts(f"{mark}:H1", f"{mark}:H4") > 100.0


def sights(world: World, part: str) -> list[tuple[str, str, str]]:
    """Aspect, category and words of a part of the plant."""
    found = plant_eyes.looks(world.plant, part)
    return [(aspect, word, f"{aspect.capitalize()}: {word}.") for aspect, word in found.items()]


def sounds(world: World, part: str) -> list[tuple[str, str]]:
    """Category and words of what a part of the plant sounds like."""
    head, number = part.rstrip("0123456789"), part[len(part.rstrip("0123456789")) :]
    if head == "COMP":
        speed = abs(world.speed("compressors.speed", int(number) - 1))
        if speed > 0.05 and plant_eyes.knocks(world.plant, int(number) - 1):
            return [("knocking", "Running, with hard knocks.")]
        return [("running", "Running.") if speed > 0.05 else ("silent", "Silent.")]
    if part in ("FAN", "PUMP"):
        speed = abs(world.speed("fans.speed" if part == "FAN" else "sprays.speed", 0))
        return [("running", "Running.") if speed > 0.05 else ("silent", "Silent.")]
    if head == "XV":
        hiss = float(world.plant.circuit_steps[int(number) - 1].feed) > 1e-4
        return [("hissing", "Liquid hisses through.") if hiss else ("silent", "Silent.")]
    return [("silent", "Nothing to be heard from it.")]


def joint_temperature(world: World, terminal: str) -> float:
    """Temperature of the hottest joint at a terminal. [C]"""
    ambient = AMBIENT[world.wiring.devices[terminal.split(":")[0]].place]
    return ambient + max((float(world.network.state.wires[f"warm_{end}"][row]) for row, end in _ends(world, terminal)), default=0.0)


def _ends(world: World, terminal: str) -> list[tuple[int, str]]:
    return world.network.ends_at(terminal) if world.wiring.wires_at.get(terminal) else []


def joint_peaks(world: World, mark: str) -> dict[str, float]:
    """Hottest every power joint of a part has ever been. [C]"""
    kind = world.wiring.devices[mark]
    ambient = AMBIENT[kind.place]
    powers = [t for pole in kind.poles for t in pole if t.startswith(f"{mark}:")]
    return {
        t: ambient + max((float(world.network.state.wires[f"peak_{end}"][row]) for row, end in _ends(world, t)), default=0.0)
        for t in powers
    }


def joint_loose(world: World, terminal: str) -> bool:
    """Whether a wire moves in its lug at a terminal."""
    par, state = world.network.par.wires, world.network.state.wires
    return any(float(par[f"joint_{end}"][row] * state[f"worse_{end}"][row]) > LOOSE_OHMS for row, end in _ends(world, terminal))


def poles_burnt(world: World, mark: str) -> list[bool]:
    """Whether each power pole of a part is burnt open."""
    network = world.network
    return [
        bool(network.par.switches.burnt[row]) or float(network.state.switches.cooked[row]) >= 1.0
        for row, element in enumerate(network.switches)
        if element.device == mark and element.role == "pole"
    ]


def hottest_joint(world: World) -> float:
    """Hottest joint of the panel. [C]"""
    wires = world.network.state.wires
    return AMBIENT["panel"] + float(max(wires.warm_a.max(), wires.warm_b.max()))


def surface(world: World, part: str) -> float:
    """Surface temperature of a part or pipe, for a hand or an infrared thermometer. [C]"""
    if part in world.wiring.devices:
        kind = world.wiring.devices[part]
        joints = [joint_temperature(world, t) for t in kind.terminals if world.wiring.wires_at.get(t)]
        warm = AMBIENT[kind.place]
        if kind.kind == "motor3":
            warm += 35.0 * float(world.network.state.motors.warmth[world.network.motors.index(part)])
        if kind.kind in ("solenoid", "contactor3", "relay", "transformer"):
            warm += 22.0 * device(world, part).energised
        if kind.kind == "crankcase_heater":
            oil = float(world.plant.compressor_states[int(kind.plant.split()[-1]) - 1].oil)
            warm = oil + ELEMENT_OVER * device(world, part).energised
        return max([warm, *joints])
    if part.startswith("XV"):
        return world.point(f"C{part[2:]}.T1")
    lines = {"COIL": "T2", "BASIN": "T4", "GLASS": "T9", "DRIER": "T9", "RECEIVER": "T10"}
    if part in lines:
        return world.point(lines[part])
    if part.startswith("COMP"):
        running = sounds(world, part)[0][0] != "silent"
        return world.point("T7") if running else float(world.plant.compressor_states[int(part[4:]) - 1].oil)
    return AMBIENT.get("motor_room", 25.0)


def resets_by_hand(world: World, mark: str) -> bool:
    """Whether a pressure cut-out has a button."""
    kind = world.wiring.devices[mark].kind
    return kind == "high_pressure" and bool(world.plant.high[int(mark[2:]) - 1].manual)


def setting(world: World, mark: str) -> tuple[float, float]:
    """Where a pressure cut-out opens and comes back. [Pa absolute]"""
    table = world.plant.high if world.wiring.devices[mark].kind == "high_pressure" else world.plant.low
    row = table[int(mark[2:]) - 1]
    return float(row.opens), float(row.opens - row.differential if bool(row.above) else row.opens + row.differential)


def rack_display(world: World) -> list[Observed]:
    """What the rack controller shows: pressures, what it calls, every case."""
    plant, stages = world.plant, world.plant.stages
    called = [str(n + 1) for n in range(len(stages)) if bool(stages[n].called)]
    found = [
        Observed("RACK suction", "display", float(plant.staging_state[0].suction), instrument="display-pressure"),
        Observed("RACK discharge", "display", float(plant.fan_loop_state[0].discharge), instrument="display-pressure"),
        Observed("RACK fan", "display", float(plant.fan_loop_state[0].reference), instrument="display-percent"),
        Observed(
            "RACK calls",
            "look",
            category="calls " + (", ".join(called) or "none"),
            words=f"Calls compressors {', '.join(called) or 'none'}.",
        ),
    ]
    return found + [
        Observed(f"C{n + 1}.D", "display", float(world.plant.case_states[n].display), instrument="display-temperature")
        for n in range(len(world.plant.case_states))
    ]


def scene(world: World, place: str, door_open: bool) -> list[tuple[str, str]]:
    """What one sees, hears and feels on standing in a place."""
    words: dict[str, Any] = {"roof": _roof, "motor_room": _motor_room, "panel": _panel, "floor": _floor}
    return words[place](world, door_open) if place in words else [("see", "the van, its shelves in order.")]


def _roof(world: World, door_open: bool) -> list[tuple[str, str]]:
    top = plant_eyes.looks(world.plant, "COIL")
    fan = plant_eyes.looks(world.plant, "FAN")["fan"]
    air = world.point("T6") - world.point("T5")
    feel = (
        "warm, dry air from the top."
        if top["spray"] == "no spray" and air > 3
        else "damp, mild air from the top."
        if air > 1
        else "still air."
    )
    return [
        ("see", f"the fan {fan}. The coil: {top['tubes']}."),
        ("hear", "water falling." if top["spray"] == "full spray" else "no water."),
        ("feel", feel),
    ]


def _motor_room(world: World, door_open: bool) -> list[tuple[str, str]]:
    running = [str(n) for n in range(1, 5) if sounds(world, f"COMP{n}")[0][0] != "silent"]
    standing = [str(n) for n in range(1, 5) if str(n) not in running]
    parts = [f"compressor {', '.join(running)} turning" if running else "no compressor turning"]
    parts += [f"{', '.join(standing)} stopped"] if running and standing else []
    return [("see", "; ".join(parts) + "."), ("hear", "machines." if running else "only the vent fan.")]


def _panel(world: World, door_open: bool) -> list[tuple[str, str]]:
    if not door_open:
        drive = next((device(world, m).display for m, d in world.wiring.devices.items() if d.kind == "drive3"), "")
        return [("see", f"the door shut, handles on the front; drive display shows {drive}.")]
    out = [m for m, d in world.wiring.devices.items() if d.kind == "contactor3" and not device(world, m).picked]
    off = [m for m, d in world.wiring.devices.items() if d.kind.startswith("breaker") and device(world, m).handle != "on"]
    drive = ", ".join(f"{m} {device(world, m).display}" for m, d in world.wiring.devices.items() if d.kind == "drive3")
    words = [f"{', '.join(out)} out" if out else "all contactors in", f"{', '.join(off)} off" if off else "all breakers on", drive]
    return [("see", "; ".join(words) + ".")]


def _floor(world: World, door_open: bool) -> list[tuple[str, str]]:
    idle = [str(n) for n in range(1, 11) if plant_eyes.looks(world.plant, f"C{n}")["fans"] != "fans turn"]
    return [
        ("see", "lights on, curtains down, doors of the walk-ins shut."),
        ("hear", "case fans." if not idle else f"case fans, but not of {', '.join(idle)}."),
    ]


HEARD = {
    "panel": {
        "pulls in": "{0} pulls in with a clunk",
        "lets go": "{0} lets go",
        "overload trips": "a click at {0}",
        "breaker trips": "{0} trips with a bang",
        "fuse melts": "a pop at {0}",
        "chatters": "{0} chatters",
        "drive trips": "{0} display turns to a fault",
    },
    "roof": {"growls": "{0} growls", "up to speed": "{0} starts and runs up"},
    "motor_room": {"up to speed": "{0} starts and runs up", "growls": "{0} growls"},
}
"""What of an event is heard where."""


def heard(world: World, since: float, place: str) -> list[Observed]:
    """What was heard in a place since a time from the ticket [s]: words, and the seconds between a growl and its end."""
    network = world.network
    shift = float(network.state.clock[0]) - world.t
    found: list[Observed] = []
    begun: dict[str, float] = {}
    for time, words, mark in network.events(since + shift):
        says = HEARD.get(place, {}).get(words) or (
            HEARD["motor_room"].get(words) if place == "panel" and words == "growls" else None
        )
        group = world.wiring.devices[mark].group
        if words == "growls" and place in ("panel", "motor_room", "roof"):
            begun[group] = time
        if says and (place == "panel" or world.wiring.devices[mark].place == place):
            found.append(Observed(f"{mark} {words}", "sound", category=words, words=says.format(mark) + "."))
        if words in ("overload trips", "breaker trips") and group in begun and place == "panel":
            seconds = time - begun.pop(group)
            found.append(Observed(f"{group} growl", "seconds", seconds, category="", words=f"The growl lasted {seconds:.0f} s."))
    return found[-8:]


def standing(world: World) -> dict[str, Any]:
    """How the plant stands: selectors, handles, trips, latches, dials, temperatures."""
    wiring = world.wiring.devices
    return {
        "selectors": {m: device(world, m).position for m, d in wiring.items() if d.positions},
        "handles": {m: device(world, m).handle for m, d in wiring.items() if d.kind.startswith("breaker")},
        "tripped": [m for m, d in wiring.items() if d.kind == "overload3" and device(world, m).tripped],
        "latched": [f"HP{n + 1}" for n in range(len(world.plant.high_states)) if bool(world.plant.high_states[n].latched)],
        "dials": {m: device(world, m).dial for m, d in wiring.items() if d.kind == "overload3"},
        "air": {f"C{n}": world.point(f"C{n}.A1") for n in range(1, 11)},
        "display": {f"C{n}": world.point(f"C{n}.D") for n in range(1, 11)},
        "core": {f"C{n}": world.point(f"C{n}.G1") for n in range(1, 11)},
        "discharge": world.point("P4"), "suction": world.point("P5"), "fan": float(world.plant.fan_loop_state[0].reference),
        "speeds": {m: float(world.network.outputs.speed[n]) for n, m in enumerate(world.network.motors)},
        "alarms": sorted({e.what for e in active_alarms(world)}),
    }  # fmt: skip


def active_alarms(world: World) -> list[Any]:
    """Alarms that stand now, with when they came."""
    last: dict[str, Any] = {}
    for event in world.alarm_events():
        last[event.what] = event
    return [event for event in last.values() if event.on]

"""What eyes, ears, hands and nose notice, computed from the state of a world.

Every aspect is a category with the words for it, so that the same sight can be compared between worlds. Nothing here gives an
opinion: a blue lug is blue, a contactor is in or out.
"""

from scenarios.electrical.kinds import KINDS
from scenarios.electrical.wiring import Device
from scenarios.facts import Observed
from scenarios.site import World
from scenarios.visit import scenery
from scenarios.visit.technician import Technician

BLUE_ABOVE = 120.0
"""Copper and tinned lugs that were hotter than this keep a blue or brown tint [C]; common practice."""
SMELL_ABOVE = 90.0
"""A joint hotter than this now can be smelt in a closed panel [C]; common practice."""
HAND_WORDS = (
    (4.0, "cold"),
    (20.0, "cool"),
    (32.0, "about room temperature"),
    (45.0, "warm"),
    (58.0, "hot"),
    (1e9, "too hot to hold"),
)
"""Upper edge of what a hand calls it [C]; common practice."""


def _sight(part: str, aspect: str, category: str, words: str) -> Observed:
    return Observed(f"{part} {aspect}", "look", category=category, words=words)


def hand_word(celsius: float) -> str:
    """What a hand says of a surface.

    >>> hand_word(25.0), hand_word(50.0)
    ('about room temperature', 'hot')
    """
    return next(word for edge, word in HAND_WORDS if celsius < edge)


def look(world: World, person: Technician, part: str) -> list[Observed]:
    """What can be seen of a part from where one stands, cover as it is."""
    if part in world.wiring.devices:
        return _look_at_device(world, person, part)
    return [_sight(part, aspect, category, words) for aspect, category, words in scenery.sights(world, part)]


def _look_at_device(world: World, person: Technician, mark: str) -> list[Observed]:
    device, state = world.wiring.devices[mark], scenery.device(world, mark)
    found: list[Observed] = []
    if device.kind.startswith("breaker"):
        found.append(_sight(mark, "handle", state.handle, f"Handle is {state.handle}."))
    if device.kind in ("contactor3", "relay"):
        found.append(_sight(mark, "armature", "in" if state.picked else "out", f"Armature is {'in' if state.picked else 'out'}."))
    if device.kind == "overload3":
        found.append(
            _sight(mark, "flag", "tripped" if state.tripped else "set", f"Trip flag shows {'tripped' if state.tripped else 'set'}.")
        )
    if device.kind in ("high_pressure", "low_pressure"):
        manual = scenery.resets_by_hand(world, mark)
        out = manual and not state.follows
        words = ("Button is out." if out else "Button is in.") if manual else "Automatic, no button."
        found.append(_sight(mark, "button", "out" if out else "in" if manual else "none", words))
    if device.kind == "board_relay":
        found.append(_sight(mark, "lamp", "lit" if state.follows else "dark", f"Its lamp is {'lit' if state.follows else 'dark'}."))
    if device.kind == "level_switch":
        found.append(_sight(mark, "float", "up" if state.follows else "down", f"Float is {'up' if state.follows else 'down'}."))
    if device.kind == "motor3":
        turning = "turning" if state.speed > 0.02 else "turning backward" if state.speed < -0.02 else "still"
        found.append(_sight(mark, "shaft", turning, f"Shaft is {turning}."))
    if device.kind == "drive3":
        found.append(_sight(mark, "display", state.display.split(",")[0], f"Display shows {state.display}."))
    if device.kind == "selector":
        found.append(_sight(mark, "position", state.position, f"Stands on {state.position}."))
    if device.kind == "lamp":
        found.append(_sight(mark, "lamp", "lit" if state.energised else "dark", f"{'Lit' if state.energised else 'Dark'}."))
    if device.kind == "hours_counter":
        found.append(
            _sight(
                mark,
                "wheel",
                "turning" if state.energised else "still",
                f"Last wheel is {'turning' if state.energised else 'still'}.",
            )
        )
    if device.kind.startswith("fuse"):
        found.append(_sight(mark, "body", "whole", "Body looks whole; that says little."))
    if person.door_open or device.place != "panel":
        found += _lugs(world, mark)
    if mark in person.covers:
        found += _contacts(world, mark)
    where = "with its cover off" if mark in person.covers else "from outside"
    return found or [_sight(mark, "outside", "sound", f"Nothing to be seen {where}.")]


def _lugs(world: World, mark: str) -> list[Observed]:
    """Tint of every joint on a part; only tinted ones get words of their own."""
    tints = {terminal: "blue" if peak > BLUE_ABOVE else "bright" for terminal, peak in scenery.joint_peaks(world, mark).items()}
    if not tints:
        return []
    tinted = [terminal.split(":")[1] for terminal, tint in tints.items() if tint == "blue"]
    words = f"Lug at {', '.join(tinted)} is blue, insulation browned." if tinted else "Lugs are bright."
    found = [_sight(terminal, "lug", tint, "") for terminal, tint in tints.items()]
    return [*found, _sight(mark, "lugs", "blue" if tinted else "bright", words)]


def _contacts(world: World, mark: str) -> list[Observed]:
    """State of the power contacts with the arc chute off."""
    found = []
    for n, burnt in enumerate(scenery.poles_burnt(world, mark), 1):
        pole = f"{2 * n - 1}-{2 * n}"
        words = f"Pole {pole}: contact burnt away." if burnt else f"Pole {pole}: contact whole, grey from use."
        found.append(_sight(mark, f"pole {pole}", "burnt" if burnt else "sound", words))
    return found


def listen(world: World, person: Technician, part: str) -> list[Observed]:
    """What a part sounds like now."""
    if part in world.wiring.devices:
        state = scenery.device(world, part)
        kind = world.wiring.devices[part].kind
        if kind == "motor3":
            sound = (
                "growling"
                if state.current > 0.5 and abs(state.speed) < 0.05
                else "running"
                if abs(state.speed) > 0.05
                else "silent"
            )
        elif kind in ("contactor3", "relay", "solenoid", "transformer"):
            sound = "humming" if state.energised else "silent"
        else:
            sound = "silent"
        return [Observed(f"{part} sound", "sound", category=sound, words=f"{sound.capitalize()}.")]
    return [Observed(f"{part} sound", "sound", category=category, words=words) for category, words in scenery.sounds(world, part)]


def feel(world: World, person: Technician, part: str) -> list[Observed]:
    """What a hand says of a part's warmth."""
    word = hand_word(scenery.surface(world, part))
    return [Observed(f"{part} warmth", "look", category=word, words=f"{word.capitalize()}.")]


def smell(world: World, place: str) -> list[Observed]:
    """What the air of a place smells of."""
    hot = place == "panel" and scenery.hottest_joint(world) > SMELL_ABOVE
    category = "scorched" if hot else "nothing"
    words = "Scorched insulation." if hot else "Nothing out of the way."
    return [Observed(f"{place} smell", "smell", category=category, words=words)]


def tug(world: World, terminal: str) -> list[Observed]:
    """Whether a wire moves in its lug."""
    loose = scenery.joint_loose(world, terminal)
    words = "It moves in the lug." if loose else "Firm."
    return [Observed(f"{terminal} tug", "look", category="loose" if loose else "firm", words=words)]


def read(world: World, person: Technician, part: str) -> list[Observed]:
    """Plate, dial, display or setting of a part."""
    if part in ("GD", "GS"):
        return [Observed(part, "pressure", world.point(part), instrument="dial-high" if part == "GD" else "dial-low")]
    if part == "RACK":
        return scenery.rack_display(world)
    if part.startswith("C") and part.split(".")[0][1:].isdigit():
        number = part.split(".")[0]
        return [Observed(f"{number}.D", "display", world.point(f"{number}.D"), instrument="display-temperature")]
    device, state = world.wiring.devices.get(part), scenery.device(world, part) if part in world.wiring.devices else None
    if device is None or state is None:
        return []
    if device.kind == "motor3":
        plate = device.ratings
        words = (
            f"{plate['hp']:g} hp, {plate['volts']:g} V, {plate['amps']:g} A, {plate['rpm']:g} rpm, "
            f"service factor {plate.get('service_factor', 1.0):g}, 60 Hz, 3 phase."
        )
        return [Observed(f"{part} plate", "nameplate", plate["amps"], words=words)]
    if device.kind == "overload3":
        words = f"Dial stands at {state.dial:.1f} A, on a scale {_scale(device)}."
        return [Observed(f"{part} dial", "dial", state.dial, words=words)]
    if device.kind == "hours_counter":
        return [Observed(part, "dial", state.hours, instrument="hours")]
    if device.kind == "drive3":
        return [
            Observed(f"{part} speed", "speed", state.hertz, instrument="display-hertz"),
            _sight(part, "display", state.display.split(",")[0], f"Display shows {state.display}."),
        ]
    if device.kind in ("high_pressure", "low_pressure"):
        opens, closes = scenery.setting(world, part)
        return [
            Observed(
                f"{part} setting",
                "dial",
                opens,
                words=f"Opens at {_psig(opens):.0f} psig, back at {_psig(closes):.0f} psig, on a scale {_scale(device)}.",
            )
        ]
    return [_sight(part, "plate", "plate", f"{device.says.capitalize()}; nothing more on it.")]


def _scale(device: Device) -> str:
    """Both ends of a part's dial, as printed."""
    dial = KINDS[device.kind].dial
    if dial is None or device.scale is None:
        return ""
    return f"from {device.scale[0]:g} to {device.scale[1]:g} {dial.units[0]}"


def _psig(pascal: float) -> float:
    return (pascal - 101325.0) / 6894.757293168


def here(world: World, person: Technician, heard: list[str]) -> list[tuple[str, str]]:
    """What anybody notices on standing here: pairs of (see, hear, feel or smell; words)."""
    noticed = list(scenery.scene(world, person.place, person.door_open))
    if heard:
        noticed.append(("hear", " ".join(heard)))
    scent = smell(world, person.place)[0]
    if scent.category != "nothing":
        noticed.append(("smell", scent.words))
    return noticed

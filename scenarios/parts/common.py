"""What kinds share: words for sights, sounds that are the same everywhere, rows of faults and of acts."""

from collections.abc import Iterator
from typing import Any

from scenarios.parts.kind import Dial, Fault, Here, Role, Seen, Sense, Tie, kind
from scenarios.parts.places import ambient_of

__all__ = ["Dial", "Fault", "Here", "Role", "Seen", "Sense", "Tie", "kind"]

MAGNET_OVER = 22.0
"""What a coil or core under volts is warmer than its place [K]; common practice."""
LOOK = "look {p}:Look"
SENSES = (LOOK, "listen {p}:Listen", "feel {p}:Feel, by hand")
HANDLE = (
    "off {p}:Switch off",
    "on {p}:Switch on",
    "lock {p}:Hang my lock and tag",
    "try {p}:Try to start",
    "unlock {p}:Take my lock off",
)
COVER = ("open {p}:Cover off", "close {p}:Cover on")
INFRARED = "infrared {p}:Infrared"
REPLACE = "replace {p}:Replace"


def by(value: float, *steps: tuple[float, str], beyond: str) -> str:
    """The word of the first step that a value does not exceed.

    >>> by(0.3, (0.1, "low"), (0.5, "normal"), beyond="high")
    'normal'
    """
    return next((word for most, word in steps if value <= most), beyond)


def to_hand(temperature: float) -> str:
    """How a pipe of a temperature [C] feels; common practice."""
    return by(
        temperature, (5.0, "cold"), (22.0, "cool"), (33.0, "lukewarm"), (42.0, "warm"), (55.0, "hot"), beyond="too hot to hold"
    )


def sights(**aspects: str) -> Iterator[Seen]:
    """Aspects that are said as they are: ``Frost: no frost.``"""
    for aspect, word in aspects.items():
        yield Seen(aspect, word, f"{aspect.capitalize()}: {word}.")


def plant_eyes() -> Any:
    """Figures of the plant that are worked out where they are asked for; a compiler is not needed before."""
    from scenarios.refrigeration import observe

    return observe


def ambient(here: Here) -> float:
    """What unheated surfaces of its place have [C]."""
    return ambient_of(here.world, here.part.place)


def magnet(here: Here) -> float:
    """Surface of a coil, by whether it has volts [C]."""
    return ambient(here) + MAGNET_OVER * here.wired.energised


def hums(here: Here) -> Iterator[Seen]:
    """A coil hums as long as it has volts."""
    yield sound("humming" if here.wired.energised else "silent")


def runs(role: str = "motor") -> Sense:
    """What turns is heard."""

    def listen(here: Here) -> Iterator[Seen]:
        yield sound("running" if here.speed(role) > TURNS else "silent")

    return listen


TURNS = 0.05
"""Speed over the synchronous one from which a machine is heard to turn [-]; common practice."""


def sound(word: str) -> Seen:
    """A sound that is said as it is.

    >>> sound("silent").words
    'Silent.'
    """
    return Seen("sound", word, f"{word.capitalize()}.")


def lamp(lit: bool, words: str) -> Seen:
    """A lamp that is lit or dark; the words have ``{0}`` for which."""
    word = "lit" if lit else "dark"
    said = words.format(word)
    return Seen("lamp", word, f"{said[:1].upper()}{said[1:]}.")


# ---- faults ---------------------------------------------------------------------------------------------------------------

POWER_JOINT = {
    "power_joint": Fault(
        "power_joint", "loose_burnt", "common", "$says, joint at $terminal loose or burnt",
        {"electrical joint_ohms $terminal$which": [0.5, 60.0, 1e6]}, ("re-end $terminal",),
    ),
}  # fmt: skip
CONTROL_JOINT = {
    "control_joint": Fault(
        "control_joint", "loose_burnt", "common", "$says, joint at $terminal loose",
        {"electrical joint_ohms $terminal$which": [1e6]}, ("re-end $terminal", "torque $terminal"),
    ),
}  # fmt: skip
COIL_FAULTS = {
    "coil_open": Fault("coil", "open_inside", "common", "$says, coil open", {"electrical load_open $part $pair": True}),
    "coil_shorted": Fault("coil", "shorted", "occasional", "$says, coil shorted", {"electrical load_shorted $part $pair": True}),
}
ARMATURE_STUCK = {
    "armature_stuck": Fault("part", "stuck_worn", "occasional", "$says, armature stuck open", {"electrical part_stuck $part": -1}),
}
AUX_BURNT = {
    "aux_burnt": Fault(
        "contact",
        "does_not_close",
        "occasional",
        "$says, contact $pair does not make",
        {"electrical contact_burnt $part $pair": True},
    ),
}

"""A three-phase motor, its leads at T1, T2 and T3 in a box."""

from collections.abc import Iterator

from scenarios.facts import EventKind, Observed
from scenarios.parts.common import INFRARED, POWER_JOINT, REPLACE, SENSES, TURNS, Fault, Here, Seen, ambient, kind, sound

WINDING_OVER = 35.0
"""What the frame of a motor at rated load is warmer than its place [K]; common practice."""
SHAFT_SEEN = 0.02
"""Speed over the synchronous one from which a shaft is seen to turn [-]; common practice."""
GROWLS_FROM = 0.5
"""Current at which a motor that stands is heard [A]; common practice."""


def look(here: Here) -> Iterator[Seen]:
    """Its shaft."""
    speed = here.wired.speed
    word = "turning" if speed > SHAFT_SEEN else "turning backward" if speed < -SHAFT_SEEN else "still"
    yield Seen("shaft", word, f"Shaft is {word}.")


def listen(here: Here) -> Iterator[Seen]:
    """It runs, or growls where it stands under current."""
    runs = abs(here.wired.speed) > TURNS
    growls = here.wired.current > GROWLS_FROM and abs(here.wired.speed) < TURNS
    yield sound("growling" if growls else "running" if runs else "silent")


def warmth(here: Here) -> float:
    """Frame, by the warmth of its winding."""
    return ambient(here) + WINDING_OVER * here.wired.winding


def read(here: Here) -> Iterator[Observed]:
    """Its plate."""
    plate = here.device.ratings
    words = (
        f"{plate['hp']:g} hp, {plate['volts']:g} V, {plate['amps']:g} A, {plate['rpm']:g} rpm, "
        f"service factor {plate.get('service_factor', 1.0):g}, {here.world.wiring.supply.hertz:g} Hz, 3 phase."
    )
    yield Observed(f"{here.part.mark} plate", "nameplate", plate["amps"], words=words)


kind(
    name="motor3",
    title="motor",
    into=("T1", "T2", "T3"),
    ratings={
        "hp": None,
        "volts": None,
        "amps": None,
        "locked_amps": None,
        "rpm": None,
        "service_factor": 1.15,
        "efficiency": 0.0,
    },
    look=look,
    listen=listen,
    read=read,
    warmth=warmth,
    heard={EventKind.GROWLS: "{0} growls", EventKind.UP_TO_SPEED: "{0} starts and runs up"},
    carries=(EventKind.GROWLS,),
    acts=(
        *SENSES,
        "read {p}:Read nameplate",
        "open {p}:Open terminal box",
        "close {p}:Close terminal box",
        INFRARED,
        REPLACE,
    ),
    spare="motor",
    minutes=110.0,
    prove="all",
    faults={
        **POWER_JOINT,
        "winding_open": Fault(
            "winding", "open_inside", "occasional", "$says, winding $n open", {"electrical winding_ohms $part $i": 1e7}
        ),
        "winding_shorted": Fault(
            "winding", "shorted", "rare", "$says, winding $n shorted", {"electrical winding_short $part $i": [0.05, 1.0]}
        ),
        "winding_to_earth": Fault(
            "winding", "to_earth", "occasional", "$says, winding $n to earth", {"electrical node_leak $part:T$n": [0.00003, 2.0]}
        ),
        "shaft_seized": Fault("part", "stuck_worn", "occasional", "$says, shaft seized", {"electrical seized $part": True}),
        "bearing_worn": Fault(
            "part", "too_much", "rare", "$says, worn bearings drag", {"electrical friction $part": {"times": [10.0, 25.0]}}
        ),
    },
)

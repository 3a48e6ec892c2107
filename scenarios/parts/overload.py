"""An overload relay: plugged into its contactor, three heaters, a dial, a reset."""

from collections.abc import Iterator

from scenarios.facts import EventKind, Observed
from scenarios.parts.common import AUX_BURNT, CONTROL_JOINT, INFRARED, LOOK, POWER_JOINT, REPLACE, Dial, Fault, Here, Seen, kind

DIAL = Dial(("A",), 0.5, 1.5, share_of="dial")
"""From half the amps it was chosen for to half as much again: common practice, no source."""


def look(here: Here) -> Iterator[Seen]:
    """Its flag."""
    word = "tripped" if here.wired.tripped else "set"
    yield Seen("flag", word, f"Trip flag shows {word}.")


def read(here: Here) -> Iterator[Observed]:
    """Where the dial stands."""
    stands, scale = here.wired.dial, DIAL.printed(here.device.ratings)
    yield Observed(f"{here.part.mark} dial", "dial", stands, words=f"Dial stands at {stands:.1f} A, on a scale {scale}.")


kind(
    name="overload3",
    title="overload relay",
    out=("2T1", "4T2", "6T3"),
    pole="heater",
    ratings={"dial": None, "class": 10.0},
    look=look,
    read=read,
    heard={EventKind.OVERLOAD_TRIPS: "a click at {0}"},
    acts=(LOOK, "read {p}:Read the dial", "reset {p}:Reset", "set {p} ?:Turn the dial", INFRARED, REPLACE),
    spare="overload relay",
    minutes=20.0,
    dial=DIAL,
    prove="load",
    faults={
        "overload_weak": Fault(
            "part", "stuck_worn", "occasional", "$says, trips under its setting", {"electrical trip_share $part": [0.75, 0.5]}
        ),
        "overload_set_low": Fault(
            "part",
            "set_wrong",
            "occasional",
            "$says, set too low",
            {"electrical dial $part": {"times": [0.75, 0.5]}},
            ("set $part",),
        ),
        "heater_open": Fault("pole", "open_inside", "rare", "$says, heater $n open", {"electrical pole_burnt $part $i": True}),
        **POWER_JOINT,
        **CONTROL_JOINT,
        **AUX_BURNT,
    },
)

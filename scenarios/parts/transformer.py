"""A control transformer: primary at H1 and H4, secondary at X1 and X2."""

from collections.abc import Iterator

from scenarios.parts.common import INFRARED, MAGNET_OVER, POWER_JOINT, SENSES, Fault, Here, Seen, ambient, kind, sound

HUMS_FROM = 100.0
"""Volts on its primary from which it is heard [V]; common practice."""


def energised(here: Here) -> bool:
    """Whether its primary has volts."""
    mark = here.part.mark
    return bool(here.world.volts(f"{mark}:H1", f"{mark}:H4") > HUMS_FROM)


def listen(here: Here) -> Iterator[Seen]:
    """It hums under volts."""
    yield sound("humming" if energised(here) else "silent")


kind(
    name="transformer",
    title="control transformer",
    into=("H1", "H4"),
    out=("X1", "X2"),
    ratings={"VA": None, "primary": None, "secondary": None},
    listen=listen,
    warmth=lambda here: ambient(here) + MAGNET_OVER * energised(here),
    acts=(*SENSES, INFRARED),
    spare="control transformer",
    minutes=40.0,
    faults={
        **POWER_JOINT,
        "transformer_primary": Fault(
            "part", "open_inside", "occasional", "$says, primary open", {"electrical primary_open $part": True}, at="$part:H1"
        ),
        "transformer_secondary": Fault(
            "part", "open_inside", "rare", "$says, secondary open", {"electrical secondary_open $part": True}, at="$part:X1"
        ),
    },
)

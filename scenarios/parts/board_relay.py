"""A relay on the board of a controller: no coil of its own to be measured, a lamp that says what it is told."""

from collections.abc import Iterator

from scenarios.parts.common import CONTROL_JOINT, LOOK, REPLACE, Fault, Here, Seen, kind, lamp


def look(here: Here) -> Iterator[Seen]:
    """Its lamp."""
    yield lamp(here.wired.follows, "its lamp is {0}")


kind(
    name="board_relay",
    title="controller relay",
    follows=True,
    look=look,
    acts=(LOOK, "listen {p}:Listen", "try {p}:Call for it", REPLACE),
    spare="control relay",
    minutes=10.0,
    electronic=True,
    faults={
        **CONTROL_JOINT,
        "relay_stuck_open": Fault(
            "part", "does_not_close", "occasional", "$says, does not close", {"electrical part_stuck $part": -1}
        ),
        "relay_stuck_closed": Fault(
            "part", "does_not_open", "occasional", "$says, does not open", {"electrical part_stuck $part": 1}
        ),
    },
)

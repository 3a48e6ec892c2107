"""A fan of a condenser, with its belt."""

from collections.abc import Iterator

from scenarios.parts.common import LOOK, TURNS, Fault, Here, Role, Seen, Tie, by, kind, runs, sights


def look(here: Here) -> Iterator[Seen]:
    """How it turns."""
    speed = float(here.row("fan_states").speed)
    if abs(speed) < TURNS:
        word = "stands"
    else:
        ahead = by(speed, (0.5, "turns slowly"), (0.95, "turns"), beyond="full speed")
        word = "turns backward" if speed < 0.0 else ahead
    return sights(fan=word)


kind(
    name="condenser_fan",
    title="condenser fan",
    wired=False,
    tables=("fans", "fan_states"),
    roles={
        "motor": Role(("motor3",), (Tie("motor", "fans.speed"), Tie("shaft", "fans.shaft")), spare="fan motor"),
        "call": Role(("board_relay",), (Tie("follower", "fans.call"),)),
        "drive": Role(("drive3",), (Tie("drive", "fans.reference"),), needed=False),
    },
    torque=(2, 2.5),
    look=look,
    listen=runs(),
    acts=(LOOK, "listen {p}:Listen", "replace {p}:New belt"),
    spare="fan belt",
    minutes=30.0,
    renews=("fans.share",),
    faults={
        "fan_belt_slips": Fault(
            "part",
            "stuck_worn",
            "occasional",
            "condenser fan belt slips or is off",
            {"plant fans[$row].share": [0.4, 0.0]},
        ),
    },
)

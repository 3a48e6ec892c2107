"""The pump that sprays a condenser."""

from collections.abc import Iterator

from scenarios.parts.common import LOOK, Here, Role, Seen, Tie, by, kind, runs, sights


def look(here: Here) -> Iterator[Seen]:
    """What it delivers."""
    spray = here.row("spray_states").spray
    return sights(discharge=by(spray, (0.02, "no flow"), (0.7, "weak flow"), beyond="full flow"))


kind(
    name="spray_pump",
    title="spray pump",
    wired=False,
    tables=("sprays", "spray_states"),
    roles={
        "motor": Role(("motor3",), (Tie("motor", "sprays.speed"), Tie("shaft", "sprays.shaft")), spare="pump motor"),
        "call": Role(("board_relay",), (Tie("follower", "sprays.call"),)),
        "level": Role(("level_switch",), (Tie("follower", "sprays.level"),)),
    },
    torque=(2, 0.35),
    look=look,
    listen=runs(),
    acts=(LOOK, "listen {p}:Listen"),
)

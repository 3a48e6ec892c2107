"""A frequency drive: line at L1 L2 L3, motor at U V W, and a display."""

from collections.abc import Iterator

from scenarios.facts import EventKind, Observed
from scenarios.parts.common import CONTROL_JOINT, INFRARED, LOOK, POWER_JOINT, Fault, Here, Seen, kind


def look(here: Here) -> Iterator[Seen]:
    """Its display."""
    shows = here.wired.display
    yield Seen("display", shows.split(",")[0], f"Display shows {shows}.")


def read(here: Here) -> Iterator[Observed]:
    """Its display, figures and all."""
    yield Observed(f"{here.part.mark} speed", "speed", here.wired.hertz, instrument="display-hertz")
    for seen in look(here):
        yield Observed(f"{here.part.mark} {seen.aspect}", "look", category=seen.category, words=seen.words)


kind(
    name="drive3",
    title="drive",
    into=("L1", "L2", "L3"),
    out=("U", "V", "W"),
    ratings={"amps": 0.0},
    look=look,
    read=read,
    heard={EventKind.DRIVE_TRIPS: "{0} display turns to a fault"},
    acts=(LOOK, "read {p}:Read display", "reset {p}:Reset fault", "listen {p}:Listen", INFRARED),
    spare="drive",
    minutes=90.0,
    prove="all",
    electronic=True,
    faults={
        **POWER_JOINT,
        **CONTROL_JOINT,
        "drive_dead": Fault("part", "open_inside", "occasional", "$says, no output", {"electrical drive_dead $part": True}),
        "drive_input_dead": Fault(
            "load", "does_not_close", "rare", "$says, run input dead", {"electrical drive_blind $part": True}
        ),
    },
)

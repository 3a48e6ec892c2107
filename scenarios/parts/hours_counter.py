"""A counter of running hours."""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts.common import LOOK, Here, Seen, kind

HISTORY = 2310.4 * 3600.0
"""What a counter has counted before a call [s]; every next one of the list has a day's half more, so that no two agree."""
APART = 17.3 * 3600.0


def look(here: Here) -> Iterator[Seen]:
    """Its last wheel."""
    word = "turning" if here.wired.energised else "still"
    yield Seen("wheel", word, f"Last wheel is {word}.")


def read(here: Here) -> Iterator[Observed]:
    """Its hours."""
    seconds = HISTORY + APART * here.wired.number + here.wired.on_time
    yield Observed(here.part.mark, "dial", seconds, instrument="hours")


kind(
    name="hours_counter",
    title="hours counter",
    ratings={"volts": 120.0, "VA": 2.0},
    look=look,
    read=read,
    acts=(LOOK, "read {p}:Read hours"),
)

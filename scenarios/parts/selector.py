"""A selector switch, turned by hand."""

from collections.abc import Iterator

from scenarios.parts.common import AUX_BURNT, CONTROL_JOINT, LOOK, Here, Seen, kind


def look(here: Here) -> Iterator[Seen]:
    """Where it stands."""
    position = here.wired.position
    yield Seen("position", position, f"Stands on {position}.")


kind(
    name="selector",
    title="selector",
    look=look,
    acts=(LOOK, "select {p} {position}:Turn to {position}"),
    spare="selector",
    minutes=20.0,
    symbol="selector",
    faults={**CONTROL_JOINT, **AUX_BURNT},
)

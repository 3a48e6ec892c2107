"""A signal lamp."""

from collections.abc import Iterator

from scenarios.parts.common import LOOK, Here, Seen, kind, lamp


def look(here: Here) -> Iterator[Seen]:
    """Lit or dark."""
    yield lamp(here.wired.energised, "{0}")


kind(name="lamp", title="lamp", ratings={"volts": 120.0, "VA": 4.0}, look=look, acts=(LOOK,))

"""A level switch: its float closes a contact as water rises."""

from collections.abc import Iterator

from scenarios.parts.common import CONTROL_JOINT, COVER, LOOK, Fault, Here, Seen, kind


def look(here: Here) -> Iterator[Seen]:
    """Its float."""
    word = "up" if here.wired.follows else "down"
    yield Seen("float", word, f"Float is {word}.")


kind(
    name="level_switch",
    title="level switch",
    follows=True,
    look=look,
    acts=(LOOK, *COVER, "bridge {p}:3 {p}:4:Bridge contact"),
    spare="level switch",
    minutes=30.0,
    faults={
        **CONTROL_JOINT,
        "level_switch_open": Fault(
            "contact", "does_not_close", "occasional", "$says, stays open", {"electrical contact_burnt $part $pair": True}
        ),
        "level_switch_closed": Fault(
            "contact", "does_not_open", "rare", "$says, stays closed", {"electrical contact_welded $part $pair": True}
        ),
    },
)

"""Fuses: of one, two or three poles, or of a control circuit."""

from collections.abc import Iterator

from scenarios.parts.common import CONTROL_JOINT, LOOK, POWER_JOINT, REPLACE, Fault, Here, Seen, kind


def look(here: Here) -> Iterator[Seen]:
    """A melted fuse looks like a whole one."""
    yield Seen("body", "whole", "Body looks whole; that says little.")


COMMON = {
    "look": look,
    "ratings": {"amps": None},
    "heard": {"fuse melts": "a pop at {0}"},
    "acts": (LOOK, REPLACE),
    "spare": "fuse",
    "minutes": 3.0,
}
BLOWN = Fault("pole", "open_inside", "common", "$says, fuse $n open", {"electrical pole_burnt $part $i": True})

for poles in (1, 2, 3):
    kind(
        name=f"fuse{poles}",
        title="fuse" if poles == 1 else "fuses",
        into=("1", "3", "5")[:poles],
        out=("2", "4", "6")[:poles],
        pole="fuse",
        faults={"fuse_blown": BLOWN, **POWER_JOINT},
        **COMMON,
    )
kind(
    name="fuse",
    title="control fuse",
    faults={
        "control_fuse_blown": Fault(
            "contact", "open_inside", "common", "$says, open", {"electrical contact_burnt $part $pair": True}
        ),
        **CONTROL_JOINT,
    },
    **COMMON,
)

"""A contactor of three poles, its coil at A1 and A2."""

from collections.abc import Iterator

from scenarios.facts import EventKind
from scenarios.parts.common import (
    ARMATURE_STUCK,
    AUX_BURNT,
    COIL_FAULTS,
    CONTROL_JOINT,
    INFRARED,
    POWER_JOINT,
    REPLACE,
    SENSES,
    Fault,
    Here,
    Seen,
    hums,
    kind,
    magnet,
)


def look(here: Here) -> Iterator[Seen]:
    """Armature in or out."""
    word = "in" if here.wired.picked else "out"
    yield Seen("armature", word, f"Armature is {word}.")


kind(
    name="contactor3",
    title="contactor",
    into=("1", "3", "5"),
    out=("2", "4", "6"),
    pole="contactor",
    coil=True,
    ratings={"coil_volts": 120.0, "VA": 10.0},
    look=look,
    listen=hums,
    warmth=magnet,
    heard={EventKind.PULLS_IN: "{0} pulls in with a clunk", EventKind.LETS_GO: "{0} lets go", EventKind.CHATTERS: "{0} chatters"},
    acts=(
        *SENSES,
        "open {p}:Take chute off",
        "close {p}:Put chute on",
        "press {p}:Push it in",
        "try {p}:Try to start",
        INFRARED,
        REPLACE,
    ),
    spare="contactor",
    minutes=25.0,
    armature=True,
    faults={
        "pole_burnt": Fault(
            "pole", "does_not_close", "common", "$says, pole $n burnt open", {"electrical pole_burnt $part $i": True}
        ),
        "pole_welded": Fault(
            "pole", "does_not_open", "occasional", "$says, pole $n welded", {"electrical pole_welded $part $i": True}
        ),
        **ARMATURE_STUCK,
        **POWER_JOINT,
        **CONTROL_JOINT,
        **COIL_FAULTS,
        "coil_weak": Fault(
            "coil", "too_little", "rare", "$says, pulls in only at full volts", {"electrical pull_in $part": [0.97, 1.05]}
        ),
        **AUX_BURNT,
    },
)

"""An electric defrost heater: elements in the coil of a case that is too cold to thaw by its own air."""

from scenarios.parts.common import CONTROL_JOINT, COVER, INFRARED, REPLACE, SENSES, Fault, Here, kind

ELEMENT_OVER = 60.0
"""What a heating element is warmer than the coil it lies in [K]; common practice."""


def warmth(here: Here) -> float:
    """The air of its case, and what the element has over it."""
    return float(here.row("circuit_states").air) + ELEMENT_OVER * here.wired.energised


kind(
    name="defrost_heater",
    title="defrost heater",
    ratings={"volts": 120.0, "VA": 1500.0},
    tables=("circuit_states",),
    warmth=warmth,
    acts=(*SENSES, *COVER, INFRARED, REPLACE),
    spare="defrost heater",
    minutes=60.0,
    faults={
        **CONTROL_JOINT,
        "defrost_heater_burnt_out": Fault(
            "load", "open_inside", "common", "$says, element open", {"electrical load_open $part $pair": True}
        ),
    },
)

"""A crankcase heater: an element in the oil of a compressor that stands."""

from scenarios.parts.common import CONTROL_JOINT, COVER, INFRARED, REPLACE, SENSES, Fault, Here, kind

ELEMENT_OVER = 20.0
"""What a heating element is warmer than the crankcase it lies on [K]; common practice."""


def warmth(here: Here) -> float:
    """The crankcase, and what the element has over it."""
    return float(here.row("compressor_states").oil) + ELEMENT_OVER * here.wired.energised


kind(
    name="crankcase_heater",
    title="crankcase heater",
    ratings={"volts": 120.0, "VA": 120.0},
    tables=("compressor_states",),
    warmth=warmth,
    acts=(*SENSES, *COVER, INFRARED, REPLACE),
    spare="crankcase heater",
    minutes=30.0,
    faults={
        **CONTROL_JOINT,
        "heater_burnt_out": Fault(
            "load", "open_inside", "common", "$says, element open", {"electrical load_open $part $pair": True}
        ),
    },
)

"""Cut-outs of a compressor that pressure moves: high, low, and oil."""

from collections.abc import Iterator
from typing import Any

from scenarios.facts import Observed
from scenarios.parts.common import CONTROL_JOINT, COVER, LOOK, REPLACE, Dial, Fault, Here, Seen, kind
from scenarios.units import from_si

PRESSURES = ("psig", "barg", "psia")
"""Units of a scale; its ends below: common practice, no source."""
BRIDGE = "bridge {p}:1 {p}:2:Bridge contact"


def own(here: Here) -> Any:
    """Its row of the plant."""
    return here.row(here.part.kind.tables[0])


def look(here: Here) -> Iterator[Seen]:
    """Its button, if it has one."""
    if not own(here).manual:
        yield Seen("button", "none", "Automatic, no button.")
    else:
        word = "in" if here.wired.follows else "out"
        yield Seen("button", word, f"Button is {word}.")


def read(here: Here) -> Iterator[Observed]:
    """Where it opens and comes back, by its scale."""
    row = own(here)
    opens, span = float(row.opens), float(row.differential)
    closes = opens - span if row.above else opens + span
    words = f"Opens at {from_si(opens, 'psig'):.0f} psig, back at {from_si(closes, 'psig'):.0f} psig"
    dial = here.part.kind.dial
    words += f", on a scale {dial.printed({})}." if dial else "."
    yield Observed(f"{here.part.mark} setting", "dial", opens, words=words)


SET = "set $part"
STAYS_OPEN = "$says, contact stays open"

kind(
    name="high_pressure",
    title="high-pressure cut-out",
    follows=True,
    tables=("high", "high_states"),
    look=look,
    read=read,
    acts=(
        LOOK,
        "read {p}:Read setting",
        "push {p}:Push button",
        "set {p} ? psig:Turn setting",
        *COVER,
        BRIDGE,
        REPLACE,
    ),
    spare="high-pressure cut-out",
    minutes=40.0,
    renews=("high",),
    dial=Dial(PRESSURES, 100.0, 450.0, turns="high.opens", ceiling=True),
    safety=True,
    faults={
        **CONTROL_JOINT,
        "high_cutout_open": Fault("part", "does_not_close", "occasional", STAYS_OPEN, {"plant high[$row].stuck_open": True}),
        "high_cutout_low": Fault(
            "part", "set_wrong", "occasional", "$says, set too low", {"plant high[$row].opens": {"times": [0.75, 0.6]}}, (SET,)
        ),
    },
)
kind(
    name="low_pressure",
    title="low-pressure cut-out",
    follows=True,
    tables=("low", "low_states"),
    look=look,
    read=read,
    acts=(LOOK, "read {p}:Read setting", "set {p} ? psig:Turn setting", *COVER, BRIDGE),
    spare="low-pressure cut-out",
    minutes=40.0,
    renews=("low",),
    dial=Dial(PRESSURES, 0.0, 100.0, turns="low.opens"),
    safety=True,
    faults={
        **CONTROL_JOINT,
        "low_cutout_open": Fault("part", "does_not_close", "occasional", STAYS_OPEN, {"plant low[$row].stuck_open": True}),
        "low_cutout_high": Fault(
            "part", "set_wrong", "occasional", "$says, set too high", {"plant low[$row].opens": {"times": [1.5, 2.0]}}, (SET,)
        ),
    },
)
kind(name="oil_pressure", title="oil-pressure cut-out", follows=True, acts=(LOOK,), safety=True, faults=CONTROL_JOINT)

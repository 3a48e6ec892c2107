"""The expansion valve of a case or walk-in."""

from collections.abc import Iterator

from scenarios.parts.common import LOOK, Fault, Here, Seen, kind, sights, to_hand

SWEATS = 0.004
"""Flow from which its body sweats [kg/s]; common practice."""
HISSES = 1e-4
"""Flow from which it is heard [kg/s]; common practice."""


def look(here: Here) -> Iterator[Seen]:
    """Its body, and its outlet to the hand."""
    body = "sweating" if here.row("circuit_steps").feed > SWEATS else "dry"
    return sights(body=body, outlet=to_hand(float(here.row("circuit_states").outlet)))


def listen(here: Here) -> Iterator[Seen]:
    """Liquid hisses through."""
    hiss = float(here.row("circuit_steps").feed) > HISSES
    yield Seen("sound", "hissing", "Liquid hisses through.") if hiss else Seen("sound", "silent", "Silent.")


def fault(mode: str, prior: str, title: str, field: str, value: object) -> Fault:
    """A fault of a valve: one parameter of its circuit."""
    return Fault("part", mode, prior, f"$owner, expansion valve {title}", {f"plant circuits[$row].{field}": value})


kind(
    name="expansion_valve",
    title="expansion valve",
    wired=False,
    tables=("circuits", "circuit_states"),
    look=look,
    listen=listen,
    warmth=lambda here: float(here.row("circuit_states").outlet),
    acts=(LOOK, "listen {p}:Listen", "feel {p}:Feel the outlet", "replace {p}:Replace valve"),
    spare="expansion valve",
    minutes=90.0,
    renews=("circuits.valve_share", "circuits.valve_least"),
    faults={
        "valve_underfeeds": fault("too_little", "occasional", "underfeeds", "valve_share", [0.5, 0.3]),
        "valve_plugged": fault("blocked_dirty", "rare", "plugged", "valve_share", 0.05),
        "valve_overfeeds": fault("too_much", "rare", "overfeeds", "valve_least", [0.6, 0.9]),
    },
)

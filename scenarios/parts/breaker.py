"""Breakers: switched by a handle, opened by heat or by a short."""

from collections.abc import Iterator

from scenarios.facts import EventKind
from scenarios.parts.common import HANDLE, INFRARED, LOOK, POWER_JOINT, Fault, Here, Seen, kind


def look(here: Here) -> Iterator[Seen]:
    """Where the handle stands."""
    handle = here.wired.handle
    yield Seen("handle", handle, f"Handle is {handle}.")


for name, into, out in (("breaker3", ("1", "3", "5"), ("2", "4", "6")), ("breaker2", ("1", "3"), ("2", "4"))):
    kind(
        name=name,
        title="breaker",
        into=into,
        out=out,
        pole="breaker",
        ratings={"amps": None, "magnetic": 10.0},
        look=look,
        heard={EventKind.BREAKER_TRIPS: "{0} trips with a bang"},
        acts=(LOOK, *HANDLE, INFRARED),
        spare="breaker",
        minutes=25.0,
        handle=True,
        faults={
            "breaker_pole_open": Fault(
                "pole", "does_not_close", "rare", "$says, pole $n does not make", {"electrical pole_burnt $part $i": True}
            ),
            "breaker_weak": Fault(
                "part", "stuck_worn", "occasional", "$says, trips under its rating", {"electrical trip_share $part": [0.35, 0.2]}
            ),
            **POWER_JOINT,
        },
    )

"""Dial gauges on a rack."""

from collections.abc import Callable, Iterator

from scenarios.facts import Observed
from scenarios.parts.common import Here, kind


def dial(instrument: str) -> Callable[[Here], Iterator[Observed]]:
    """What a gauge shows."""

    def read(here: Here) -> Iterator[Observed]:
        yield Observed(here.part.mark, "pressure", here.world.point(here.part.mark), instrument=instrument)

    return read


for side, scale in (("discharge", "dial-high"), ("suction", "dial-low")):
    kind(
        name=f"{side}_gauge",
        title=f"{side} gauge",
        wired=False,
        read=dial(scale),
        acts=("read {p}:Read gauge",),
    )

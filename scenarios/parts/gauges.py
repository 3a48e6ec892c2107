"""Dial gauges on a rack."""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts.common import Here, kind


def read(here: Here) -> Iterator[Observed]:
    """What it shows: the low side has the finer dial."""
    mark = here.part.mark
    low = here.world.store.points[mark].role == "suction_pressure"
    yield Observed(mark, "pressure", here.world.point(mark), instrument="dial-low" if low else "dial-high")


kind(name="gauge", title="gauge", wired=False, read=read, acts=("read {p}:Read gauge",))

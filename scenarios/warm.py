"""Compile every entry point once, smallest parts first, with a line of progress for each: ``python -m scenarios.warm``.

Run by `scenarios.kernel.prepare` with the compiler's cache pointed at a new folder.
"""

import time
from collections.abc import Callable
from typing import Any

from scenarios import yamlfile
from scenarios.site import STORES, Store, World

CALL: dict[str, Any] = {"starts": "00:00", "weather": [[-1, 77, 72], [1, 77, 72]], "noise": [[-0.5, 9, 5]]}
"""Weather enough to run a minute."""


def main() -> None:
    """Build a small night, let a minute pass and touch every instrument."""
    begun = time.perf_counter()
    world = World.fresh(Store(yamlfile.load(STORES / "corner_market.yaml")), CALL, -3600.0, 2)
    parts: list[tuple[str, Callable[[], Any]]] = [
        ("network of the store", lambda: world.network.step(5.0)),
        ("plant and network on one clock", lambda: world.advance(60.0)),
        ("meter", lambda: world.volts("Q5:1", "Q5:3")),
        ("ohms and insulation", lambda: (world.ohms("K5:1", "K5:2"), world.insulation("M5:T1", "PE"))),
        ("gauges", lambda: [world.point(name) for name in world.store.points]),
    ]
    for n, (says, work) in enumerate(parts, 1):
        print(f"{n}/{len(parts)} {says}", flush=True)
        work()
    print(f"ready in {time.perf_counter() - begun:.0f} s", flush=True)


if __name__ == "__main__":
    main()

"""Which compressors of a suction group are called: one more or one fewer at a time, small errors with small machines.

Suction dew inside a dead band changes nothing; above it a machine is added after a delay, below it one is dropped.

Timers keep each machine on and off for its shortest times. A machine that is called and does not prove to run within its time has
failed: it stays called, so that it runs as soon as what holds it out lets go, suction calls another, and it is the first to be
dropped.
"""

from typing import Any

import numpy as np

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record

Stages = Any
"""Table of `Stage`, or a range of its rows."""


@record
class Staging:
    """Settings of a suction group, and what its sensor does. Faults edit these."""

    suction_target: float = quantity("C", "suction dew wanted", default=-6.5)
    dead_band: float = quantity("K", "half width in which nothing changes", default=1.2, least=0.1)
    add_delay: float = quantity("s", "above the band before a machine is added", default=60.0, least=0.0)
    drop_delay: float = quantity("s", "below the band before one is dropped", default=30.0, least=0.0)
    least_on: float = quantity("s", "shortest run", default=90.0, least=0.0)
    least_off: float = quantity("s", "shortest rest", default=120.0, least=0.0)
    proof_time: float = quantity("s", "called without proof before it counts as failed", default=20.0, least=5.0)
    suction_offset: float = quantity("Pa", "suction transducer reads too high by", default=0.0, least=-10e5, most=10e5)


@record
class StagingState:
    """What it remembers of a suction group."""

    add_timer: float = quantity("s", "time above the band", default=0.0)
    drop_timer: float = quantity("s", "time below the band", default=0.0)
    suction: float = quantity("Pa", "what the suction transducer says", default=4.2e5)


@record
class Stage:
    """One compressor as the controller sees it."""

    capacity: float = quantity("-", "share of its suction group", default=0.25, least=0.0)
    called: bool = quantity("-", "output on", default=False)
    timer: float = quantity("s", "since it last changed", default=1000.0)
    unproved: float = quantity("s", "called without proof", default=0.0)
    failed: bool = quantity("-", "did not prove; until it runs again", default=False)


@compiled
def prove(settings: Staging, stages: Stages, speed: np.ndarray[Any, Any], proved: float, dt: float) -> None:
    """Age the timers of all machines and mark those that do not prove.

    Parameters
    ----------
    settings : Staging
        What it works with.
    stages : recarray of Stage
        The machines.
    speed : array
        Shaft speeds over rated. [-]
    proved : float
        Speed at which a machine proves to run. [-]
    dt : float
        Length of the step. [s]
    """
    for n in range(len(stages)):
        stage = stages[n]
        stage.timer += dt
        if stage.called and speed[n] < proved:
            stage.unproved += dt
            if stage.unproved >= settings.proof_time:
                stage.failed = True
        else:
            stage.unproved = 0.0
            if stage.called:
                stage.failed = False


@compiled
def next_on(settings: Staging, stages: Stages, large: bool) -> int:
    """Index of the machine to add, the smallest free one or the largest; -1 if none is free."""
    found = -1
    for n in range(len(stages)):
        stage = stages[n]
        if stage.called or stage.timer < settings.least_off:
            continue
        if found < 0 or ((stage.capacity > stages[found].capacity) == large and stage.capacity != stages[found].capacity):
            found = n
    return found


@compiled
def next_off(settings: Staging, stages: Stages, large: bool) -> int:
    """Index of the machine to drop, the smallest running one or the largest; -1 if none may stop."""
    found = -1
    for n in range(len(stages)):
        stage = stages[n]
        if not stage.called or stage.timer < settings.least_on:
            continue
        if stage.failed:
            return n
        if found < 0 or ((stage.capacity > stages[found].capacity) == large and stage.capacity != stages[found].capacity):
            found = n
    return found


@compiled
def stage_capacity(settings: Staging, state: StagingState, stages: Stages, suction: float, dt: float) -> None:
    """Add or drop one machine when suction dew has been outside the dead band for its delay.

    Parameters
    ----------
    settings, state, stages : Staging, StagingState, Stages
        What it works on; states are changed in place.
    suction : float
        Suction dew by the transducer. [C]
    dt : float
        Length of the step. [s]
    """
    error = suction - settings.suction_target
    state.add_timer = state.add_timer + dt if error > settings.dead_band else 0.0
    state.drop_timer = state.drop_timer + dt if error < -settings.dead_band else 0.0
    if state.add_timer >= settings.add_delay:
        n = next_on(settings, stages, error > 2.5 * settings.dead_band)
        if n >= 0:
            stages[n].called, stages[n].timer, state.add_timer = True, 0.0, 0.0
    elif state.drop_timer >= settings.drop_delay:
        n = next_off(settings, stages, error < -2.5 * settings.dead_band)
        if n >= 0:
            stages[n].called, stages[n].timer, state.drop_timer = False, 0.0, 0.0

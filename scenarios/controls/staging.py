"""Which compressors are called: one more or one fewer at a time, small errors with small machines.

Timers keep each machine on and off for its shortest times. A machine that is called and does not prove to run within its time has
failed: it stays called, so that it runs as soon as what holds it out lets go, suction calls another, and it is the first to be
dropped.
"""

from typing import Any

import numpy as np

from scenarios.compiling.kernel import compiled
from scenarios.controls.controller import Controller, ControllerState

Stages = np.recarray[Any, Any]


@compiled
def prove(settings: Controller, stages: Stages, speed: np.ndarray[Any, Any], proved: float, dt: float) -> None:
    """Age the timers of all machines and mark those that do not prove.

    Parameters
    ----------
    settings : Controller
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
def next_on(settings: Controller, stages: Stages, large: bool) -> int:
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
def next_off(settings: Controller, stages: Stages, large: bool) -> int:
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
def stage_capacity(settings: Controller, state: ControllerState, stages: Stages, suction: float, dt: float) -> None:
    """Add or drop one machine when suction dew has been outside the dead band for its delay.

    Parameters
    ----------
    settings, state, stages : Controller, ControllerState, Stages
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

"""Built nights: the two days before a ticket, simulated once and kept.

A night is the healthy store from two days before, the fault put in at its onset, and the world as it stands when the ticket comes
in. It is kept by content: the store, what came from outside, what went wrong and the digest of what builds it name the file, so a
change of any of them builds it anew, and a change of a call's words does not; a file that cannot be read is built anew as well.
Suspects are other faults put in at the same onset.
"""

import os
import tempfile
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from scenarios.compiling import caches, seals
from scenarios.content import seal_of
from scenarios.faults.catalogue import Fault, by_id, catalogue
from scenarios.loop import STEP, TREND_EVERY
from scenarios.site import World
from scenarios.store.model import Store

SETTLE = 6 * 3600.0
"""Time a cold store is given before its history begins [s]."""
HISTORY = 48 * 3600.0
"""History a trainee can look back on [s]."""
AHEAD = 14 * 3600.0
"""Room in the trend log for the call itself [s]."""
BEGIN = -(HISTORY + SETTLE)
"""Where a night begins [s from the ticket]."""
TREND_ROWS = int((HISTORY + SETTLE + AHEAD) / TREND_EVERY)


@dataclass(frozen=True)
class Suspect:
    """One fault in one severity that produces the ticket."""

    fault: Fault
    severity: int
    share: float
    """Share of the fault's prior that this severity has."""


@dataclass
class Night:
    """A store, what came from outside, and what went wrong there: all that its worlds are made of, and nothing else of a call.

    Whatever is not a field here moves no built night.
    """

    store: Store
    outside: dict[str, Any]
    """``starts`` (time of day), ``weather`` and ``noise`` (propped doors) of a call."""
    histories: list[dict[str, Any]]
    """Of every variant: ``onset`` [h from the ticket] and ``faults``, each with its hour and severity."""
    _worlds: dict[tuple[int, str], World] = field(default_factory=dict)

    @cached_property
    def faults(self) -> list[Fault]:
        """Everything that could break in this store."""
        return catalogue(self.store)

    def variant(self, seed: int) -> int:
        """Which of the built variants a seed picks."""
        return seed % len(self.histories)

    def history(self, seed: int) -> dict[str, Any]:
        """What went wrong, and when, in a seed's variant."""
        return self.histories[self.variant(seed)]

    # ---- worlds ----------------------------------------------------------------------------------------------------------

    def world(self, seed: int) -> World:
        """The store as it stands when the ticket comes in; a fresh copy each time."""
        which = self.variant(seed)
        if (which, "truth") not in self._worlds:
            self._worlds[which, "truth"] = self._kept(f"{which}-truth", seed, lambda: self._broken(seed))
        return self._worlds[which, "truth"].fork()

    def sound(self, seed: int) -> World:
        """The healthy store at the onset, history and all; a fresh copy each time."""
        which = self.variant(seed)
        if (which, "sound") not in self._worlds:
            self._worlds[which, "sound"] = self._kept(f"{which}-sound", seed, lambda: self._healthy(seed))
        return self._worlds[which, "sound"].fork()

    def suspect_world(self, seed: int, suspect: Suspect) -> World:
        """A suspect's store as it stands when the ticket comes in."""
        name = f"{self.variant(seed)}-{suspect.fault.id}-{suspect.severity}"
        key = (self.variant(seed), name)
        if key not in self._worlds:
            self._worlds[key] = self._kept(
                name.replace(":", "_").replace("/", "_"), seed, lambda: self._with(seed, suspect.fault, suspect.severity)
            )
        return self._worlds[key].fork(trend=False, memory=False)

    def _healthy(self, seed: int) -> World:
        world = World.fresh(self.store, self.outside, BEGIN, TREND_ROWS)
        _until(world, float(self.history(seed)["onset"]) * 3600.0)
        return world

    def _broken(self, seed: int) -> World:
        """The healthy store with what went wrong, each put in at its hour."""
        onset, faults = float(self.history(seed)["onset"]), self.history(seed)["faults"]
        faults = sorted(faults, key=lambda entry: float(entry.get("hours", onset)))
        early = any(float(entry.get("hours", onset)) < onset for entry in faults)
        world = World.fresh(self.store, self.outside, BEGIN, TREND_ROWS) if early else self.sound(seed)
        for entry in faults:
            _until(world, float(entry.get("hours", onset)) * 3600.0)
            world.apply(by_id(self.faults, entry["id"]), int(entry.get("severity", 0)))
        _until(world, 0.0)
        return world

    def _with(self, seed: int, fault: Fault, severity: int) -> World:
        world = self.sound(seed).fork(trend=False)
        world.apply(fault, severity)
        _until(world, 0.0)
        return world

    # ---- keeping ---------------------------------------------------------------------------------------------------------

    def _kept(self, name: str, seed: int, build: Callable[[], World]) -> World:
        """A built world from the cache, or built and put there; a file that is damaged is built anew."""
        made_of = seal_of(self.store.seal, self.outside, self.history(seed))
        place = folder() / f"{made_of[:16]}-{seals.of('night')}"
        path = place / f"{name}.npz"
        try:
            with np.load(path, allow_pickle=False) as saved:
                world = World.fresh(self.store, self.outside, 0.0)
                world.restore({key: saved[key] for key in saved.files})
                return world
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
            pass
        world = build()
        try:
            place.mkdir(parents=True, exist_ok=True)
            handle, draft = tempfile.mkstemp(dir=place, suffix=".draft")
            with os.fdopen(handle, "wb") as file:
                np.savez_compressed(file, **world.snapshot())
            os.replace(draft, path)
        except OSError:
            pass
        return world


def _until(world: World, t: float) -> None:
    """Let time pass up to a time from the ticket [s]."""
    world.advance(round((t - world.t) / STEP) * STEP)


def folder() -> Path:
    """Where built nights are kept."""
    return caches.home() / "nights"

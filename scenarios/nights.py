"""Built nights: the two days before a ticket, simulated once and kept.

A night is the healthy store from two days before, the fault put in at its onset, and the world as it stands when the ticket comes
in. It is kept by content: store, call, key, variant and engine name the file, so a change of any of them builds it anew; a file
that cannot be read is built anew as well. Suspects are other faults put in at the same onset.
"""

import hashlib
import json
import os
import tempfile
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path
from string import Template
from typing import Any

import numpy as np

from scenarios import kernel, recordline
from scenarios.errors import BadRequest
from scenarios.faults.catalogue import Fault, by_id, catalogue
from scenarios.files import callfile
from scenarios.loop import STEP, TREND_EVERY
from scenarios.site import World
from scenarios.steps import Vocabulary
from scenarios.store import read
from scenarios.store.model import Point, Store

SETTLE = 6 * 3600.0
"""Time a cold store is given before its history begins [s]."""
HISTORY = 48 * 3600.0
"""History a trainee can look back on [s]."""
AHEAD = 14 * 3600.0
"""Room in the trend log for the call itself [s]."""
BEGIN = -(HISTORY + SETTLE)
"""Where a night begins [s from the ticket]."""
TREND_ROWS = int((HISTORY + SETTLE + AHEAD) / TREND_EVERY)
GRID = -20
"""States are rounded to 2 to this power."""
VERSION = "0.1.0"


@dataclass(frozen=True)
class Suspect:
    """One fault in one severity that produces the ticket."""

    fault: Fault
    severity: int
    share: float
    """Share of the fault's prior that this severity has."""


@dataclass
class Night:
    """One call with its key and what has been built of it."""

    call: dict[str, Any]
    key: dict[str, Any]
    store: Store
    seal: str
    _worlds: dict[tuple[int, str], World] = field(default_factory=dict)

    @property
    def points(self) -> dict[str, Point]:
        """Test points of the plant."""
        return self.store.points

    @cached_property
    def faults(self) -> list[Fault]:
        """Everything that could break in this store."""
        return catalogue(self.store)

    @cached_property
    def words(self) -> Vocabulary:
        """Names that steps of this call may use."""
        topics = {line["id"].split(" ", 1)[1] for person in self.call["people"].values() for line in person["lines"]}
        return Vocabulary(
            places=list(self.store.places),
            parts=[*self.store.parts, *(name for name, point in self.points.items() if point.quantity == "display")],
            terminals=list(self.store.wiring.terminals),
            points=list(self.points),
            topics=sorted(topics),
            questions=[q["id"] for q in self.call["questions"]],
            wires=[w.name for w in self.store.wiring.wires],
        )

    def head(self, seed: int) -> dict[str, Any]:
        """First line of a record of this call."""
        return {
            "schema": recordline.SCHEMA,
            "call": self.call["id"],
            "seal": self.seal,
            "version": VERSION,
            "engine": engine(),
            "step": int(STEP),
            "grid": GRID,
            "seed": seed,
            "units": "field",
        }

    # ---- variants --------------------------------------------------------------------------------------------------------

    def variant(self, seed: int) -> int:
        """Which of the built variants a seed picks."""
        return seed % max(len(self.key.get("variants", {})), 1)

    def key_of(self, seed: int) -> dict[str, Any]:
        """The key with the variant's own words put in."""
        key = {name: value for name, value in self.key.items() if name != "variants"}
        variants = self.key.get("variants", {})
        own = variants.get(self.variant(seed), variants.get(str(self.variant(seed)), {}))
        words = {**key.get("words", {}), **own.get("words", {})}
        key.update({name: value for name, value in own.items() if name != "words"})
        filled: dict[str, Any] = _filled(key, words)
        return filled

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
        onset = float(self.key_of(seed)["onset"]) * 3600.0
        world = World.fresh(self.store, self.call, BEGIN, TREND_ROWS)
        _until(world, onset)
        return world

    def _broken(self, seed: int) -> World:
        """The healthy store with the faults of the key, each put in at its hour."""
        key = self.key_of(seed)
        faults = sorted(key["faults"], key=lambda entry: float(entry.get("hours", key["onset"])))
        early = any(float(entry.get("hours", key["onset"])) < float(key["onset"]) for entry in faults)
        world = World.fresh(self.store, self.call, BEGIN, TREND_ROWS) if early else self.sound(seed)
        for entry in faults:
            _until(world, float(entry.get("hours", key["onset"])) * 3600.0)
            world.apply(by_id(self.faults, entry["id"]), int(entry.get("severity", 0)))
        _until(world, 0.0)
        return world

    def _with(self, seed: int, fault: Fault, severity: int) -> World:
        world = self.sound(seed).fork(trend=False)
        world.apply(fault, severity)
        _until(world, 0.0)
        return world

    # ---- suspects --------------------------------------------------------------------------------------------------------

    def produces_ticket(self, world: World) -> bool:
        """Whether a world, at the time of the ticket, shows what the store complains of."""
        from scenarios.visit.scenery import active_alarms

        told = self.key["complaint"]
        standing = {event.what for event in active_alarms(world)}
        recent = {event.what for event in world.alarm_events() if event.on and event.t > -7200.0}
        over = sum(
            1
            for circuit in self.store.circuits
            if world.point(f"{circuit.mark}.D") > circuit.limit
        )
        return (
            all(any(name.startswith(a) for name in standing | recent) for a in told.get("alarms", []))
            and not any(any(name.startswith(a) for name in standing) for a in told.get("not", []))
            and int(told.get("least_over", 0)) <= over <= int(told.get("most_over", 99))
        )

    def suspects(self, seed: int) -> list[Suspect]:
        """Faults and severities that produce the ticket, as the key lists them; `find_suspects` makes the list."""
        listed = self.key_of(seed).get("suspects", [])
        counts: dict[str, int] = {}
        for entry in listed:
            counts[entry["id"]] = counts.get(entry["id"], 0) + 1
        return [Suspect(by_id(self.faults, e["id"]), int(e.get("severity", 0)), 1.0 / counts[e["id"]]) for e in listed]

    def find_suspects(self, seed: int) -> list[dict[str, Any]]:
        """Try every fault of the catalogue in every severity, and list those that produce the ticket (minutes of work)."""
        found = []
        for fault in self.faults:
            for severity in range(fault.severities):
                try:
                    world = self._with(seed, fault, severity)
                except BadRequest:
                    continue
                if self.produces_ticket(world):
                    found.append({"id": fault.id, "severity": severity})
        return found

    def inseparable(self, seed: int) -> list[list[str]]:
        """Groups of suspects that no safe step separates, as the key lists them."""
        groups: list[list[str]] = self.key_of(seed).get("inseparable", [])
        return groups

    # ---- keeping ---------------------------------------------------------------------------------------------------------

    def _kept(self, name: str, seed: int, build: Callable[[], World]) -> World:
        """A built world from the cache, or built and put there; a file that is damaged is built anew."""
        folder = kernel.home() / "nights" / f"{self.seal[:16]}-{kernel.digest()}"
        path = folder / f"{name}.npz"
        try:
            with np.load(path, allow_pickle=False) as saved:
                world = World.fresh(self.store, self.call, 0.0)
                world.restore({key: saved[key] for key in saved.files})
                return world
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
            pass
        world = build()
        try:
            folder.mkdir(parents=True, exist_ok=True)
            handle, draft = tempfile.mkstemp(dir=folder, suffix=".draft")
            with os.fdopen(handle, "wb") as file:
                np.savez_compressed(file, **world.snapshot())
            os.replace(draft, path)
        except OSError:
            pass
        return world


def _until(world: World, t: float) -> None:
    """Let time pass up to a time from the ticket [s]."""
    world.advance(round((t - world.t) / STEP) * STEP)


def _filled(value: Any, words: dict[str, Any]) -> Any:
    """Text with ``$word`` filled in, however deep it lies."""
    if isinstance(value, str):
        return Template(value).safe_substitute({k: str(v) for k, v in words.items()})
    if isinstance(value, list):
        return [_filled(item, words) for item in value]
    if isinstance(value, dict):
        return {_filled(k, words): _filled(v, words) for k, v in value.items()}
    return value


@cache
def engine() -> str:
    """Digest of the physics that this process has loaded."""
    return kernel.digest()


def seal_of(*parts: dict[str, Any]) -> str:
    """SHA-256 over the content of files."""
    text = json.dumps(parts, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


@cache
def night(call_id: str) -> Night:
    """A call, its key and its store, read and checked once.

    Raises
    ------
    BadRequest
        There is no such call; the sentence names what there is.
    """
    call = callfile.load_call(call_id)
    key = callfile.load_key(call_id)
    store = callfile.load_store(call["store"])
    return Night(call, key, read.read(store), seal_of(store, call, key))


def folder() -> Path:
    """Where built nights are kept."""
    return kernel.home() / "nights"

"""The catalogue of faults: for a given store, everything that could break, as changes of parameters.

A fault is never a symptom. It names a part, what is wrong with it in one of twelve words, where, and which parameters change;
what one then sees is computed. Priors are three coarse classes.
"""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from scenarios.errors import BadRequest
from scenarios.faults.enumerate import EACH, Words, filled, plant_places
from scenarios.faults.modes import MODES
from scenarios.files import yamlfile
from scenarios.store.model import Store

FILE = Path(__file__).with_name("catalogue.yaml")
PRIORS = {"common": 4, "occasional": 2, "rare": 1}
"""Weights of the three classes [-]: coarse on purpose, common practice."""
Value = float | int | bool


@dataclass(frozen=True)
class Change:
    """One parameter that a fault changes.

    Parameters
    ----------
    side : str
        electrical or plant.
    path : str
        Which parameter; see `scenarios.faults.paths`.
    values : tuple
        Value by severity, mildest first; a single value serves all severities.
    how : str
        set, times (of the sound value) or plus.
    """

    side: str
    path: str
    values: tuple[Value, ...]
    how: str = "set"

    def value(self, severity: int = 0) -> Value:
        """Value at a severity."""
        return self.values[min(severity, len(self.values) - 1)]

    def of(self, sound: Value, severity: int = 0) -> Value:
        """What the parameter becomes, given its sound value."""
        value = self.value(severity)
        return sound * value if self.how == "times" else sound + value if self.how == "plus" else value


@dataclass(frozen=True)
class Fault:
    """One thing that could be wrong in a store.

    Parameters
    ----------
    id : str
        Name of the entry, part or place: ``pole_burnt:K5:1``.
    part, mode, at : str
        What a trainee would have to name; `at` is a terminal or place on the part, or empty.
    title : str
        In plain words.
    prior : int
        Weight of its class: 4, 2 or 1 [-].
    changes : tuple of Change
        What it changes.
    mends : tuple of str
        Beginnings of steps that make it sound again, whatever the van holds; none: no work for one night.
    group : str
        Group of parts it belongs to, as the wiring list names it.
    """

    id: str
    part: str
    mode: str
    at: str
    title: str
    prior: int
    changes: tuple[Change, ...]
    mends: tuple[str, ...]
    group: str = ""

    @property
    def severities(self) -> int:
        """How many severities it has."""
        return max(len(change.values) for change in self.changes)

    def mended_by(self, line: str) -> bool:
        """Whether a step mends it: the line begins with one of its mends, word by word.

        >>> Fault("x", "F5", "set_wrong", "", "", 1, (), ("set F5",)).mended_by("set F5 4.4")
        True
        """
        words = line.split()
        return any(words[: len(mend.split())] == mend.split() for mend in self.mends)


def catalogue(store: Store) -> list[Fault]:
    """Every fault that a store could have, in the order of the catalogue and of the wiring list.

    Parameters
    ----------
    store : Store
        What its file says.
    """
    found: list[Fault] = []
    for name, entry in _entries().items():
        if "each" in entry:
            found += [
                _fault(name, entry, words)
                for device in store.wiring.devices.values()
                if device.kind in entry["of"]
                for words in EACH[entry["each"]](store, device)
            ]
        else:
            found += [_placed(name, entry, words) for of in entry["of"] for words in plant_places(store, of)]
    return found


def by_id(faults: list[Fault], name: str) -> Fault:
    """One fault by its id.

    Raises
    ------
    BadRequest
        The store has no such fault; the sentence names those of that entry.
    """
    for fault in faults:
        if fault.id == name:
            return fault
    alike = [fault.id for fault in faults if fault.id.split(":")[0] == name.split(":")[0]][:8]
    raise BadRequest(f"no fault {name[:60]!r} in this store; there are {', '.join(alike) or ', '.join(_entries())}")


@cache
def _entries() -> dict[str, dict[str, Any]]:
    """Entries of the catalogue file, checked."""
    told = yamlfile.load(FILE)
    wrong: list[str] = []
    for name, entry in told["faults"].items():
        wrong += [f"faults.{name}: {key} is missing" for key in NEEDED if key not in entry]
        wrong += [f"faults.{name}: unknown key {key}" for key in entry if key not in KEYS]
        if entry.get("mode") not in MODES:
            wrong.append(f"faults.{name}.mode: {entry.get('mode')!r} is not a fault word")
        if entry.get("prior") not in PRIORS:
            wrong.append(f"faults.{name}.prior: {entry.get('prior')!r} is not {' '.join(PRIORS)}")
    if wrong:
        raise BadRequest("\n".join(f"{FILE.name} {line}" for line in wrong))
    entries: dict[str, dict[str, Any]] = told["faults"]
    return entries


NEEDED = ("of", "mode", "prior", "title", "changes", "mends")
KEYS = (*NEEDED, "each", "part", "at")


def _fault(name: str, entry: dict[str, Any], words: Words) -> Fault:
    at = filled(entry.get("at", words.get("at", "")), words)
    mends = tuple(filled(step, words) for step in entry["mends"])
    return Fault(
        f"{name}:{words.get('key') or words['part']}",
        words["part"],
        entry["mode"],
        at,
        filled(entry["title"], words),
        PRIORS[entry["prior"]],
        _changes(entry, words),
        mends,
        words.get("group", ""),
    )


def _placed(name: str, entry: dict[str, Any], words: Words) -> Fault:
    return _fault(name, entry, words | {"part": filled(entry["part"], words)})


def _changes(entry: dict[str, Any], words: Words) -> tuple[Change, ...]:
    made = []
    for key, value in entry["changes"].items():
        side, _, path = filled(key, words).partition(" ")
        how, value = next(iter(value.items())) if isinstance(value, dict) else ("set", value)
        made.append(Change(side, path, tuple(value) if isinstance(value, list) else (value,), how))
    return tuple(made)


def places_on(faults: list[Fault]) -> dict[str, list[str]]:
    """Places on every part that a suspect could name, in order: ``{"C4": ["fans", "coil", ...]}``."""
    found: dict[str, list[str]] = {}
    for fault in faults:
        known = found.setdefault(fault.part, [])
        if fault.at and fault.at not in known:
            known.append(fault.at)
    return found

"""The catalogue of faults: for a given store, everything that could break, as changes of parameters. The kinds of parts tell it.

A fault is never a symptom. It names a part, what is wrong with it in one of twelve words, where, and which parameters change;
what one then sees is computed. Priors are three coarse classes.
"""

from dataclasses import dataclass
from typing import Any

from scenarios.errors import BadRequest
from scenarios.faults.enumerate import EACH, Words, filled
from scenarios.parts.kind import Fault as Row
from scenarios.store.model import Store

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
    entry : str
        Name of its row in the table of its part's kind: the same for every pole and every part.
    """

    id: str
    part: str
    mode: str
    at: str
    title: str
    prior: int
    changes: tuple[Change, ...]
    mends: tuple[str, ...]
    entry: str = ""

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
    """Every fault that a store could have, by id."""
    found = [
        _fault(name, row, words, store.racks[part.rack].charge if part.rack >= 0 else 0.0)
        for part in store.parts.values()
        for name, row in part.kind.faults.items()
        for words in EACH[row.each](store, part)
    ]
    return sorted(found, key=lambda fault: fault.id)


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
    entry = name.split(":")[0]
    alike = [fault.id for fault in faults if fault.id.split(":")[0] == entry][:8]
    there = alike or sorted({fault.id.split(":")[0] for fault in faults})
    raise BadRequest(f"no fault {name[:60]!r} in this store; there are {', '.join(there)}")


def _fault(name: str, row: Row, words: Words, charge: float) -> Fault:
    return Fault(
        f"{name}:{words['key']}",
        words["part"],
        row.mode,
        filled(row.at or words["at"], words),
        filled(row.title, words),
        PRIORS[row.prior],
        tuple(_change(filled(key, words), value, charge) for key, value in row.changes.items()),
        tuple(filled(step, words) for step in row.mends),
        name,
    )


def _change(key: str, value: Any, charge: float) -> Change:
    """One change; what is a share of the charge [kg] is kilograms in this store."""
    side, _, path = key.partition(" ")
    how, value = next(iter(value.items())) if isinstance(value, dict) else ("set", value)
    values = tuple(value) if isinstance(value, list) else (value,)
    if how == "charge":
        how, values = "set", tuple(round(share * charge, 6) for share in values)
    return Change(side, path, values, how)


def places_on(faults: list[Fault]) -> dict[str, list[str]]:
    """Places on every part that a suspect could name, in order: ``{"C4": ["fans", "coil", ...]}``."""
    found: dict[str, list[str]] = {}
    for fault in faults:
        known = found.setdefault(fault.part, [])
        if fault.at and fault.at not in known:
            known.append(fault.at)
    return found

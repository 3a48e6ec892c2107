"""What a call leaves behind for whoever looks back at it: moments, truths, facts and the time after."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Observed:
    """One thing that can be read or noticed, free of instrument error, in one world. SI: V, A, ohm, Pa absolute, C, s.

    ``instrument`` names what turns the value into a display (see `scenarios.instruments`); a sight or a sound has a category and
    the words for it instead.
    """

    of: str
    kind: str
    value: float | None = None
    category: str = ""
    words: str = ""
    instrument: str = ""


@dataclass(frozen=True)
class Truth:
    """An observation with what a fair judge must know about it.

    ``window`` holds the values it had in the last five minutes, since the last act; ``accuracy`` is the instrument's limit in the
    value's unit; ``loaded`` is what a low-impedance meter would have shown, ``floating`` whether that differs.
    """

    of: str
    kind: str
    value: float | None = None
    category: str = ""
    window: tuple[float, ...] = ()
    seen: tuple[str, ...] = ()
    accuracy: float = 0.0
    floating: bool = False
    loaded: float = 0.0


@dataclass(frozen=True)
class Fact:
    """Something that happened in the call at step ``n``, time ``t`` [s]: a lock hung, a part proved dead, live metal touched."""

    kind: str
    n: int
    t: float
    what: str = ""
    text: str = ""
    data: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Saw:
    """What one step showed."""

    text: str
    kind: str
    readings: tuple[dict[str, str], ...] = ()
    minutes: float = 0.0

    def as_json(self) -> dict[str, Any]:
        """The form a record holds."""
        return {"text": self.text, "kind": self.kind, "readings": list(self.readings), "minutes": self.minutes}


@dataclass(frozen=True)
class Moment:
    """One step of a call with what it showed."""

    n: int
    t: float
    place: str
    step: str
    saw: Saw


@dataclass(frozen=True)
class Event:
    """An alarm, a trip or a burnt contact at a time [s from the ticket]."""

    t: float
    what: str
    on: bool
    text: str = ""


@dataclass(frozen=True)
class Aftermath:
    """What happened in the hours after close-out, in the weather of the call and with the plant as it was left."""

    hours: float
    events: tuple[Event, ...]
    trends: Mapping[str, Any] = field(default_factory=dict)

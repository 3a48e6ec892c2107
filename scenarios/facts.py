"""What a call leaves behind for whoever looks back at it: moments, truths, facts and the time after; and every kind of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any


class SawKind(StrEnum):
    """What sort of thing a step showed."""

    READING = "reading"
    SIGHT = "sight"
    SOUND = "sound"
    SMELL = "smell"
    SAID = "said"
    ACT = "act"
    REFUSED = "refused"
    CAUTION = "caution"
    INCIDENT = "incident"
    PAD = "pad"
    TIME = "time"
    CLOSED = "closed"

    @property
    def done(self) -> bool:
        """Whether the step was done."""
        return self not in (SawKind.REFUSED, SawKind.CAUTION, SawKind.INCIDENT)

    @property
    def seen(self) -> bool:
        """Whether it showed something of the store."""
        return self in (SawKind.READING, SawKind.SIGHT, SawKind.SOUND, SawKind.SMELL)


class FactKind(StrEnum):
    """What happened in a call that somebody looks back for."""

    SWITCHED_ON = "switched_on"
    LOCKED = "locked"
    UNLOCKED = "unlocked"
    TRIED = "tried"
    RESET = "reset"
    PUSHED = "pushed"
    REPAIRED = "repaired"
    MOVED = "moved"
    VOLTS = "volts"
    HANDS_ON = "hands_on"
    INCIDENT = "incident"
    MADE_SAFE = "made_safe"
    TOLD = "told"
    ANSWERED = "answered"
    NAMED = "named"
    ORDER = "order"
    CLOSED_OUT = "closed_out"
    # what follows from those
    KNOWN_LIVE = "known_live"
    DEAD_PAIR = "dead_pair"
    PRODUCT_MEASURED = "product_measured"
    LEFT = "left"


class IncidentKind(StrEnum):
    """Unsafe acts."""

    TOUCHED_LIVE = "touched_live"
    WRONG_LOCK = "wrong_lock"
    CONTACTOR_PRESSED_LIVE = "contactor_pressed_live"
    RECLOSED_BLIND = "reclosed_blind"
    SAFETY_BRIDGED = "safety_bridged"
    INSULATION_INTO_ELECTRONICS = "insulation_into_electronics"


class EventKind(StrEnum):
    """What happens in the wiring."""

    BREAKER_TRIPS = "breaker trips"
    FUSE_MELTS = "fuse melts"
    OVERLOAD_TRIPS = "overload trips"
    PULLS_IN = "pulls in"
    LETS_GO = "lets go"
    DRIVE_TRIPS = "drive trips"
    POLE_BURNS_OPEN = "pole burns open"
    CHATTERS = "chatters"
    UP_TO_SPEED = "up to speed"
    GROWLS = "growls"
    PROTECTOR_OPENS = "motor protector opens"


class AlarmKind(StrEnum):
    """What alarms of a controller watch, by the names that `controls.alarms` gives it."""

    FAN_FULL = "fan_full"
    DISCHARGE = "discharge"
    HIGH_PRESSURE = "high_pressure"
    LOW_PRESSURE = "low_pressure"
    CASE_AIR = "case_air"
    DOOR = "door"
    NO_PROOF = "no_proof"
    DEFROST_BY_TIME = "defrost_by_time"
    SUCTION = "suction"
    SUPPLY = "supply"
    LIQUID_BACK = "liquid_back"


class LeftKind(StrEnum):
    """What may be left behind at close-out."""

    DOOR = "door"
    COVER = "cover"
    LOCK = "lock"
    BRIDGE = "bridge"
    LIFTED = "lifted"
    CLAMP = "clamp"
    GAUGE = "gauge"
    BYPASS = "bypass"


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

    kind: FactKind
    n: int
    t: float
    what: str = ""
    text: str = ""
    data: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Saw:
    """What one step showed."""

    text: str
    kind: SawKind
    readings: tuple[dict[str, str], ...] = ()
    minutes: float = 0.0

    def as_json(self) -> dict[str, Any]:
        """The form a record holds."""
        return {"text": self.text, "kind": str(self.kind), "readings": list(self.readings), "minutes": self.minutes}


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
    kind: EventKind | AlarmKind
    what: str
    """Mark of the part, or id of the alarm."""
    on: bool = True
    """Whether it came; an alarm may also go."""


@dataclass(frozen=True)
class Aftermath:
    """What happened in the hours after close-out, in the weather of the call and with the plant as it was left."""

    hours: float
    events: tuple[Event, ...]
    trends: Mapping[str, Any] = field(default_factory=dict)

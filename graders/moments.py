"""What the graders consume: moments, readings, truths, facts and the time after, as plain frozen records.

Everything is SI: volts, amps, ohms, seconds, pressure absolute in Pa, temperature in C. Field units exist only at the edges.
``graders.replaying`` fills these from a replayed call; nothing else here knows how a call is made. Facts and truths are those that
the call itself leaves behind. Moment and Aftermath are other things than the call's of those names: there what was shown and what
ran on, in the words of a record; here figures with the truth behind them, and a verdict.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from scenarios.facts import Fact as Fact
from scenarios.facts import FactKind as FactKind
from scenarios.facts import SawKind as SawKind
from scenarios.facts import Truth as Truth

PSI = 6894.757293168
"""One pound per square inch [Pa]."""
ATM = 101325.0
"""Standard atmosphere [Pa]."""
DEGREE_F = 5.0 / 9.0
"""One degree Fahrenheit of difference [K]."""


@dataclass(frozen=True)
class Reading:
    """One figure or one sight, as the trainee saw it; ``value`` is ``shown`` in SI, None for words."""

    of: str
    kind: str
    shown: str
    unit: str = ""
    value: float | None = None


@dataclass(frozen=True)
class Moment:
    """One step: number, call time [s], place, the line of text, what was seen, and the truth behind it."""

    n: int
    t: float
    place: str
    step: str
    saw: str
    kind: SawKind
    minutes: float = 0.0
    readings: tuple[Reading, ...] = ()
    truths: tuple[Truth, ...] = ()
    changed: tuple[tuple[str, str], ...] = ()
    """What of the store it left as another, and as what."""

    @property
    def verb(self) -> str:
        """First word of the step."""
        return self.step.split(maxsplit=1)[0] if self.step.strip() else ""


@dataclass(frozen=True)
class Aftermath:
    """The 72 hours after close-out: did it hold, and if not, what called again and when [s after close-out].

    ``standing`` are alarms that had not returned at close-out.
    """

    held: bool = True
    reason: str = ""
    at: float | None = None
    events: tuple[tuple[float, str], ...] = ()
    standing: tuple[str, ...] = ()
    trends: tuple["Trend", ...] = ()


@dataclass(frozen=True)
class Trend:
    """One logged channel for a picture: values every ``step`` seconds from ``start`` [s], in the unit it is shown in."""

    title: str
    unit: str
    start: float
    step: float
    values: tuple[float, ...]
    limit: float | None = None


@dataclass(frozen=True)
class Cause:
    """A named cause: part, one of the twelve fault words, where, and the reason as ``PART:MODE:WHERE``."""

    part: str
    mode: str
    where: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Suspect:
    """A fault that this store could have and that would produce the ticket; ``prior`` is its coarse class 4, 2 or 1."""

    id: str
    part: str
    mode: str
    where: str = ""
    title: str = ""
    prior: float = 1.0
    reason: str = ""


@dataclass(frozen=True)
class World:
    """The trainee's steps as one severity of one suspect would have shown them; ``share`` of the suspect's prior."""

    suspect: str
    share: float
    truths: Mapping[tuple[int, str, str], Truth]


def where_set(mark: str, where: str) -> frozenset[str]:
    """Terminals a place names, without the part's mark.

    >>> sorted(where_set("K5", "K5:1-2"))
    ['1', '2']
    """
    bare = where.removeprefix(f"{mark}:").strip()
    return frozenset(piece for piece in bare.replace(",", "-").replace(" ", "-").split("-") if piece)


def same_place(mark: str, one: str, other: str) -> bool:
    """Whether two places on one part are the same pole, terminal or the whole part.

    >>> same_place("K5", "1", "K5:1-2"), same_place("K5", "3-4", "1-2"), same_place("SV9", "", "")
    (True, False, True)
    """
    a, b = where_set(mark, one), where_set(mark, other)
    return bool(a & b) or a == b


def split_reason(reason: str) -> Cause | None:
    """``PART:MODE[:WHERE]`` as a cause without a further reason; None where nothing is named."""
    pieces = reason.strip().split(":", 2)
    if len(pieces) < 2 or not pieces[0]:
        return None
    return Cause(pieces[0], pieces[1], pieces[2] if len(pieces) > 2 else "")


def same_reason(one: str, other: str) -> bool:
    """Whether two reasons name the same part, mode and place."""
    a, b = split_reason(one), split_reason(other)
    if a is None or b is None:
        return a is b
    return a.part == b.part and a.mode == b.mode and same_place(a.part, a.where, b.where)

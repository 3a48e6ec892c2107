"""One replayed call, complete: everything the graders judge, in plain records."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from graders.calculations import Saturation
from graders.moments import Aftermath, Cause, Fact, FactKind, Moment, SawKind, Suspect, Trend, World, split_reason
from graders.separability import inseparable


def _no_worlds() -> tuple[World, ...]:
    return ()


@dataclass(frozen=True)
class Night:
    """A call from ticket to close-out, replayed.

    ``worlds`` are the trainee's steps in every suspect's world, in the order of the suspects; ``tour`` gives every safe reading
    taken once in each of them (for separability and ceilings), and is only asked for when wanted, because it costs a replay.
    """

    call: str
    title: str
    seed: int
    moments: tuple[Moment, ...]
    facts: tuple[Fact, ...]
    key: Mapping[str, Any]
    questions: Sequence[Mapping[str, Any]] = ()
    saturation: Saturation = field(default_factory=lambda: Saturation(lambda p: p, lambda p: p))
    suspects: tuple[Suspect, ...] = ()
    worlds: tuple[World, ...] = ()
    tour: Callable[[], tuple[World, ...]] = _no_worlds
    aftermath: Aftermath | None = None
    trends: tuple[Trend, ...] = ()
    starts: str = "00:00"
    problems: tuple[str, ...] = ()
    replays: bool = True
    groups: tuple[tuple[str, ...], ...] | None = None
    ceilings: Mapping[str, float] = field(default_factory=dict)

    @property
    def truth(self) -> Cause:
        """What the key says was wrong, and why."""
        true = self.key["truth"]
        return Cause(str(true["part"]), str(true["mode"]), str(true.get("where", "")), str(true.get("reason", "")))

    def merged(self) -> tuple[tuple[str, ...], ...]:
        """Suspects that no safe step separates."""
        if self.groups is not None:
            return self.groups
        tour = self.tour()
        return tuple(inseparable(self.suspects, tour)) if tour else ()


def named(facts: Sequence[Fact]) -> Cause | None:
    """The cause on the work order: the last one named."""
    last = max((fact for fact in facts if fact.kind == FactKind.NAMED), key=lambda fact: fact.n, default=None)
    if last is None:
        return None
    data = last.data
    return Cause(
        str(data.get("part") or last.what),
        str(data.get("mode", "")),
        str(data.get("where") or ""),
        str(data.get("why") or data.get("reason") or ""),
    )


def answers(facts: Sequence[Fact]) -> dict[str, tuple[int, float, str]]:
    """The last answer to each question: step, value, unit as typed."""
    found = {}
    for fact in facts:
        if fact.kind == FactKind.ANSWERED:
            found[fact.what] = (fact.n, float(fact.data["value"]), str(fact.data.get("unit", "")))
    return found


def reason_seen(night: Night) -> bool:
    """Whether a sight or a reading showed the reason before the last repair closed it up."""
    names = {str(name) for name in night.key.get("reason_shown_by", [])}
    true = split_reason(night.truth.reason)
    if not names and true is not None:
        names = {
            true.part,
            *(f"{true.part}:{terminal}" for terminal in true.where.removeprefix(f"{true.part}:").split("-") if terminal),
        }
    last = max((fact.n for fact in night.facts if fact.kind == FactKind.REPAIRED), default=10**9)
    unsafe = {fact.n for fact in night.facts if fact.kind == FactKind.INCIDENT}
    for moment in night.moments:
        if moment.n <= last and moment.n not in unsafe and SawKind(moment.kind).seen:
            words = set(moment.step.split()[1:]) | {reading.of for reading in moment.readings}
            if words & names:
                return True
    return False

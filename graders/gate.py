"""The gate: what bars a call from being passed, told once, for whoever asks before the call or after it."""

from collections.abc import Sequence
from dataclasses import dataclass

from graders.diagnosis import Diagnosis, carried
from graders.evidence import Course
from graders.moments import Fact, FactKind
from graders.night import Night
from graders.rubric import Rubric
from graders.safety import bare_hands


@dataclass(frozen=True)
class Bar:
    """One thing that bars a pass: as the rule has it, and as it is said of a call that it bars."""

    rule: str
    says: str


INCIDENT = Bar("an unsafe act", "there was an unsafe act")
HANDS = Bar(
    "hands on a part that was not locked off and proved dead", "hands went on a part that was not locked off and proved dead"
)
CALLBACK = Bar("a store that calls again within 72 hours", "the store called again")
CAUSE = Bar(
    "a cause that the readings before the first repair do not carry",
    "the readings before the first repair do not carry the cause that was named",
)
WHATEVER = (INCIDENT, HANDS, CALLBACK, CAUSE)
"""What bars a pass whatever the points."""
REPLAY = Bar("a record that does not replay", "the record does not replay")
OPEN = Bar("a call that is not closed out", "it was not closed out")
POINTS = Bar("too few points", "it has too few points")

RULE = f"{', '.join(bar.rule for bar in WHATEVER[:-1])}, or {WHATEVER[-1].rule}".capitalize() + (
    ": then the call is not passed, whatever the points."
)
"""The rule, as list, ticket, debrief and README have it."""


def bars(
    night: Night, incidents: Sequence[Fact], odds: Course, found: Diagnosis, score: float, rubric: Rubric
) -> tuple[Bar, ...]:
    """What bars a judged call, the weightiest first; empty where it is passed.

    Parameters
    ----------
    night : Night
        The call as it was replayed.
    incidents : sequence of Fact
        Its unsafe acts.
    odds : Course
        Odds of every suspect along it.
    found : Diagnosis
        The cause that was named, judged.
    score : float
        All its points. [points]
    rubric : Rubric
        Where the pass line is, and how likely the readings have to make the cause.
    """
    after = night.aftermath
    known = carried(odds, found.named, night.truth, found.frozen, night.merged(), rubric.carries_least)
    reasons = (
        (REPLAY, not night.replays),
        (OPEN, not any(fact.kind == FactKind.CLOSED_OUT for fact in night.facts)),
        (INCIDENT, bool(incidents)),
        (HANDS, bool(bare_hands(night.facts))),
        (CALLBACK, after is not None and not after.held),
        (CAUSE, not known),
        (POINTS, score < rubric.pass_mark),
    )
    return tuple(bar for bar, holds in reasons if holds)

"""The person on the call: where they are, what hangs where, and what their notes show.

Knows nothing of the true state of the store; everything here came from the technician's own steps.
"""

from copy import copy
from dataclasses import dataclass, field, fields
from typing import Any

from scenarios.visit.isolation import IsolationLog, Proof, pairs_to_prove

CLAMPS = 3
LOCKS = 4


@dataclass
class Pad:
    """The technician's paper: free to write, editable until close-out."""

    suspects: list[dict[str, Any]] = field(default_factory=list)
    notes: list[dict[str, Any]] = field(default_factory=list)
    answers: dict[str, dict[str, Any]] = field(default_factory=dict)
    order: dict[str, str] = field(default_factory=dict)
    cause: dict[str, Any] | None = None


@dataclass
class Technician:
    """Where the person is and what they have set up."""

    place: str = "van"
    on_site: bool = False
    door_open: bool = False
    covers: set[str] = field(default_factory=set)
    """Parts with their cover off."""
    locks: dict[str, int] = field(default_factory=dict)
    clamps: dict[int, str] = field(default_factory=dict)
    gauges: dict[str, str] = field(default_factory=dict)
    """high or low -> test point."""
    held: str | None = None
    """Contactor whose armature is pressed in by hand, dead."""
    bridges: list[tuple[str, str]] = field(default_factory=list)
    lifted: list[str] = field(default_factory=list)
    made_safe: set[str] = field(default_factory=set)
    """Handles that the second person switched off and locked after an incident."""
    barred: set[str] = field(default_factory=set)
    """Parts that nothing within reach makes dead, found so after an incident."""
    looked: set[str] = field(default_factory=set)
    """Parts looked at, listened to, read or measured."""
    resets: dict[str, int] = field(default_factory=dict)
    replaced: list[str] = field(default_factory=list)
    moved: list[str] = field(default_factory=list)
    said: list[dict[str, Any]] = field(default_factory=list)
    isolation: IsolationLog = field(default_factory=IsolationLog)
    pad: Pad = field(default_factory=Pad)

    def twin(self) -> "Technician":
        """A copy to try an act on; the pad is shared, because what only writes is never tried."""
        made = copy(self)
        for each in fields(self):
            held = getattr(self, each.name)
            if isinstance(held, set | dict | list):
                setattr(made, each.name, held.copy())
        made.isolation = IsolationLog(list(self.isolation.entries))
        return made

    def proof(self, line_side: list[str], control: list[tuple[str, str]]) -> Proof:
        """What the notes prove about a part whose line side and control elements are named."""
        return self.isolation.proof(pairs_to_prove(line_side, control))

    def isolating(self) -> bool:
        """Whether anything is off or locked."""
        return bool(self.isolation.off() or self.locks)

"""What every act is given and what it hands back."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from scenarios.facts import FactKind, Observed
from scenarios.site import World
from scenarios.steps import Step
from scenarios.visit.technician import Technician


class Refused(Exception):
    """The step cannot be done now; its text is one sentence that says why. It costs no time."""


@dataclass
class Outcome:
    """What an act did."""

    text: str
    facts: list[tuple[FactKind, str, dict[str, Any]]] = field(default_factory=list)
    """Kind, what, data."""
    observed: list[Observed] = field(default_factory=list)
    watch: float = 0.0
    """Seconds to stay and listen."""
    clears: bool = False
    """Whether the MAX hold of the clamps begins anew."""
    refused: str = ""
    """Why it could not be done after all; empty where it was."""


@dataclass
class Scene:
    """Everything an act may use."""

    world: World
    person: Technician
    call: dict[str, Any]
    n: int
    t: float


Act = Callable[[Scene, Step], Outcome]

"""Sentences for what a step showed."""

from typing import Any

from scenarios.facts import Observed
from scenarios.steps import Step

MADE_SAFE = (
    "The call stops here for a talk: what was live, from where, and what would have shown it. The part has been made safe; "
    "you may go on. The call is not passed."
)
UNIT_OF = {"nameplate": "A", "dial": "A", "seconds": "s"}
"""Units of displays that no instrument makes."""
NUMBER_WORDS = {"volts": "{0} {1} between {2}", "ohms": "{0} {1} between {2}", "insulation": "{0} {1} between {2}"}


def _one(seen: Observed, shown: dict[str, str] | None) -> str:
    if seen.words:
        return seen.words
    if shown is None or not seen.instrument:
        return ""
    if seen.kind in NUMBER_WORDS:
        if shown["shown"] == "OL":
            return f"OL between {seen.of.replace('|', ' and ')}."
        return NUMBER_WORDS[seen.kind].format(shown["shown"], shown["unit"], seen.of.replace("|", " and ")) + "."
    return f"{seen.of}: {shown['shown']} {shown['unit']}".rstrip() + "."


def saw_text(step: Step, text: str, observed: list[Observed], shown: list[Any]) -> str:
    """One plain line for a step: what was done, then what was seen."""
    parts = [text, *(_one(o, s) for o, s in zip(observed, shown, strict=True))]
    return " ".join(part for part in parts if part) or "Nothing to be seen."

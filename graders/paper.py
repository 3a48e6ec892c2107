"""Paper: the work order, temporary measures with their end and owner, and who was told."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from graders.moments import Fact, FactKind
from graders.rubric import DEFAULT, Part, Rubric, Tally
from graders.service import topic_of
from scenarios.facts import LeftKind

TEMPORARY = {LeftKind.BYPASS, LeftKind.BRIDGE, LeftKind.LIFTED}
"""Kinds of things left that are temporary measures, and need an end and an owner."""


def order(facts: Sequence[Fact]) -> dict[str, str]:
    """The work order as it stood at close-out: the last text of each field."""
    return {fact.what: str(fact.data.get("text", fact.text)) for fact in facts if fact.kind == FactKind.ORDER}


def says(text: str, groups: Sequence[Sequence[str]]) -> float:
    """Share of groups of which one word (or beginning of a word) stands in a text.

    >>> says("Line lug of K5 pole 1 had worked loose", [["loose", "slack"], ["lug", "terminal"], ["K5"]])
    1.0
    """
    if not text.strip():
        return 0.0
    found = [any(re.search(rf"\b{re.escape(word)}", text, re.IGNORECASE) for word in group) for group in groups]
    return sum(found) / len(found) if found else 1.0


def score(facts: Sequence[Fact], goals: Mapping[str, Any], rubric: Rubric = DEFAULT) -> Part:
    """Points of paper."""
    tally = Tally("paper", rubric.paper, rubric.weights["paper"])
    written = order(facts)
    fields = {str(name): groups or [] for name, groups in goals.get("fields", {}).items()}
    shares = {name: says(written.get(name, ""), groups) for name, groups in fields.items()}
    short = [
        name if not written.get(name, "").strip() else f"{name} (too little in it)" for name, share in shares.items() if share < 1.0
    ]
    if shares:
        tally.give("fields", sum(shares.values()) / len(shares), "Work order: " + ", ".join(short) + "." if short else "")
    else:
        tally.drop("fields")
    share, text = temporary(facts, written, bool(goals.get("temporary", False)))
    tally.give("temporary", share, text)
    told = list(goals.get("told", []))
    missing = [want for want in told if not was_told(facts, want)]
    names = ", ".join(f"{want['person']} ({' or '.join(map(str, want['topic']))})" for want in missing)
    if told:
        tally.give("told", 1.0 - len(missing) / len(told), f"Not told: {names}." if missing else "")
    else:
        tally.drop("told")
    return tally.part(0.0, "Work order whole, temporary measures ended and owned, people told.")


def was_told(facts: Sequence[Fact], want: Mapping[str, Any]) -> bool:
    """Whether a person was told one of the topics."""
    return any(
        fact.kind == FactKind.TOLD and str(fact.data.get("person", fact.what)) == want["person"] and topic_of(fact) in want["topic"]
        for fact in facts
    )


def temporary(facts: Sequence[Fact], written: Mapping[str, str], needed: bool) -> tuple[float, str]:
    """Temporary measures: none left needs one word that says so; one left needs until and whose."""
    left = [fact for fact in facts if fact.kind == FactKind.LEFT and fact.data["kind"] in TEMPORARY]
    text = written.get("temporary", "").strip()
    if not text:
        return 0.0, "The work order does not say whether anything temporary was left."
    if left or needed or text.lower().rstrip(".") not in ("none", "no", "nothing", "none left", "nothing left"):
        missing = [name for name in ("until", "whose") if not written.get(name, "").strip()]
        return 1.0 - len(missing) / 2.0, f"A temporary measure needs {' and '.join(missing)}." if missing else ""
    return 1.0, ""

"""The telephone: the same four people in every call, and the lines one can ask or tell them."""

from collections.abc import Callable
from typing import Any

from scenarios.call import Session

PEOPLE = {
    "manager": ("Night manager", "in the store"),
    "dispatcher": ("Dispatcher", "your office"),
    "second": ("Second person", "technician on call"),
    "utility": ("Electric utility", "trouble line"),
}


def who(session: Session, name: str) -> str:
    """What a person is called; whoever rang is called what the ticket says."""
    rang = str(session.night.call["ticket"]["who"]).split(",")[0].strip()
    return rang if name == "manager" and rang else PEOPLE[name][0]


def of(session: Session, clock: Callable[[Session, float], str]) -> dict[str, Any]:
    """People, their lines with minutes, and what was said."""
    people, lines = [], {}
    words: dict[tuple[str, str], dict[str, Any]] = {}
    for name, about in session.night.call["people"].items():
        wait = float(about.get("answers_minutes", 0.0))
        title, sub = who(session, name), PEOPLE[name][1]
        words |= {(name, line["id"]): line for line in about["lines"]}
        people.append(
            {"id": name, "title": title, "sub": sub, "answers": "answers at once" if wait == 0 else f"answers in {wait:g} min"}
        )
        lines[name] = [
            {"line": f"phone {name} {line['id']}", "title": line["title"], "minutes": 1.0 + wait} for line in about["lines"]
        ]
    said = [
        {"clock": clock(session, row["t"]), "who": who(session, row["who"]), "title": line["title"], "text": line["reply"]}
        for row in session.person.said
        for line in [words[row["who"], row["line"]]]
    ]
    return {"people": people, "lines": lines, "said": said}

"""The telephone: the same four people in every call, and the lines one can ask or tell them."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from scenarios.call import Session

PEOPLE = {"manager": ("Manager of the store", "in the store"), "dispatcher": ("Dispatcher", "your office"),
          "second": ("Second person", "technician on call"), "utility": ("Electric utility", "trouble line")}


def of(session: "Session", clock: Callable[["Session", float], str]) -> dict[str, Any]:
    """People, their lines with minutes, and what was said."""
    people, lines = [], {}
    for name, about in session.call["people"].items():
        wait = float(about.get("answers_minutes", 0.0))
        title, sub = PEOPLE[name]
        people.append({"id": name, "title": title, "sub": sub, "answers": "answers at once" if wait == 0 else f"answers in {wait:g} min"})
        lines[name] = [{"line": f"phone {name} {line['id']}", "title": line["title"], "minutes": 1.0 + wait} for line in about["lines"]]
    said = [{"clock": clock(session, row["t"]), "who": PEOPLE[row["who"]][0], "title": row["title"], "text": row["reply"]} for row in session.person.said]
    return {"people": people, "lines": lines, "said": said}

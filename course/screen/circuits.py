"""Every circuit with the latest of the technician's own readings, and how many are over their limit."""

from collections.abc import Mapping
from typing import Any

from course.screen import names
from course.screen.rows import Shown, clock
from scenarios.call import Session
from scenarios.store.model import Circuit, Store

OWN = {"display": "display", "air": "air_off", "product": "core"}
"""Columns of the list, and the points that fill them."""
Latest = Mapping[str, Shown]
"""What was last shown of a point."""


def points_of(store: Store) -> dict[str, dict[str, str]]:
    """Names of the points that a circuit's columns come from, by its mark."""
    rows = {(point.role, point.row): point.name for point in store.points.values()}
    return {c.mark: {key: rows.get((role, c.part.row), "") for key, role in OWN.items()} for c in store.circuits}


def of(session: Session, points: Mapping[str, Mapping[str, str]], latest: Latest, on: set[int]) -> list[dict[str, Any]]:
    """Rows of the list, from what was last shown of every point, and from whose air was over its limit as the log was last seen."""
    store = session.world.store
    if any(own["display"] in latest for own in points.values()):
        on = set()  # one look of one's own, and the ticket's word counts no more
    return [_row(session, circuit, points[circuit.mark], latest, on) for circuit in store.circuits]


def _row(session: Session, circuit: Circuit, points: Mapping[str, str], latest: Latest, on: set[int]) -> dict[str, Any]:
    limit = float(circuit.limit_fahrenheit)
    shown = {key: latest.get(point) for key, point in points.items()}
    times = [value.t for value in shown.values() if value]
    display = number(shown["display"])
    return {
        "id": circuit.mark,
        "place": circuit.part.place,
        "name": names.circuit(circuit),
        "limit": limit,
        "display": display,
        "over": (circuit.part.row in on or None) if display is None else display > limit,
        "seen": clock(session, shown["display"].t) if shown["display"] else None,
        "air": number(shown["air"]),
        "product": number(shown["product"]),
        "at": clock(session, max(times)) if times else None,
    }


def number(shown: Shown | None) -> float | None:
    """What was shown, as a number; None where it is none."""
    try:
        return float(shown.shown) if shown else None
    except ValueError:
        return None


def over(session: Session, rows: list[dict[str, Any]], on: set[int]) -> dict[str, Any]:
    """How many circuits are over their limit, of how many, and how that is known."""
    seen = [row for row in rows if row["display"] is not None]
    if not seen:
        told = sum(circuit.part.row in on for circuit in session.world.store.circuits)
        return {"count": told, "of": len(rows), "seen": f"sent at {session.night.call['starts']}"}
    return {"count": sum(1 for row in seen if row["over"]), "of": len(rows), "seen": f"seen at {max(row['seen'] for row in seen)}"}

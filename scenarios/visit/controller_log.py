"""What the rack controller has kept and shows on request: alarms and trends, in field units."""

from typing import Any

from scenarios.nights import HISTORY
from scenarios.site import World
from scenarios.units import from_si


def alarm_rows(world: World) -> list[dict[str, Any]]:
    """Alarms of the last two days as rows with spans [s from the ticket]."""
    rows: dict[str, dict[str, Any]] = {}
    for event in world.alarm_events():
        if event.t < -HISTORY:
            continue
        row = rows.setdefault(event.what, {"id": event.what, "text": event.text.capitalize(), "spans": []})
        if event.on:
            row["spans"].append([event.t, None])
        elif row["spans"] and row["spans"][-1][1] is None:
            row["spans"][-1][1] = event.t
        else:
            row["spans"].append([-HISTORY, event.t])
    return sorted(rows.values(), key=lambda row: row["spans"][-1][0])


def trend_rows(world: World) -> dict[str, Any]:
    """The controller's trends: discharge and suction, fan, and every case display."""
    log = world.trends()
    skip = max(0, int((-HISTORY - log["from"]) / log["step"]))
    rows = log["rows"][skip:]

    def column(n: int, unit: str) -> list[float]:
        return [round(from_si(float(value), unit), 1) for value in rows[:, n]]

    channels = [
        {"id": "discharge", "title": "Discharge pressure", "unit": "psig", "limit": 280, "values": column(1, "psig")},
        {"id": "suction", "title": "Suction pressure", "unit": "psig", "limit": None, "values": column(0, "psig")},
        {"id": "fan", "title": "Condenser fan", "unit": "%", "limit": None, "values": [round(100 * float(v)) for v in rows[:, 2]]},
    ]
    channels += [
        {
            "id": circuit.mark,
            "title": circuit.title,
            "unit": "°F",
            "limit": circuit.limit_fahrenheit,
            "values": column(3 + n, "F"),
        }
        for n, circuit in enumerate(world.store.circuits, 1)
    ]
    return {"from": log["from"] + skip * log["step"], "step": log["step"], "channels": channels}

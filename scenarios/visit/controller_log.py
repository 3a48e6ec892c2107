"""What the rack controller has kept and shows on request: alarms and trends, in field units."""

from typing import Any

from scenarios.loop import Column
from scenarios.nights import HISTORY
from scenarios.site import World
from scenarios.store.entries import entries
from scenarios.units import from_si


def alarm_rows(world: World) -> list[dict[str, Any]]:
    """Alarms of the last two days as rows with spans [s from the ticket]."""
    rows: dict[str, dict[str, Any]] = {}
    alarms = {alarm.id: alarm for alarm in world.alarms}
    for event in world.alarm_events():
        if event.t < -HISTORY:
            continue
        alarm = alarms[event.what]
        fresh = {"id": alarm.id, "kind": str(event.kind), "of": alarm.alarm.which, "text": alarm.title.capitalize(), "spans": []}
        row = rows.setdefault(event.what, fresh)
        if event.on:
            row["spans"].append([event.t, None])
        elif row["spans"] and row["spans"][-1][1] is None:
            row["spans"][-1][1] = event.t
        else:
            row["spans"].append([-HISTORY, event.t])
    return sorted(rows.values(), key=lambda row: row["spans"][-1][0])


def named(text: str, title: str, several: bool) -> str:
    """A trend's title, with its rack's or group's where there are several."""
    return f"{title}: {text}" if several else text


def channels(world: World) -> list[tuple[Column, str, str, str, float | None]]:
    """Trends as shown: column of the log, id, title, unit and limit in it."""
    store, found = world.store, list[tuple[Column, str, str, str, float | None]]()
    several = len(store.racks) > 1, len(store.groups) > 1
    for r, rack in enumerate(store.racks):
        limit = round(from_si(float(entries(store).racks[r].alarms.discharge_limit), "psig"))
        title = named("Discharge pressure", rack.title, several[0])
        found.append((Column("discharge", r), f"discharge_{r + 1}" if r else "discharge", title, "psig", limit))
        for group in rack.groups:
            title = named("Suction pressure", group.title, several[1])
            found.append(
                (Column("suction", group.row), f"suction_{group.row + 1}" if group.row else "suction", title, "psig", None)
            )
        title = named("Condenser fan", rack.title, several[0])
        found.append((Column("reference", r), f"fan_{r + 1}" if r else "fan", title, "%", None))
    for circuit in store.circuits:
        found.append((Column("display", circuit.part.row), circuit.mark, circuit.title, "°F", circuit.limit_fahrenheit))
    return found


def trend_rows(world: World) -> dict[str, Any]:
    """The controllers' trends: discharge, suction and fan of each rack and group, and every case display."""
    log = world.trends()
    skip = max(0, int((-HISTORY - log["from"]) / log["step"]))
    rows = log["rows"][skip:]

    def column(of: Column, unit: str) -> list[float]:
        values = rows[:, log["columns"][of]]
        if unit == "%":
            return [round(100 * float(value)) for value in values]
        return [round(from_si(float(value), unit.lstrip("°")), 1) for value in values]

    shown = [
        {"id": name, "kind": of.name, "title": title, "unit": unit, "limit": limit, "values": column(of, unit)}
        for of, name, title, unit, limit in channels(world)
    ]
    return {"from": log["from"] + skip * log["step"], "step": log["step"], "channels": shown}

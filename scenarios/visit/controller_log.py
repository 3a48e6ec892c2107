"""What the rack controller has kept and shows on request: alarms and trends, in field units."""

from typing import Any

from scenarios.loop import Column
from scenarios.nights import HISTORY
from scenarios.site import World
from scenarios.store import entries
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
    """The controllers' trends: discharge, suction and fan of every rack, and every case display."""
    log = world.trends()
    skip = max(0, int((-HISTORY - log["from"]) / log["step"]))
    rows, columns = log["rows"][skip:], log["columns"]

    def values(name: str, row: int, unit: str) -> list[float]:
        return [round(from_si(float(value), unit), 1) for value in rows[:, columns[Column(name, row)]]]

    channels: list[dict[str, Any]] = []
    for rack in world.store.racks:
        suffix, of = (f"_{rack.row + 1}", f"{rack.title}, ") if len(world.store.racks) > 1 else ("", "")
        limit = round(from_si(float(entries.of(world.store).racks[rack.row].alarms.discharge_limit), "psig"))
        shown = values("discharge", rack.row, "psig")
        channels.append(_channel(f"discharge{suffix}", "discharge", f"{of}discharge pressure", "psig", limit, shown))
        for group in rack.groups:
            several, which = (f"_{group.row + 1}", f", {group.title}") if len(world.store.groups) > 1 else ("", "")
            shown = values("suction", group.row, "psig")
            channels.append(_channel(f"suction{several}", "suction", f"{of}suction pressure{which}", "psig", None, shown))
        shown = [round(100 * float(value)) for value in rows[:, columns[Column("reference", rack.row)]]]
        channels.append(_channel(f"fan{suffix}", "fan", f"{of}condenser fan", "%", None, shown))
    for circuit in world.store.circuits:
        shown = values("display", circuit.part.row, "F")
        channels.append({**_channel(circuit.mark, "display", "", "°F", circuit.limit_fahrenheit, shown), "title": circuit.title})
    return {"from": log["from"] + skip * log["step"], "step": log["step"], "channels": channels}


def _channel(id: str, kind: str, title: str, unit: str, limit: float | None, values: list[float]) -> dict[str, Any]:
    """One channel as the desk plots it."""
    return {"id": id, "kind": kind, "title": title[:1].upper() + title[1:], "unit": unit, "limit": limit, "values": values}

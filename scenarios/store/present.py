"""Parts of a store file of the first schema, until its reader makes them."""

from collections.abc import Mapping
from typing import Any

from scenarios.electrical.wiring import Wiring
from scenarios.parts.kind import Part
from scenarios.parts.registry import KINDS

ROOM = {"RECEIVER": "receiver", "GLASS": "sight_glass", "DRIER": "drier", "GD": "discharge_gauge", "GS": "suction_gauge"}
ROOF = {"COIL": "evaporative_condenser", "BASIN": "basin", "FLOAT": "float_valve"}
ROLES = {
    "compressor": "motor", "high pressure": "high", "low pressure": "low", "crankcase": "heater", "call compressor": "call",
    "solenoid": "solenoid", "call liquid": "call", "pump": "motor", "fan": "motor", "call pump": "call", "call fan": "call",
    "basin level": "level",
}  # fmt: skip
HEADS = {
    "solenoid": "C",
    "call liquid": "C",
    "fan": "FAN",
    "call fan": "FAN",
    "pump": "PUMP",
    "call pump": "PUMP",
    "basin level": "PUMP",
}


def parts_of(store: Mapping[str, Any], wiring: Wiring) -> tuple[dict[str, Part], dict[str, dict[str, Part]]]:
    """Every part by its mark, and what belongs to each part of the plant."""
    plant: dict[str, Part] = {}

    def add(mark: str, kind: str, title: str, place: str, row: int = 0, owner: Part | None = None) -> Part:
        plant[mark] = Part(mark, KINDS[kind], title, place, row, owner, 0, 0)
        return plant[mark]

    for mark, kind in ROOF.items():
        add(mark, kind, KINDS[kind].title, "roof")
    add("FAN", "condenser_fan", "condenser fan", "roof")
    add("PUMP", "spray_pump", "spray pump", "roof")
    rack = add("RACK", "controller", KINDS["controller"].title, "motor_room")
    for mark, kind in ROOM.items():
        add(mark, kind, KINDS[kind].title, "motor_room", owner=rack)
    for n in range(1, len(store["compressors"]) + 1):
        machine = add(f"COMP{n}", "compressor", f"compressor {n}", "motor_room", n - 1)
        add(f"OIL{n}", "oil_glass", f"oil glass {n}", "motor_room", n - 1, machine)
    counts: dict[str, int] = {}
    for n, circuit in enumerate(store["circuits"], 1):
        counts[circuit["kind"]] = counts.get(circuit["kind"], 0) + 1
        case = add(f"C{n}", circuit["kind"], f"{circuit['kind']} {counts[circuit['kind']]}", "floor", n - 1)
        add(f"XV{n}", "expansion_valve", f"{case.title} expansion valve", "floor", n - 1, case)
    add("DOOR", "panel_door", "panel door", "panel")
    has: dict[str, dict[str, Part]] = {mark: {} for mark in plant}
    wired: dict[str, Part] = {}
    for mark, device in wiring.devices.items():
        what, _, number = device.plant.rpartition(" ")
        if what not in ROLES:
            what, number = device.plant, "1"
        owner = plant.get(HEADS.get(what, f"COMP{number}") + (number if HEADS.get(what) == "C" else "")) if what else None
        row = owner.row if owner else -1
        wired[mark] = Part(mark, KINDS[device.kind], device.says, device.place, row, owner, 0 if owner else -1, 0 if owner else -1)
        if owner is not None:
            has[owner.mark][ROLES[what]] = wired[mark]
    return wired | plant, has

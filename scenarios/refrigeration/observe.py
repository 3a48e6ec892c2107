"""Test points and parts of a store with one rack, by the names that its file does not give yet."""

from typing import Any

from scenarios.errors import BadRequest
from scenarios.refrigeration import looks as eyes
from scenarios.refrigeration.looks import knocks
from scenarios.refrigeration.measure import value
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.points import CIRCUIT, ROLES
from scenarios.refrigeration.ports import Inputs

__all__ = ["knocks", "looks", "observe", "points", "reset_latch"]

FIXED: dict[str, tuple[str, str, str]] = {
    "P1": ("roof", "hot_gas_pressure", "hot gas at the condenser"),
    "P2": ("roof", "drain_pressure", "condenser drain 1"),
    "P3": ("roof", "drain_pressure", "condenser drain 2"),
    "T1": ("roof", "hot_gas_temperature", "hot gas line at the condenser"),
    "T2": ("roof", "drain_temperature", "drain 1 line at the condenser"),
    "T3": ("roof", "drain_temperature", "drain 2 line at the condenser"),
    "T4": ("roof", "basin_temperature", "basin water"),
    "T5": ("roof", "air_in", "air into the condenser"),
    "T6": ("roof", "air_out", "air out of the condenser"),
    "P4": ("motor_room", "discharge_pressure", "discharge header"),
    "P5": ("motor_room", "suction_pressure", "suction header"),
    "P6": ("motor_room", "liquid_pressure", "liquid line after the drier"),
    "P7": ("motor_room", "receiver_pressure", "drain line at the receiver"),
    "T7": ("motor_room", "discharge_temperature", "discharge header line"),
    "T8": ("motor_room", "suction_temperature", "suction header line"),
    "T9": ("motor_room", "liquid_temperature", "liquid line after the drier"),
    "T10": ("motor_room", "receiver_drain_temperature", "drain line at the receiver"),
    "GD": ("motor_room", "discharge_pressure", "rack discharge gauge"),
    "GS": ("motor_room", "suction_pressure", "rack suction gauge"),
}
LOOKS = {
    "COIL": eyes.coil_looks,
    "BASIN": eyes.basin_looks,
    "FLOAT": eyes.float_looks,
    "FAN": eyes.fan_looks,
    "PUMP": eyes.pump_looks,
    "RECEIVER": eyes.receiver_looks,
    "GLASS": eyes.glass_looks,
    "DRIER": eyes.drier_looks,
    "RACK": eyes.rack_looks,
}
"""Sights of what there is one of, on the roof and in the motor room."""


def points(store: dict[str, Any]) -> dict[str, dict[str, str]]:
    """Every plant test point of a store: place, kind, and what it is called."""
    found = {name: {"place": place, "kind": ROLES[role].quantity, "says": says} for name, (place, role, says) in FIXED.items()}
    for n, circuit in enumerate(store["circuits"], 1):
        for name, role in CIRCUIT.items():
            says = f"circuit {n} {circuit['title']}: {ROLES[role].says}"
            found[f"C{n}.{name}"] = {"place": "floor", "kind": ROLES[role].quantity, "says": says}
    return found


def observe(plant: Plant, inputs: Inputs, point: str, wick: bool = False) -> float:
    """True value at a test point, in SI: absolute pressure [Pa], temperature [C].

    Parameters
    ----------
    plant, inputs : Plant, Inputs
        The rack and its surroundings; nothing is changed.
    point : str
        A name of `points`.
    wick : bool
        The thermometer wears a wet wick; matters at T5 only.

    Raises
    ------
    BadRequest
        There is no such point.
    """
    head, _, name = point.partition(".")
    if name in CIRCUIT and head[:1] == "C" and head[1:].isdigit() and 1 <= int(head[1:]) <= len(plant.circuits):
        return value(plant, inputs, CIRCUIT[name], int(head[1:]) - 1)
    if point not in FIXED:
        raise BadRequest(f"plant: there is no test point {point!r}; the list of points names them all")
    return value(plant, inputs, FIXED[point][1], 0, wick)


def looks(plant: Plant, part: str) -> dict[str, str]:
    """Sights and touch of a part, sorted into words; empty for a part that shows nothing.

    Parameters
    ----------
    plant : Plant
        The rack; nothing is changed.
    part : str
        COIL, BASIN, FLOAT, FAN, PUMP, RECEIVER, GLASS, DRIER, COMP1.., OIL1.., RACK, C1..C10, XV1..XV10.
    """
    letters = part.rstrip("0123456789")
    n = int(part[len(letters) :] or 0) - 1
    if letters in ("C", "XV") and 0 <= n < len(plant.circuits):
        return eyes.case_looks(plant, n) if letters == "C" else eyes.valve_looks(plant, n)
    if letters in ("COMP", "OIL") and 0 <= n < len(plant.compressors):
        seen = eyes.machine_looks(plant, n)
        return {"oil": seen["oil"]} if letters == "OIL" else {name: word for name, word in seen.items() if name != "oil"}
    return LOOKS[part](plant, 0) if part in LOOKS else {}


def reset_latch(plant: Plant, mark: str) -> None:
    """Push the button of a manual high-pressure cut-out; it holds if pressure is down far enough in the next step.

    Parameters
    ----------
    plant : Plant
        The rack and its surroundings; nothing is changed.
    mark : str
        HP1 to HP4.

    Raises
    ------
    BadRequest
        There is no such cut-out.
    """
    if not (mark[:2] == "HP" and mark[2:].isdigit() and 1 <= int(mark[2:]) <= len(plant.high)):
        raise BadRequest(f"{mark}: no such cut-out; high-pressure cut-outs are HP1 to HP{len(plant.high)}")
    plant.high_states[int(mark[2:]) - 1].pushed = True

"""What a gauge, a thermometer or an eye would find in the plant, before any instrument adds its error.

`observe` gives true values by test point, `points` lists them with place and words. Sights are told by the kinds of parts. Nothing
here knows of faults: everything is read from states.
"""

from typing import Any

from scenarios.errors import BadRequest
from scenarios.refrigeration.fluid import liquid_temperature, saturation, superheat
from scenarios.refrigeration.plant import Inputs, Plant

FIXED: dict[str, tuple[str, str, str]] = {
    "P1": ("roof", "pressure", "hot gas at the condenser"),
    "P2": ("roof", "pressure", "condenser drain 1"),
    "P3": ("roof", "pressure", "condenser drain 2"),
    "T1": ("roof", "temperature", "hot gas line at the condenser"),
    "T2": ("roof", "temperature", "drain 1 line at the condenser"),
    "T3": ("roof", "temperature", "drain 2 line at the condenser"),
    "T4": ("roof", "temperature", "basin water"),
    "T5": ("roof", "temperature", "air into the condenser"),
    "T6": ("roof", "temperature", "air out of the condenser"),
    "P4": ("motor_room", "pressure", "discharge header"),
    "P5": ("motor_room", "pressure", "suction header"),
    "P6": ("motor_room", "pressure", "liquid line after the drier"),
    "P7": ("motor_room", "pressure", "drain line at the receiver"),
    "T7": ("motor_room", "temperature", "discharge header line"),
    "T8": ("motor_room", "temperature", "suction header line"),
    "T9": ("motor_room", "temperature", "liquid line after the drier"),
    "T10": ("motor_room", "temperature", "drain line at the receiver"),
    "GD": ("motor_room", "pressure", "rack discharge gauge"),
    "GS": ("motor_room", "pressure", "rack suction gauge"),
}
CASE: dict[str, tuple[str, str]] = {
    "A1": ("temperature", "air off the coil"),
    "A2": ("temperature", "return air"),
    "G1": ("temperature", "product, between packs"),
    "G2": ("temperature", "product surface"),
    "T1": ("temperature", "suction line at the case outlet"),
    "P8": ("pressure", "suction at the case"),
    "D": ("display", "case display"),
}


PLAIN: dict[str, tuple[str, str]] = {
    "P2": ("condenser_state", "pressure"),
    "P3": ("condenser_state", "pressure"),
    "P4": ("lines_state", "discharge"),
    "P5": ("lines_state", "pressure"),
    "P6": ("lines_state", "header"),
    "P7": ("receiver_state", "pressure"),
    "GD": ("lines_state", "discharge"),
    "GS": ("lines_state", "pressure"),
    "T1": ("lines_state", "gas_out"),
    "T4": ("condenser_state", "water"),
    "T6": ("condenser_state", "air_out"),
    "T7": ("lines_state", "gas_steel"),
    "T8": ("lines_state", "temperature"),
}
"""Points that show a state as it is: its table and field."""


def points(store: dict[str, Any]) -> dict[str, dict[str, str]]:
    """Every plant test point of a store: place, kind, and what it is called."""
    found = {name: {"place": place, "kind": kind, "says": says} for name, (place, kind, says) in FIXED.items()}
    for n, circuit in enumerate(store["circuits"], 1):
        for name, (kind, says) in CASE.items():
            found[f"C{n}.{name}"] = {"place": "floor", "kind": kind, "says": f"circuit {n} {circuit['title']}: {says}"}
    return found


def drain_temperature(plant: Plant) -> float:
    """Liquid that leaves the condenser; with nothing there, the gas [C]."""
    top = plant.condenser_state[0]
    if top.liquid < 0.05:
        return float(top.temperature)
    return float(liquid_temperature(plant.fluid, top.liquid_energy / top.liquid))


def liquid_line_temperature(plant: Plant) -> float:
    """Liquid line after the drier; boiling liquid has the temperature its pressure gives it [C]."""
    pipe = plant.lines_state[0]
    at = saturation(plant.fluid, pipe.header)
    if pipe.flash > 0.0:
        return float(at.t_bub + min(pipe.flash, 1.0) * (at.t_dew - at.t_bub))
    return float(liquid_temperature(plant.fluid, pipe.liquid_energy / max(pipe.liquid, 1e-6)))


def of_case(plant: Plant, n: int, name: str) -> float:
    """True value of one circuit's test point.

    Parameters
    ----------
    plant : Plant
        The rack and its surroundings; nothing is changed.
    n : int
        Circuit, from 0.
    name : str
        A1, A2, G1, G2, T1, P8 or D.
    """
    state, now = plant.circuit_states[n], plant.circuit_steps[n]
    apart = 0.5 * (now.boil + now.dry) / max(now.draught, 1.0)
    if name == "P8":
        drop = plant.circuits[n].suction_drop * min(state.vapour * state.vapour / 0.0025, 3.0)
        return float(plant.lines_state[0].pressure * (1.0 + 0.034 * drop))
    values = {
        "A1": state.air - apart,
        "A2": state.air + apart,
        "G1": state.core,
        "G2": state.surface,
        "T1": state.outlet,
        "D": plant.case_states[n].display,
    }
    return float(values[name])


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
    if name in CASE and head[:1] == "C" and head[1:].isdigit() and 1 <= int(head[1:]) <= len(plant.circuits):
        return of_case(plant, int(head[1:]) - 1, name)
    if point in ("T2", "T3"):
        return drain_temperature(plant)
    if point == "T10":
        return receiver_inlet(plant)
    if point == "T9":
        return liquid_line_temperature(plant)
    if point == "T5":
        weather = inputs.outside[0]
        return float(min(weather.wet_bulb, weather.dry_bulb) if wick else weather.dry_bulb)
    if point == "P1":
        return float(0.7 * plant.condenser_state[0].pressure + 0.3 * plant.lines_state[0].discharge)
    if point not in PLAIN:
        raise BadRequest(f"plant: there is no test point {point!r}; the list of points names them all")
    table, field = PLAIN[point]
    return float(getattr(plant, table)[0][field])


def receiver_inlet(plant: Plant) -> float:
    """Drain line at the receiver [C]."""
    return drain_temperature(plant) * 0.96 + 0.04 * float(plant.lines[0].room)


def drier_drop(plant: Plant) -> float:
    """What the liquid loses in temperature over the drier, once it boils in it [K]."""
    pipe = plant.lines_state[0]
    before = saturation(plant.fluid, pipe.before)
    enthalpy = pipe.liquid_energy / max(pipe.liquid, 1e-6)
    into = min(before.t_bub, liquid_temperature(plant.fluid, enthalpy))
    return float(into - liquid_line_temperature(plant))


def compressor_superheat(plant: Plant) -> float:
    """Superheat of the suction gas at the header [K]."""
    pipe = plant.lines_state[0]
    return float(superheat(saturation(plant.fluid, pipe.pressure), pipe.enthalpy))


TRENDS = (
    "suction",
    "discharge",
    "target",
    "fan",
    "wet_bulb",
    "running",
)
"""Rack channels a controller records, before one `air` channel per circuit."""


def trend_channels(plant: Plant) -> list[str]:
    """Names of everything the controller records."""
    return [
        *TRENDS,
        *(f"compressor_{n + 1}" for n in range(len(plant.compressors))),
        *(f"air_{n + 1}" for n in range(len(plant.circuits))),
    ]


def trends(plant: Plant, inputs: Inputs) -> list[float]:
    """One sample of every channel by the controller's own sensors, SI: pressures [Pa], temperatures [C], shares [-]."""
    sees = plant.controller_state[0]
    running = [float(s > 0.3) for s in inputs.speed]
    share = sum(r * float(stage.capacity) for r, stage in zip(running, plant.stages, strict=True))
    wet = float(inputs.outside[0].wet_bulb + plant.controller[0].wet_bulb_offset)
    return [
        float(sees.suction),
        float(sees.discharge),
        float(sees.target),
        float(sees.reference),
        wet,
        share,
        *running,
        *(float(s) for s in plant.case_states.display),
    ]

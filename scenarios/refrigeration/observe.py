"""What a gauge, a thermometer or an eye would find in the plant, before any instrument adds its error.

`observe` gives true values by what a test point of the store shows. Sights are told by the kinds of parts. Nothing here
knows of faults: everything is read from states.
"""

from collections.abc import Callable

from scenarios.refrigeration.fluid import liquid_temperature, saturation, superheat
from scenarios.refrigeration.plant import Inputs, Plant
from scenarios.store.model import Point


def drain_temperature(plant: Plant) -> float:
    """Liquid that leaves the condenser; with nothing there, the gas [C]."""
    top = plant.condenser_state[0]
    if top.liquid < 0.05:
        return float(top.temperature)
    return float(liquid_temperature(plant.fluid, top.liquid_energy / top.liquid))


def receiver_inlet(plant: Plant) -> float:
    """Drain line at the receiver [C]."""
    return drain_temperature(plant) * 0.96 + 0.04 * float(plant.lines[0].room)


def liquid_line_temperature(plant: Plant) -> float:
    """Liquid line after the drier; boiling liquid has the temperature its pressure gives it [C]."""
    pipe = plant.lines_state[0]
    at = saturation(plant.fluid, pipe.header)
    if pipe.flash > 0.0:
        return float(at.t_bub + min(pipe.flash, 1.0) * (at.t_dew - at.t_bub))
    return float(liquid_temperature(plant.fluid, pipe.liquid_energy / max(pipe.liquid, 1e-6)))


Seen = Callable[[Plant, Inputs, int, bool], float]
"""True value at a point: plant, what comes from outside, its row, and whether the thermometer wears a wet wick."""


def state(table: str, field: str) -> Seen:
    """A state shown as it is."""
    return lambda plant, inputs, row, wick: float(getattr(plant, table)[row][field])


def _outside(plant: Plant, inputs: Inputs, row: int, wick: bool) -> float:
    weather = inputs.outside[0]
    return float(min(weather.wet_bulb, weather.dry_bulb) if wick else weather.dry_bulb)


def _apart(plant: Plant, row: int) -> float:
    """Half of what the air changes over a coil [K]."""
    now = plant.circuit_steps[row]
    return float(0.5 * (now.boil + now.dry) / max(now.draught, 1.0))


def _case_suction(plant: Plant, inputs: Inputs, row: int, wick: bool) -> float:
    vapour = plant.circuit_states[row].vapour
    drop = plant.circuits[row].suction_drop * min(vapour * vapour / 0.0025, 3.0)
    return float(plant.lines_state[0].pressure * (1.0 + 0.034 * drop))


VALUES: dict[str, Seen] = {
    "hot_gas_pressure": lambda plant, inputs, row, wick: float(
        0.7 * plant.condenser_state[row].pressure + 0.3 * plant.lines_state[row].discharge
    ),
    "drain_pressure": state("condenser_state", "pressure"),
    "hot_gas_temperature": state("lines_state", "gas_out"),
    "drain_temperature": lambda plant, inputs, row, wick: drain_temperature(plant),
    "basin_temperature": state("condenser_state", "water"),
    "air_in": _outside,
    "air_out": state("condenser_state", "air_out"),
    "discharge_pressure": state("lines_state", "discharge"),
    "suction_pressure": state("lines_state", "pressure"),
    "liquid_pressure": state("lines_state", "header"),
    "receiver_pressure": state("receiver_state", "pressure"),
    "discharge_temperature": state("lines_state", "gas_steel"),
    "suction_temperature": state("lines_state", "temperature"),
    "liquid_temperature": lambda plant, inputs, row, wick: liquid_line_temperature(plant),
    "receiver_drain_temperature": lambda plant, inputs, row, wick: receiver_inlet(plant),
    "air_off": lambda plant, inputs, row, wick: float(plant.circuit_states[row].air - _apart(plant, row)),
    "air_return": lambda plant, inputs, row, wick: float(plant.circuit_states[row].air + _apart(plant, row)),
    "core": state("circuit_states", "core"),
    "surface": state("circuit_states", "surface"),
    "outlet": state("circuit_states", "outlet"),
    "pressure": _case_suction,
    "display": state("case_states", "display"),
}
"""True value by what a point of a store shows."""


def observe(plant: Plant, inputs: Inputs, point: Point, wick: bool = False) -> float:
    """True value at a test point, in SI: absolute pressure [Pa], temperature [C].

    Parameters
    ----------
    plant, inputs : Plant, Inputs
        The rack and its surroundings; nothing is changed.
    point : Point
        One of the store's.
    wick : bool
        The thermometer wears a wet wick; matters in the air outside only.
    """
    return VALUES[point.role](plant, inputs, point.row, wick)


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

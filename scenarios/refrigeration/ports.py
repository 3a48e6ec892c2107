"""Ports of a plant: every number that crosses between it and the wiring, in one flat array each way.

Formulas read and write ports by name; a name is a view of the flat array, one place per row of its table. Ties of plant and wiring
are rows of places (`loop.Ties`), so neither side knows a name or a count of the other.
"""

from typing import NamedTuple

import numpy as np

from scenarios.compiling.quantities import table
from scenarios.refrigeration.plant import Array, Outside, Plant, Rows


class Inputs(NamedTuple):
    """What weather and wiring do to the plant in a step."""

    flat: Array
    """All that wiring feeds, one port behind the other; what has a name below is a view of it."""
    speed: Array
    """Compressor shaft speed over rated, per machine [-]."""
    heater: Array
    """Crankcase heater energised, per machine [-]."""
    solenoid: Array
    """Liquid solenoid energised, per circuit [-]."""
    fan_speed: Array
    """Over rated, signed, per condenser fan [-]."""
    pump_speed: Array
    """Over rated, per spray pump [-]."""
    defrost_on: Array
    """Its defrost heater energised, per circuit [-]."""
    outside: Rows
    """One row of `Outside`."""
    controller_on: Array
    """Controller has supply, per rack [-]."""
    door: Array
    """0 curtain down or door shut, 1 wide open, per circuit [-]."""


class Outputs(NamedTuple):
    """What the plant does to the wiring after a step."""

    flat: Array
    """All that the plant gives, one port behind the other; everything below is a view of it."""
    hp_closed: Array
    """High-pressure cut-out closed, per machine [-]."""
    lp_closed: Array
    """Low-pressure cut-out closed, per machine [-]."""
    call_compressor: Array
    """Called by its controller, per machine [-]."""
    call_liquid: Array
    """Liquid called, per circuit [-]."""
    call_defrost: Array
    """Defrost heater called, per circuit [-]."""
    shaft_power: Array
    """Per machine, at its present speed; standing, what it would need at rated speed [W]."""
    call_fan: Array
    """Called by its controller, per condenser fan [-]."""
    fan_reference: Array
    """Speed asked for, per condenser fan [-]."""
    fan_power: Array
    """Shaft power at rated speed, per condenser fan; cube law below [W]."""
    call_pump: Array
    """Called by its controller, per spray pump [-]."""
    basin_ok: Array
    """Basin level switch closed, per spray pump [-]."""
    pump_power: Array
    """Shaft power at rated speed, per spray pump; cube law below [W]."""


INPUTS = {
    "compressors.speed": "speed",
    "compressors.heater": "heater",
    "circuits.solenoid": "solenoid",
    "fans.speed": "fan_speed",
    "sprays.speed": "pump_speed",
    "circuits.heater": "defrost_on",
}
"""Ports that wiring feeds, by table and word: the field of `Inputs`. One place per row of the table."""
OUTPUTS = {
    "compressors.high": "hp_closed",
    "compressors.low": "lp_closed",
    "compressors.call": "call_compressor",
    "circuits.call": "call_liquid",
    "circuits.defrost": "call_defrost",
    "compressors.shaft": "shaft_power",
    "fans.call": "call_fan",
    "fans.reference": "fan_reference",
    "fans.shaft": "fan_power",
    "sprays.call": "call_pump",
    "sprays.level": "basin_ok",
    "sprays.shaft": "pump_power",
}
"""Ports that the plant fills, likewise: the field of `Outputs`."""
SHUT_AT_REST = ("hp_closed", "lp_closed", "basin_ok")
"""Contacts that are closed before the first step."""


def count(plant: Plant, port: str) -> int:
    """Places of a port: one per row of its table."""
    return len(getattr(plant, port.partition(".")[0]))


def place_of(plant: Plant, ports: dict[str, str], port: str, row: int) -> int:
    """Place of one row of a port in its flat array."""
    before = 0
    for name in ports:
        if name == port:
            return before + row
        before += count(plant, name)
    raise KeyError(port)


def views(plant: Plant, ports: dict[str, str], flat: Array) -> dict[str, Array]:
    """A view of a flat array for each of its ports."""
    first = {field: place_of(plant, ports, port, 0) for port, field in ports.items()}
    return {field: flat[first[field] : first[field] + count(plant, port)] for port, field in ports.items()}


def new_inputs(plant: Plant) -> Inputs:
    """Inputs of a store at rest: nothing turns, nothing is energised, curtains and doors are shut."""
    flat = np.zeros(sum(count(plant, port) for port in INPUTS))
    rest = table([Outside()]), np.ones(len(plant.controller)), np.zeros(len(plant.circuits))
    return Inputs(flat, **views(plant, INPUTS, flat), outside=rest[0], controller_on=rest[1], door=rest[2])


def new_outputs(plant: Plant) -> Outputs:
    """Outputs before the first step: cut-outs shut, nothing called."""
    flat = np.zeros(sum(count(plant, port) for port in OUTPUTS))
    made = views(plant, OUTPUTS, flat)
    for field in SHUT_AT_REST:
        made[field][:] = 1.0
    return Outputs(flat, **made)


def copy_inputs(plant: Plant, told: Inputs) -> Inputs:
    """An independent copy, its ports views of its own flat array."""
    flat = told.flat.copy()
    return Inputs(
        flat,
        **views(plant, INPUTS, flat),
        outside=told.outside.copy(),
        controller_on=told.controller_on.copy(),
        door=told.door.copy(),
    )


def copy_outputs(plant: Plant, given: Outputs) -> Outputs:
    """An independent copy, its ports views of its own flat array."""
    flat = given.flat.copy()
    return Outputs(flat, **views(plant, OUTPUTS, flat))

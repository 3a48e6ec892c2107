"""Charge of a rack, and the grid its states are put on once a minute."""

from scenarios.compiling.exact import on_grid
from scenarios.compiling.kernel import compiled
from scenarios.controls.controller import ControllerState
from scenarios.refrigeration.condenser import CondenserState
from scenarios.refrigeration.lines import LinesState
from scenarios.refrigeration.plant import Rows
from scenarios.refrigeration.receiver import ReceiverState


@compiled
def inventory(pipe: LinesState, top: CondenserState, held: ReceiverState, circuits: Rows, machines: Rows) -> float:
    """All refrigerant of a rack [kg].

    Parameters
    ----------
    pipe, top, held : LinesState, CondenserState, ReceiverState
        What it works on; states are changed in place.
    circuits : recarray of CircuitState
        The coils.
    machines : recarray of CompressorState
        The compressors, for what is in their oil.
    """
    total = pipe.liquid + pipe.suction + top.gas + top.liquid + held.gas + held.liquid
    for n in range(len(circuits)):
        total += circuits[n].liquid
    for n in range(len(machines)):
        total += machines[n].dissolved
    return total


@compiled
def round_circuits(circuits: Rows) -> None:
    """Circuits onto the grid."""
    for n in range(len(circuits)):
        each = circuits[n]
        each.liquid, each.energy, each.bulb, each.air = (
            on_grid(each.liquid),
            on_grid(each.energy),
            on_grid(each.bulb),
            on_grid(each.air),
        )
        each.surface, each.core, each.frost = on_grid(each.surface), on_grid(each.core), on_grid(each.frost)
        each.outlet, each.flow, each.vapour = on_grid(each.outlet), on_grid(each.flow), on_grid(each.vapour)


@compiled
def round_states(
    pipe: LinesState, top: CondenserState, held: ReceiverState, sees: ControllerState, circuits: Rows, machines: Rows
) -> None:
    """Everything that is carried on, onto the grid; the receiver's liquid closes the total charge."""
    round_circuits(circuits)
    for n in range(len(machines)):
        each = machines[n]
        each.oil, each.dissolved, each.dissolved_energy = on_grid(each.oil), on_grid(each.dissolved), on_grid(each.dissolved_energy)
    pipe.liquid, pipe.liquid_energy, pipe.total = on_grid(pipe.liquid), on_grid(pipe.liquid_energy), on_grid(pipe.total)
    pipe.suction, pipe.suction_energy, pipe.charged = on_grid(pipe.suction), on_grid(pipe.suction_energy), on_grid(pipe.charged)
    pipe.demand, pipe.head, pipe.pressure = on_grid(pipe.demand), on_grid(pipe.head), on_grid(pipe.pressure)
    pipe.temperature, pipe.quality, pipe.enthalpy = on_grid(pipe.temperature), on_grid(pipe.quality), on_grid(pipe.enthalpy)
    pipe.discharge, pipe.pumped = on_grid(pipe.discharge), on_grid(pipe.pumped)
    pipe.gas_steel, pipe.gas_enthalpy = on_grid(pipe.gas_steel), on_grid(pipe.gas_enthalpy)
    top.gas, top.gas_energy, top.liquid = on_grid(top.gas), on_grid(top.gas_energy), on_grid(top.liquid)
    top.liquid_energy, top.coil, top.water = on_grid(top.liquid_energy), on_grid(top.coil), on_grid(top.water)
    top.film, top.level, top.pressure, top.partial = (
        on_grid(top.film),
        on_grid(top.level),
        on_grid(top.pressure),
        on_grid(top.partial),
    )
    top.temperature, top.quality, top.flooded = on_grid(top.temperature), on_grid(top.quality), on_grid(top.flooded)
    top.drained, top.blown = on_grid(top.drained), on_grid(top.blown)
    held.gas, held.gas_energy, held.liquid_energy = on_grid(held.gas), on_grid(held.gas_energy), on_grid(held.liquid_energy)
    held.shell, held.pressure, held.temperature = on_grid(held.shell), on_grid(held.pressure), on_grid(held.temperature)
    held.liquid += pipe.total - inventory(pipe, top, held, circuits, machines)
    sees.integral, sees.reference = on_grid(sees.integral), on_grid(sees.reference)

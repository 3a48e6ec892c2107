"""Plant and wiring on one clock.

Each step the weather and the wiring move the plant, and what the plant then says (cut-outs, relays, shaft loads) moves the wiring.
Nothing else couples them: amps come from the network, head pressure from the plant, and a fault in one shows in the other because
the parameters of the other did not need to know of it.
"""

from typing import Any, NamedTuple

from scenarios import weather
from scenarios.compiling.kernel import compiled
from scenarios.electrical import step as wiring_step
from scenarios.electrical.layouts import MOVED, Net, Parameters, State
from scenarios.electrical.step import go_on
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs, Outputs
from scenarios.refrigeration.rack import step as step_plant

STEP = 5.0
"""Step of plant and wiring [s]."""
RUSH = 5
"""Pieces of a step in which machines start on a rack at rest: its pressures part in seconds, and a cut-out must see it."""
PARTED = 2.2
"""Discharge over suction pressure from which a whole step will do [-]; common practice, a rack at work has 3 and more."""
TREND_EVERY = 60.0
"""Between two rows of the controller's trend log [s]."""


class Ties(NamedTuple):
    """What crosses between plant and wiring, as rows of two places: in a flat array of the plant, and in a table of the wiring."""

    motors: Any
    """Speed of a motor goes to the plant."""
    loads: Any
    """Whether a load is energised goes to the plant."""
    followers: Any
    """The plant moves a contact."""
    shafts: Any
    """The plant loads a motor [W]."""
    drives: Any
    """The plant's controller gives a drive its reference."""


class Night(NamedTuple):
    """What comes from outside: weather and propped doors."""

    profile: Any
    """(points, 3): see `weather`."""
    doors: Any
    """(rows, 3): begin [s], end [s], circuit."""


@compiled
def to_wiring(ties: Ties, par: Parameters, given: Any, told: wiring_step.Inputs) -> None:
    """Contacts, loads over rated torque and references as the wiring takes them, from the plant's flat outputs."""
    for k in range(len(ties.followers)):
        told.follows[ties.followers[k, 1]] = given[ties.followers[k, 0]] != 0.0
    for k in range(len(ties.shafts)):
        motor = ties.shafts[k, 1]
        told.load[motor] = given[ties.shafts[k, 0]] / par.motors[motor].output
    for k in range(len(ties.drives)):
        told.reference[ties.drives[k, 1]] = given[ties.drives[k, 0]]


@compiled
def to_plant(ties: Ties, given: wiring_step.Outputs, told: Any) -> None:
    """Shaft speeds and energised loads as the plant takes them, into its flat inputs."""
    for k in range(len(ties.motors)):
        told[ties.motors[k, 0]] = given.speed[ties.motors[k, 1]]
    for k in range(len(ties.loads)):
        told[ties.loads[k, 0]] = 1.0 if given.energised[ties.loads[k, 1]] != 0 else 0.0


@compiled
def outdoors(night: Night, t: float, told: Inputs) -> None:
    """Weather and doors of a moment."""
    told.outside[0].dry_bulb = weather.at(night.profile, t, 1)
    told.outside[0].wet_bulb = weather.at(night.profile, t, 2)
    for n in range(len(told.door)):
        told.door[n] = 0.0
    for row in range(len(night.doors)):
        if night.doors[row, 0] <= t < night.doors[row, 1]:
            told.door[int(night.doors[row, 2])] = 1.0


@compiled
def rushes(plant: Plant, told: Inputs) -> bool:
    """Whether a machine turns on a suction group whose pressure and its rack's discharge have not parted yet. [-]"""
    for r in range(len(plant.racks)):
        rack, discharge = plant.racks[r], plant.discharge_state[r].discharge
        for g in range(rack.groups, rack.groups_end):
            group = plant.groups[g]
            if discharge < PARTED * plant.suction_state[g].pressure:
                for n in range(group.compressors, group.compressors_end):
                    if told.speed[n] > 0.1:
                        return True
    return False


class Column(NamedTuple):
    """One column of the controllers' trend log."""

    name: str
    """suction [Pa], discharge [Pa], reference [-], called [-] or display [C]."""
    row: int
    """Of its group, rack or circuit."""


def trend_columns(plant: Plant) -> list[Column]:
    """The trend log of a plant, as `write_trend` fills it."""
    counts = {
        "suction": len(plant.groups),
        "discharge": len(plant.racks),
        "reference": len(plant.racks),
        "called": len(plant.groups),
        "display": len(plant.circuits),
    }
    return [Column(name, n) for name, count in counts.items() for n in range(count)]


@compiled
def write_trend(plant: Plant, row: Any) -> None:
    """One row of the controllers' trend log: see `trend_columns`."""
    racks, groups, at = len(plant.racks), len(plant.groups), 0
    for g in range(groups):
        row[at] = plant.staging_state[g].suction
        at += 1
    for r in range(racks):
        row[at], row[at + racks] = plant.fan_loop_state[r].discharge, plant.fan_loop_state[r].reference
        at += 1
    at += racks
    for g in range(groups):
        called = 0.0
        for n in range(plant.groups[g].compressors, plant.groups[g].compressors_end):
            called += 1.0 if plant.stages[n].called else 0.0
        row[at] = called
        at += 1
    for n in range(len(plant.case_states)):
        row[at + n] = plant.case_states[n].display


@compiled
def run(
    net: Net,
    par: Parameters,
    state: State,
    wires_in: wiring_step.Inputs,
    wires_out: wiring_step.Outputs,
    plant: Plant,
    plant_in: Inputs,
    plant_out: Outputs,
    ties: Ties,
    night: Night,
    t: float,
    steps: int,
    trend: Any,
    first: float,
) -> float:
    """Let time pass; the time it is then. [s]

    Parameters
    ----------
    net, par, state, wires_in, wires_out
        The wiring, its parameters and state, what it is told and gives; changed in place.
    plant, plant_in, plant_out
        The plant, changed in place.
    ties, night
        What crosses between the two, and what comes from outside.
    t : float
        Time from the ticket. [s]
    steps : int
        Steps of 5 s. [-]
    trend : array, (rows, channels)
        The trend log; a log without rows is not written.
    first : float
        Time of its first row. [s]
    """
    state.tally[MOVED] = 1  # who knows what was done since
    for _ in range(steps):
        to_plant(ties, wires_out, plant_in.flat)
        pieces = RUSH if rushes(plant, plant_in) else 1
        dt = STEP / pieces
        for _ in range(pieces):
            outdoors(night, t, plant_in)
            to_plant(ties, wires_out, plant_in.flat)
            step_plant(plant, plant_in, plant_out, dt)
            to_wiring(ties, par, plant_out.flat, wires_in)
            go_on(net, par, state, wires_in, wires_out, dt)
            t += dt
        since = t - first
        if since >= 0.0 and since % TREND_EVERY == 0.0 and int(since / TREND_EVERY) < len(trend):
            write_trend(plant, trend[int(since / TREND_EVERY)])
    return t

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
from scenarios.refrigeration import plant as plant_room
from scenarios.refrigeration.rack import step as step_plant

STEP = 5.0
"""Step of plant and wiring [s]."""
RUSH = 5
"""Pieces of a step in which machines start on a rack at rest: its pressures part in seconds, and a cut-out must see it."""
PARTED = 2.2
"""Discharge over suction pressure from which a whole step will do [-]; common practice, a rack at work has 3 and more."""
TREND_EVERY = 60.0
"""Between two rows of the controller's trend log [s]."""
COMPRESSOR_CALL, HIGH_PRESSURE, LOW_PRESSURE, PUMP_CALL, FAN_CALL, LIQUID_CALL, BASIN = range(7)
"""What a plant-driven contact follows."""


class Links(NamedTuple):
    """Which part of the wiring is which part of the plant."""

    follower: Any
    """(followers, 2): what it follows, and which of several."""
    compressor: Any
    """(compressors,): motor of each."""
    fan: int
    """Motor of the condenser fan."""
    pump: int
    """Motor of the spray pump."""
    solenoid: Any
    """(circuits,): load of each liquid solenoid."""
    heater: Any
    """(compressors,): load of each crankcase heater."""


class Night(NamedTuple):
    """What comes from outside: weather and propped doors."""

    profile: Any
    """(points, 3): see `weather`."""
    doors: Any
    """(rows, 3): begin [s], end [s], circuit."""


@compiled
def to_wiring(links: Links, par: Parameters, given: plant_room.Outputs, told: wiring_step.Inputs) -> None:
    """Cut-outs, relays and shaft loads as the wiring takes them; loads over rated torque. [-]"""
    orders = given.orders[0]
    for k in range(len(links.follower)):
        what, n = links.follower[k, 0], links.follower[k, 1]
        if what == COMPRESSOR_CALL:
            told.follows[k] = given.call_compressor[n]
        elif what == HIGH_PRESSURE:
            told.follows[k] = given.hp_closed[n]
        elif what == LOW_PRESSURE:
            told.follows[k] = given.lp_closed[n]
        elif what == LIQUID_CALL:
            told.follows[k] = given.call_liquid[n]
        elif what == PUMP_CALL:
            told.follows[k] = orders.call_pump
        elif what == FAN_CALL:
            told.follows[k] = orders.call_fan
        else:
            told.follows[k] = orders.basin_ok
    for n in range(len(links.compressor)):
        motor = links.compressor[n]
        told.load[motor] = given.shaft_power[n] / par.motors[motor].output
    told.load[links.fan] = orders.fan_power / par.motors[links.fan].output
    told.load[links.pump] = orders.pump_power / par.motors[links.pump].output
    for d in range(len(told.reference)):
        told.reference[d] = orders.fan_reference


@compiled
def to_plant(links: Links, given: wiring_step.Outputs, told: plant_room.Inputs) -> None:
    """Shaft speeds, energised solenoids and heaters as the plant takes them."""
    for n in range(len(links.compressor)):
        told.speed[n] = given.speed[links.compressor[n]]
    told.outside[0].fan_speed = given.speed[links.fan]
    told.outside[0].pump_speed = given.speed[links.pump]
    for n in range(len(links.solenoid)):
        told.solenoid[n] = given.energised[links.solenoid[n]] != 0
    for n in range(len(links.heater)):
        told.heater[n] = given.energised[links.heater[n]] != 0


@compiled
def outdoors(night: Night, t: float, told: plant_room.Inputs) -> None:
    """Weather and doors of a moment."""
    told.outside[0].dry_bulb = weather.at(night.profile, t, 1)
    told.outside[0].wet_bulb = weather.at(night.profile, t, 2)
    for n in range(len(told.door)):
        told.door[n] = 0.0
    for row in range(len(night.doors)):
        if night.doors[row, 0] <= t < night.doors[row, 1]:
            told.door[int(night.doors[row, 2])] = 1.0


@compiled
def rushes(plant: plant_room.Plant, told: plant_room.Inputs) -> bool:
    """Whether a machine turns while suction and discharge pressure have not parted yet. [-]"""
    pipe = plant.lines_state[0]
    turning = False
    for n in range(len(told.speed)):
        turning = turning or told.speed[n] > 0.1
    return turning and pipe.discharge < PARTED * pipe.pressure


@compiled
def write_trend(plant: plant_room.Plant, row: Any) -> None:
    """One row of the controller's trend log: pressures [Pa], fan reference, machines called, case displays [C]."""
    sees = plant.controller_state[0]
    row[0], row[1], row[2] = sees.suction, sees.discharge, sees.reference
    called = 0.0
    for n in range(len(plant.stages)):
        called += 1.0 if plant.stages[n].called else 0.0
    row[3] = called
    for n in range(len(plant.case_states)):
        row[4 + n] = plant.case_states[n].display


@compiled
def run(
    net: Net,
    par: Parameters,
    state: State,
    wires_in: wiring_step.Inputs,
    wires_out: wiring_step.Outputs,
    plant: plant_room.Plant,
    plant_in: plant_room.Inputs,
    plant_out: plant_room.Outputs,
    links: Links,
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
    links, night
        What is which, and what comes from outside.
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
        to_plant(links, wires_out, plant_in)
        pieces = RUSH if rushes(plant, plant_in) else 1
        dt = STEP / pieces
        for _ in range(pieces):
            outdoors(night, t, plant_in)
            to_plant(links, wires_out, plant_in)
            step_plant(plant, plant_in, plant_out, dt)
            to_wiring(links, par, plant_out, wires_in)
            go_on(net, par, state, wires_in, wires_out, dt)
            t += dt
        since = t - first
        if since >= 0.0 and since % TREND_EVERY == 0.0 and int(since / TREND_EVERY) < len(trend):
            write_trend(plant, trend[int(since / TREND_EVERY)])
    return t

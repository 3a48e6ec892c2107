"""What a step would show in a world: pure, without instrument error, the same for the trainee's store and for a suspect's.

Nothing here changes a world, keeps time or judges; `scenarios.call` turns observations into displays and words.
"""

from collections.abc import Callable
from itertools import combinations

from scenarios.facts import Observed
from scenarios.site import World
from scenarios.steps import Step
from scenarios.visit import senses
from scenarios.visit.technician import Technician

PROVING_VOLTS = 240.0
"""What a pocket proving unit gives [V]; common practice."""
Look = Callable[[World, Technician, Step], list[Observed]]


def pair(a: str, b: str) -> str:
    """Name of a pair of points, the same whichever lead is named first."""
    return "|".join(sorted((a, b)))


def volts(world: World, person: Technician, step: Step) -> list[Observed]:
    """Volts between every pair of the points, through the meter's high-impedance input."""
    return [Observed(pair(a, b), "volts", world.volts(a, b), instrument="volts") for a, b in combinations(step.args, 2)]


def prove_meter(world: World, person: Technician, step: Step) -> list[Observed]:
    """The meter on a proving unit: a source of one's own, so that a dead reading means dead."""
    return [Observed("proving unit|leads", "volts", PROVING_VOLTS, instrument="volts")]


def low_volts(world: World, person: Technician, step: Step) -> list[Observed]:
    """Volts between two points through the low-impedance input, which collapses a ghost."""
    return [Observed(pair(*step.args), "volts", world.volts(step.args[0], step.args[1], meter="low"), instrument="low-volts")]


def ohms(world: World, person: Technician, step: Step) -> list[Observed]:
    """Ohms between two points; a held armature closes its poles while the meter looks."""
    return [Observed(pair(*step.args), "ohms", world.ohms(step.args[0], step.args[1], held=person.held), instrument="ohms")]


def insulation(world: World, person: Technician, step: Step) -> list[Observed]:
    """Insulation at 500 V between two points."""
    return [Observed(pair(*step.args), "insulation", world.insulation(*step.args), instrument="insulation")]


def amps(world: World, person: Technician, step: Step) -> list[Observed]:
    """Amps of one clamp or of all that hang: now, and the highest since cleared."""
    wanted = [int(step.args[0])] if step.args else sorted(person.clamps)
    seen = []
    for n in wanted:
        terminal = person.clamps[n]
        seen.append(Observed(terminal, "amps", world.amps(terminal), instrument=f"clamp/{n}"))
        seen.append(Observed(f"{terminal} max", "amps", world.most_amps(terminal), instrument=f"clamp/{n}"))
    return seen


def temperature(world: World, person: Technician, step: Step) -> list[Observed]:
    """Temperature at a test point; a wet wick on the probe gives the wet bulb of the air."""
    point = step.args[0]
    wet = step.options.get("how") == "wick"
    name = f"{point} wet bulb" if wet else point
    return [Observed(name, "temperature", world.point(f"{point}.wick" if wet else point), instrument="thermometer")]


def gauge(world: World, person: Technician, step: Step) -> list[Observed]:
    """Pressure on the high or low hose."""
    side, point = step.args
    return [Observed(point, "pressure", world.point(point), instrument=f"gauge-{side}")]


def infrared(world: World, person: Technician, step: Step) -> list[Observed]:
    """Surface temperature from a distance."""
    return [Observed(step.args[0], "temperature", senses.surface(world, person, step.args[0]), instrument="infrared")]


OBSERVING: dict[str, Look] = {
    "volts": volts,
    "prove-meter": prove_meter,
    "low-volts": low_volts,
    "ohms": ohms,
    "insulation": insulation,
    "amps": amps,
    "temp": temperature,
    "gauge": gauge,
    "infrared": infrared,
    "look": lambda world, person, step: senses.look(world, person, step.args[0]),
    "listen": lambda world, person, step: senses.listen(world, person, step.args[0]),
    "feel": lambda world, person, step: senses.feel(world, person, step.args[0]),
    "smell": lambda world, person, step: senses.smell(world, person.place),
    "read": lambda world, person, step: senses.read(world, person, step.args[0]),
    "tug": lambda world, person, step: senses.tug(world, step.args[0]),
}
"""Verbs that only show something."""


def observe(world: World, person: Technician, step: Step) -> list[Observed]:
    """What a step shows in a world; nothing for verbs that show nothing by themselves."""
    look = OBSERVING.get(step.verb)
    return look(world, person, step) if look else []

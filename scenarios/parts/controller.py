"""The controller of a rack: its display, its transducers, its output to the fan."""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts.common import Fault, Here, Seen, kind, sights


def look(here: Here) -> Iterator[Seen]:
    """Its display."""
    return sights(display="lit" if here.row("controller_state").powered else "dark")


def read(here: Here) -> Iterator[Observed]:
    """Pressures, what it calls, every case of its own rack."""
    mark, fan, plant = here.part.mark, here.row("fan_loop_state"), here.world.plant
    rows = plant.racks[here.part.row]
    for group in range(rows.groups, rows.groups_end):
        which = f" {group - rows.groups + 1}" if rows.groups_end - rows.groups > 1 else ""
        sees = float(plant.staging_state[group].suction)
        yield Observed(f"{mark} suction{which}", "display", sees, instrument="display-pressure")
    yield Observed(f"{mark} discharge", "display", float(fan.discharge), instrument="display-pressure")
    yield Observed(f"{mark} fan", "display", float(fan.reference), instrument="display-percent")
    own = [part for part in here.world.store.parts.values() if part.rack == here.part.rack]
    called = [part.number for part in own if part.kind.name == "compressor" and bool(plant.stages[part.row].called)]
    words = ", ".join(str(n) for n in called) or "none"
    yield Observed(f"{mark} calls", "look", category=f"calls {words}", words=f"Calls compressors {words}.")
    for part in own:
        if "cases" in part.kind.tables:
            shown = float(plant.case_states[part.row].display)
            yield Observed(f"{part.mark}.D", "display", shown, instrument="display-temperature")


OFFSETS = {"suction": "plant staging[$group].suction_offset", "discharge": "plant fan_loop[$row].discharge_offset"}
"""What a transducer that reads wrong changes."""


def transducer(which: str, mode: str, prior: str, title: str, *pascals: float) -> Fault:
    """A transducer that reads wrong [Pa], milder first."""
    if which == "suction":
        return Fault("group", mode, prior, f"suction transducer$of reads {title}", {OFFSETS[which]: [*pascals]}, at="suction$which")
    return Fault("part", mode, prior, f"{which} transducer reads {title}", {OFFSETS[which]: [*pascals]}, at=which)


kind(
    name="rack_controller",
    title="rack controller and its transducers",
    wired=False,
    tables=("controller", "controller_state", "fan_loop", "fan_loop_state"),
    look=look,
    read=read,
    acts=("read {p}:Read display and log", "replace {p}:Change transducers"),
    spare="transducer",
    minutes=15.0,
    renews=("staging.suction_offset", "fan_loop.discharge_offset", "fan_loop.gain"),
    faults={
        "suction_transducer_low": transducer("suction", "too_little", "occasional", "low", -100000.0, -300000.0),
        "suction_transducer_high": transducer("suction", "too_much", "rare", "high", 60000.0, 150000.0),
        "discharge_transducer_low": transducer("discharge", "too_little", "occasional", "low", -300000.0, -600000.0),
        "discharge_transducer_high": transducer("discharge", "too_much", "rare", "high", 300000.0, 600000.0),
        "fan_output_stuck": Fault(
            "part",
            "stuck_worn",
            "rare",
            "fan output of the controller, stays where it was",
            {"plant fan_loop[$row].gain": 0.0},
            at="output",
        ),
    },
)

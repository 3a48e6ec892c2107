"""The controller of a rack: its display, its transducers, its output to the fan."""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts.common import Fault, Here, Seen, kind, sights


def look(here: Here) -> Iterator[Seen]:
    """Its display."""
    return sights(display="lit" if here.row("controller_state").powered else "dark")


def read(here: Here) -> Iterator[Observed]:
    """Pressures, what it calls, every case of its own rack."""
    mark, sees, plant = here.part.mark, here.of_rack("fan_loop_state"), here.world.plant
    suction = here.of_group("staging_state").suction
    yield Observed(f"{mark} suction", "display", float(suction), instrument="display-pressure")
    yield Observed(f"{mark} discharge", "display", float(sees.discharge), instrument="display-pressure")
    yield Observed(f"{mark} fan", "display", float(sees.reference), instrument="display-percent")
    own = [part for part in here.world.store.parts.values() if part.rack == here.part.rack]
    called = [part.number for part in own if part.kind.name == "compressor" and bool(plant.stages[part.row].called)]
    words = ", ".join(str(n) for n in called) or "none"
    yield Observed(f"{mark} calls", "look", category=f"calls {words}", words=f"Calls compressors {words}.")
    for part in own:
        if "cases" in part.kind.tables:
            shown = float(plant.case_states[part.row].display)
            yield Observed(f"{part.mark}.D", "display", shown, instrument="display-temperature")


def transducer(which: str, cell: str, mode: str, prior: str, title: str, *pascals: float) -> Fault:
    """A transducer that reads wrong [Pa], milder first."""
    return Fault("part", mode, prior, f"{which} transducer reads {title}", {f"plant {cell}.{which}_offset": [*pascals]}, at=which)


kind(
    name="rack_controller",
    title="rack controller and its transducers",
    wired=False,
    tables=("controller", "controller_state"),
    look=look,
    read=read,
    acts=("read {p}:Read display and log", "replace {p}:Change transducers"),
    spare="transducer",
    minutes=15.0,
    renews=("staging.suction_offset", "fan_loop.discharge_offset", "fan_loop.gain"),
    faults={
        "suction_transducer_low": transducer("suction", "staging[$group]", "too_little", "occasional", "low", -100000.0, -300000.0),
        "suction_transducer_high": transducer("suction", "staging[$group]", "too_much", "rare", "high", 60000.0, 150000.0),
        "discharge_transducer_low": transducer(
            "discharge", "fan_loop[$rack]", "too_little", "occasional", "low", -300000.0, -600000.0
        ),
        "discharge_transducer_high": transducer("discharge", "fan_loop[$rack]", "too_much", "rare", "high", 300000.0, 600000.0),
        "fan_output_stuck": Fault(
            "part",
            "stuck_worn",
            "rare",
            "fan output of the controller, stays where it was",
            {"plant fan_loop[$rack].gain": 0.0},
            at="output",
        ),
    },
)

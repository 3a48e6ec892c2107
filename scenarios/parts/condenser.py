"""Condensers: evaporative with coil, nozzles, basin and float, and air-cooled."""

from collections.abc import Iterator

from scenarios.parts.common import LOOK, Fault, Here, Role, Seen, by, kind, plant_eyes, sights, to_hand


def look(here: Here) -> Iterator[Seen]:
    """Tubes, spray, nozzles, scale, and the drain to the hand."""
    unit, spray, water = here.of_rack("condenser"), here.row("sprays"), here.row("spray_states")
    return sights(
        tubes=by(water.film / spray.film, (0.05, "dry"), (0.8, "dry streaks"), beyond="wet all over"),
        spray=by(water.spray, (0.02, "no spray"), (0.7, "thin spray"), beyond="full spray"),
        nozzles=by(spray.nozzles, (0.9, "some nozzles plugged"), beyond="nozzles clear"),
        scale=by(unit.scale, (8e-6, "clean"), beyond="scale on the tubes"),
        drain=to_hand(drain(here)),
    )


def drain(here: Here) -> float:
    """Its drain [C]."""
    return float(plant_eyes().drain_temperature(here.world.plant, here.part.rack))


def basin(here: Here) -> Iterator[Seen]:
    """Level, and the water to the hand."""
    water = here.row("spray_states")
    level = by(water.level, (0.07, "empty"), (0.3, "low"), (0.97, "normal"), beyond="overflowing")
    return sights(level=level, water=to_hand(float(water.water)))


def float_valve(here: Here) -> Iterator[Seen]:
    """Whether it makes water up."""
    spray = here.row("sprays")
    fills = here.row("spray_states").level < spray.float_level - 0.02 and spray.float_share > 0.05
    return sights(float="water runs in" if fills else "shut")


def air_cooled(here: Here) -> Iterator[Seen]:
    """Fins, and the drain to the hand."""
    return sights(fins=by(here.of_rack("condenser").scale, (8e-6, "clean"), beyond="dirt in the fins"), drain=to_hand(drain(here)))


GAS = {
    "noncondensables": Fault(
        "part",
        "too_much",
        "occasional",
        "air or nitrogen in the condenser",
        {"plant condenser[$row].noncondensable": [0.25, 0.6]},
        (),
        "gas",
    ),
}

kind(
    name="condenser_evaporative",
    title="condenser",
    wired=False,
    tables=("condenser", "condenser_state"),
    roles={"basin": Role(("basin",)), "float": Role(("float_valve",))},
    look=look,
    warmth=drain,
    acts=(LOOK, "feel {p}:Feel the drain", "hose {p}:Hose it"),
    hosed=True,
    faults={
        "condenser_scaled": Fault(
            "part",
            "blocked_dirty",
            "common",
            "condenser coil scaled",
            {"plant condenser[$row].scale": [0.00004, 0.0001]},
            (),
            "tubes",
        ),
        "nozzles_plugged": Fault(
            "part",
            "blocked_dirty",
            "common",
            "spray nozzles plugged",
            {"plant sprays[$sprays].nozzles": [0.5, 0.15]},
            (),
            "nozzles",
        ),
        **GAS,
    },
)
kind(
    name="condenser_air",
    title="condenser coil",
    wired=False,
    tables=("condenser", "condenser_state"),
    look=air_cooled,
    warmth=drain,
    acts=(LOOK, "feel {p}:Feel the drain", "hose {p}:Hose it"),
    hosed=True,
    faults={
        "condenser_dirty": Fault(
            "part",
            "blocked_dirty",
            "common",
            "condenser fins dirty",
            {"plant condenser[$row].scale": [0.00004, 0.0001]},
            (),
            "fins",
        ),
        **GAS,
    },
)
kind(
    name="basin",
    title="condenser basin",
    wired=False,
    tables=("sprays", "spray_states"),
    look=basin,
    warmth=lambda here: float(here.row("spray_states").water),
    acts=(LOOK, "feel {p}:Feel the water"),
)
kind(
    name="float_valve",
    title="make-up float",
    wired=False,
    tables=("sprays", "spray_states"),
    look=float_valve,
    acts=(LOOK,),
    spare="float valve",
    minutes=30.0,
    renews=("sprays.float_share",),
    faults={
        "float_stuck": Fault(
            "part",
            "does_not_open",
            "occasional",
            "make-up float stuck shut, basin runs empty",
            {"plant sprays[$row].float_share": 0.0},
        ),
    },
)

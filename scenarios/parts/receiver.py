"""The receiver and its hot-gas valve; the rack's charge is kept there."""

from collections.abc import Iterator

from scenarios.parts.common import LOOK, Fault, Here, Role, Seen, by, kind, plant_eyes, sights, to_hand

FULL_CHARGE = 165.0
"""Charge of the store that the shares below were first thought out for [kg]."""


def look(here: Here) -> Iterator[Seen]:
    """Its level, and its shell to the hand."""
    held, own = here.of_rack("receiver_state"), here.of_rack("receiver")
    share = held.liquid * here.fluid.tank_volume / own.space
    level = by(share, (0.03, "empty"), (0.12, "low"), (0.85, "in sight"), beyond="full")
    return sights(level=level, shell=to_hand(float(held.shell)))


def of_charge(*kilograms: float) -> dict[str, list[float]]:
    """Kilograms of that charge, as shares of any."""
    return {"charge": [mass / FULL_CHARGE for mass in kilograms]}


EXTRA = "plant liquid[$rack].extra_charge"

kind(
    name="receiver",
    title="receiver",
    wired=False,
    tables=("receiver", "receiver_state"),
    roles={"glass": Role(("sight_glass",), needed=False), "drier": Role(("drier",), needed=False)},
    look=look,
    warmth=lambda here: float(plant_eyes().receiver_inlet(here.world.plant, here.part.rack)),
    acts=("look {p}:Look at the level", "feel {p}:Feel"),
    faults={
        "charge_lost": Fault("part", "leaking", "occasional", "charge lost", {EXTRA: of_charge(-65.0, -95.0)}, ()),
        "overcharged": Fault("part", "too_much", "rare", "overcharged", {EXTRA: of_charge(150.0, 190.0)}, ()),
        "receiver_valve_shut": Fault(
            "part",
            "does_not_open",
            "rare",
            "receiver hot-gas valve, stays shut",
            {"plant receiver[$row].valve_most": 0.0},
            (),
            "valve",
        ),
        "receiver_valve_open": Fault(
            "part",
            "does_not_close",
            "rare",
            "receiver hot-gas valve, stays open",
            {"plant receiver[$row].valve_least": 1.0},
            (),
            "valve",
        ),
    },
)


def glass(here: Here) -> Iterator[Seen]:
    """Clear when full and when stone empty; the pipe to the hand."""
    pipe = here.of_rack("liquid_state")
    full = pipe.liquid / (here.of_rack("liquid").space * here.fluid.line_density)
    word = by(float(pipe.flash), (1e-3, "clear"), (0.02, "bubbles"), (0.9, "foam"), beyond="clear") if full > 0.1 else "clear"
    return sights(glass=word, pipe=to_hand(liquid(here)))


def liquid(here: Here) -> float:
    """Liquid line after the drier [C]."""
    return float(plant_eyes().liquid_line_temperature(here.world.plant, here.part.rack))


def drier(here: Here) -> Iterator[Seen]:
    """To the hand its outlet is colder once liquid boils in it."""
    drop = plant_eyes().drier_drop(here.world.plant, here.part.rack)
    return sights(drier=by(drop, (1.0, "same on both sides"), (4.0, "outlet a little colder"), beyond="outlet clearly colder"))


kind(
    name="sight_glass",
    title="liquid sight glass",
    wired=False,
    tables=("liquid", "liquid_state"),
    look=glass,
    warmth=liquid,
    acts=(LOOK,),
)
kind(
    name="drier",
    title="liquid drier",
    wired=False,
    tables=("liquid", "liquid_state"),
    look=drier,
    warmth=liquid,
    acts=(LOOK, "feel {p}:Feel both sides"),
    spare="drier core",
    minutes=60.0,
    renews=("liquid.drier",),
    faults={
        "drier_plugged": Fault(
            "part", "blocked_dirty", "occasional", "liquid drier plugged", {"plant liquid[$row].drier": [40.0, 100.0]}
        ),
    },
)

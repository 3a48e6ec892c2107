"""Sights and touch of the plant's parts, sorted into words: each of one row of a table.

Nothing here knows of faults: everything is read from states and from the condition of parts that can be seen.
"""

from scenarios.controls.decide import WET
from scenarios.refrigeration.fluid import liquid_temperature, saturation
from scenarios.refrigeration.measure import drain_temperature, fluid_of, liquid_line_temperature
from scenarios.refrigeration.plant import Plant

FOAMS = 0.002
"""Refrigerant boiling out of oil that shows as foam in its glass [kg/s]; common practice."""
KNOCKS = 0.05
"""Refrigerant out of the oil over all that a machine moves from which it is heard to hammer [-]; common practice."""


def by(value: float, *steps: tuple[float, str], beyond: str) -> str:
    """The word of the first step that a value does not exceed."""
    for most, word in steps:
        if value <= most:
            return word
    return beyond


def to_hand(temperature: float) -> str:
    """How a pipe feels."""
    return by(
        temperature, (5.0, "cold"), (22.0, "cool"), (33.0, "lukewarm"), (42.0, "warm"), (55.0, "hot"), beyond="too hot to hold"
    )


def case_looks(plant: Plant, n: int) -> dict[str, str]:
    """Sights of one case or walk-in, from 0."""
    circuit, state, control = plant.circuits[n], plant.circuit_states[n], plant.case_states[n]
    ice = state.frost / circuit.frost_half
    return {
        "frost": by(ice, (0.05, "no frost"), (0.5, "light frost"), (1.0, "heavy frost"), beyond="iced solid"),
        "fans": by(circuit.fans, (0.01, "fans stand still"), (0.95, "some fans stand still"), beyond="fans turn"),
        "grille": by(circuit.blocked, (0.05, "return grille clear"), beyond="product over the return grille"),
        "front": by(circuit.ajar, (0.05, "shuts properly"), beyond="does not shut"),
        "state": "defrost" if control.defrosting else "refrigeration" if control.calling else "waiting",
        "outlet": to_hand(float(state.outlet)),
    }


def glass(plant: Plant, rack: int) -> str:
    """Sight glass of a rack, its row given: clear when full and when stone empty."""
    line = plant.liquid_state[rack]
    full = line.liquid / (plant.liquid[rack].space * fluid_of(plant, rack).about[0].line_density)
    return by(float(line.flash), (1e-3, "clear"), (0.02, "bubbles"), (0.9, "foam"), beyond="clear") if full > 0.1 else "clear"


def drier(plant: Plant, rack: int) -> str:
    """Drier of a rack, its row given, to the hand: its outlet is colder once liquid boils in it."""
    line, fluid = plant.liquid_state[rack], fluid_of(plant, rack)
    before = saturation(fluid, line.before)
    enthalpy = line.liquid_energy / max(line.liquid, 1e-6)
    into = min(before.t_bub, liquid_temperature(fluid, enthalpy))
    return by(
        into - liquid_line_temperature(plant, rack),
        (1.0, "same on both sides"),
        (4.0, "outlet a little colder"),
        beyond="outlet clearly colder",
    )


def oil_level(dissolved: float) -> str:
    """Oil glass of a machine, by the refrigerant in its oil [kg]."""
    return by(dissolved, (0.5, "half glass, clear"), (1.5, "three quarters, thin"), beyond="full, thin as water")


def knocks(plant: Plant, n: int) -> bool:
    """Whether a machine, from 0, takes in so much liquid from its own oil that it hammers."""
    seen = plant.compressor_states[n]
    return bool(seen.foam > KNOCKS * max(float(seen.flow), 1e-3))


def machine_looks(plant: Plant, n: int) -> dict[str, str]:
    """Sights of one compressor and its oil glass, from 0."""
    runs = plant.compressor_states[n].speed > 0.3
    group = next(g for g, each in enumerate(plant.groups) if each.compressors <= n < each.compressors_end)
    wet = runs and (plant.suction_state[group].quality < WET or plant.compressor_states[n].foam > FOAMS)
    return {
        "turning": "runs" if runs else "stands",
        "suction": "frosted" if wet else "sweating" if runs else "dry",
        "oil": "foaming" if wet else oil_level(float(plant.compressor_states[n].dissolved)),
    }


def valve_looks(plant: Plant, n: int) -> dict[str, str]:
    """Sights of one expansion valve, from 0."""
    body = "sweating" if plant.circuit_steps[n].feed > 0.004 else "dry"
    return {"body": body, "outlet": to_hand(float(plant.circuit_states[n].outlet))}


def turning(speed: float) -> str:
    """How a fan turns to the eye."""
    if abs(speed) < 0.05:
        return "stands"
    return "turns backward" if speed < 0.0 else by(speed, (0.5, "turns slowly"), (0.95, "turns"), beyond="full speed")


def coil_looks(plant: Plant, rack: int) -> dict[str, str]:
    """Sights of a rack's condenser coil."""
    condenser, rows = plant.condenser[rack], plant.racks[rack]
    found = {}
    for s in range(rows.sprays, rows.sprays_end):
        spray, water = plant.sprays[s], plant.spray_states[s]
        found = {
            "tubes": by(water.film / spray.film, (0.05, "dry"), (0.8, "dry streaks"), beyond="wet all over"),
            "spray": by(water.spray, (0.02, "no spray"), (0.7, "thin spray"), beyond="full spray"),
            "nozzles": by(spray.nozzles, (0.9, "some nozzles plugged"), beyond="nozzles clear"),
        }
    dirt = "scale on the tubes" if found else "dirt between the fins"
    return {
        **found,
        "scale": by(condenser.scale, (8e-6, "clean"), beyond=dirt),
        "drain": to_hand(drain_temperature(plant, rack)),
    }


def basin_looks(plant: Plant, spray: int) -> dict[str, str]:
    """Sights of a basin, the row of its spray given."""
    water = plant.spray_states[spray]
    level = by(water.level, (0.07, "empty"), (0.3, "low"), (0.97, "normal"), beyond="overflowing")
    return {"level": level, "water": to_hand(float(water.water))}


def float_looks(plant: Plant, spray: int) -> dict[str, str]:
    """Sights of a make-up float, the row of its spray given."""
    each = plant.sprays[spray]
    fills = plant.spray_states[spray].level < each.float_level - 0.02 and each.float_share > 0.05
    return {"float": "water runs in" if fills else "shut"}


def pump_looks(plant: Plant, spray: int) -> dict[str, str]:
    """Sights of a spray pump, the row of its spray given."""
    return {"discharge": by(plant.spray_states[spray].spray, (0.02, "no flow"), (0.7, "weak flow"), beyond="full flow")}


def fan_looks(plant: Plant, fan: int) -> dict[str, str]:
    """Sights of a condenser fan, its row given."""
    return {"fan": turning(float(plant.fan_states[fan].speed))}


def receiver_looks(plant: Plant, rack: int) -> dict[str, str]:
    """Sights of a rack's receiver."""
    held, volume = plant.receiver_state[rack], fluid_of(plant, rack).about[0].tank_volume
    level = by(held.liquid * volume / plant.receiver[rack].space, (0.03, "empty"), (0.12, "low"), (0.85, "in sight"), beyond="full")
    return {"level": level, "shell": to_hand(float(held.shell))}


def glass_looks(plant: Plant, rack: int) -> dict[str, str]:
    """Sights of a rack's sight glass."""
    return {"glass": glass(plant, rack), "pipe": to_hand(liquid_line_temperature(plant, rack))}


def drier_looks(plant: Plant, rack: int) -> dict[str, str]:
    """Sights of a rack's liquid drier."""
    return {"drier": drier(plant, rack)}


def rack_looks(plant: Plant, rack: int) -> dict[str, str]:
    """Sights of a rack's controller."""
    return {"display": "lit" if plant.controller_state[rack].powered else "dark"}

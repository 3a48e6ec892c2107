"""What a gauge, a thermometer or an eye would find in the plant, before any instrument adds its error.

`observe` gives true values by what a test point of the store shows, `looks` sorts sights into words. Nothing here
knows of faults: everything is read from states and from the condition of parts that can be seen.
"""

from collections.abc import Callable

from scenarios.errors import BadRequest
from scenarios.refrigeration.fluid import liquid_temperature, saturation, superheat
from scenarios.refrigeration.plant import Inputs, Plant
from scenarios.store.model import Point

FOAMS = 0.002
"""Refrigerant boiling out of oil that shows as foam in its glass [kg/s]; common practice."""
KNOCKS = 0.05
"""Refrigerant out of the oil over all that a machine moves from which it is heard to hammer [-]; common practice."""


def drain_temperature(plant: Plant) -> float:
    """Liquid that leaves the condenser; with nothing there, the gas [C]."""
    top = plant.condenser_state[0]
    if top.liquid < 0.05:
        return float(top.temperature)
    return float(liquid_temperature(plant.fluid, top.liquid_energy / top.liquid))


def liquid_line_temperature(plant: Plant) -> float:
    """Liquid line after the drier; boiling liquid has the temperature its pressure gives it [C]."""
    pipe = plant.lines_state[0]
    at = saturation(plant.fluid, pipe.header)
    if pipe.flash > 0.0:
        return float(at.t_bub + min(pipe.flash, 1.0) * (at.t_dew - at.t_bub))
    return float(liquid_temperature(plant.fluid, pipe.liquid_energy / max(pipe.liquid, 1e-6)))


Seen = Callable[[Plant, Inputs, int, bool], float]
"""True value at a point: plant, what comes from outside, its row, and whether the thermometer wears a wet wick."""


def state(table: str, field: str) -> Seen:
    """A state shown as it is."""
    return lambda plant, inputs, row, wick: float(getattr(plant, table)[row][field])


def _outside(plant: Plant, inputs: Inputs, row: int, wick: bool) -> float:
    weather = inputs.outside[0]
    return float(min(weather.wet_bulb, weather.dry_bulb) if wick else weather.dry_bulb)


def _apart(plant: Plant, row: int) -> float:
    """Half of what the air changes over a coil [K]."""
    now = plant.circuit_steps[row]
    return float(0.5 * (now.boil + now.dry) / max(now.draught, 1.0))


def _case_suction(plant: Plant, inputs: Inputs, row: int, wick: bool) -> float:
    vapour = plant.circuit_states[row].vapour
    drop = plant.circuits[row].suction_drop * min(vapour * vapour / 0.0025, 3.0)
    return float(plant.lines_state[0].pressure * (1.0 + 0.034 * drop))


VALUES: dict[str, Seen] = {
    "hot_gas_pressure": lambda plant, inputs, row, wick: float(
        0.7 * plant.condenser_state[row].pressure + 0.3 * plant.lines_state[row].discharge
    ),
    "drain_pressure": state("condenser_state", "pressure"),
    "hot_gas_temperature": state("lines_state", "gas_out"),
    "drain_temperature": lambda plant, inputs, row, wick: drain_temperature(plant),
    "basin_temperature": state("condenser_state", "water"),
    "air_in": _outside,
    "air_out": state("condenser_state", "air_out"),
    "discharge_pressure": state("lines_state", "discharge"),
    "suction_pressure": state("lines_state", "pressure"),
    "liquid_pressure": state("lines_state", "header"),
    "receiver_pressure": state("receiver_state", "pressure"),
    "discharge_temperature": state("lines_state", "gas_steel"),
    "suction_temperature": state("lines_state", "temperature"),
    "liquid_temperature": lambda plant, inputs, row, wick: liquid_line_temperature(plant),
    "receiver_drain_temperature": lambda plant, inputs, row, wick: (
        drain_temperature(plant) * 0.96 + 0.04 * float(plant.lines[row].room)
    ),
    "air_off": lambda plant, inputs, row, wick: float(plant.circuit_states[row].air - _apart(plant, row)),
    "air_return": lambda plant, inputs, row, wick: float(plant.circuit_states[row].air + _apart(plant, row)),
    "core": state("circuit_states", "core"),
    "surface": state("circuit_states", "surface"),
    "outlet": state("circuit_states", "outlet"),
    "pressure": _case_suction,
    "display": state("case_states", "display"),
}
"""True value by what a point of a store shows."""


def observe(plant: Plant, inputs: Inputs, point: Point, wick: bool = False) -> float:
    """True value at a test point, in SI: absolute pressure [Pa], temperature [C].

    Parameters
    ----------
    plant, inputs : Plant, Inputs
        The rack and its surroundings; nothing is changed.
    point : Point
        One of the store's.
    wick : bool
        The thermometer wears a wet wick; matters in the air outside only.
    """
    return VALUES[point.role](plant, inputs, point.row, wick)


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


def glass(plant: Plant) -> str:
    """Sight glass: clear when full and when stone empty."""
    pipe = plant.lines_state[0]
    full = pipe.liquid / (plant.lines[0].liquid_space * 1080.0)
    return by(float(pipe.flash), (1e-3, "clear"), (0.02, "bubbles"), (0.9, "foam"), beyond="clear") if full > 0.1 else "clear"


def drier(plant: Plant) -> str:
    """Drier to the hand: its outlet is colder once liquid boils in it."""
    pipe = plant.lines_state[0]
    before = saturation(plant.fluid, pipe.before)
    enthalpy = pipe.liquid_energy / max(pipe.liquid, 1e-6)
    into = min(before.t_bub, liquid_temperature(plant.fluid, enthalpy))
    return by(
        into - liquid_line_temperature(plant),
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
    wet = runs and (plant.lines_state[0].quality < 1.005 or plant.compressor_states[n].foam > FOAMS)
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


def coil_looks(plant: Plant) -> dict[str, str]:
    """Sights of the condenser coil."""
    top, unit = plant.condenser_state[0], plant.condenser[0]
    return {
        "tubes": by(top.film / unit.film, (0.05, "dry"), (0.8, "dry streaks"), beyond="wet all over"),
        "spray": by(top.spray, (0.02, "no spray"), (0.7, "thin spray"), beyond="full spray"),
        "nozzles": by(unit.nozzles, (0.9, "some nozzles plugged"), beyond="nozzles clear"),
        "scale": by(unit.scale, (8e-6, "clean"), beyond="scale on the tubes"),
        "drain": to_hand(drain_temperature(plant)),
    }


def basin_looks(plant: Plant) -> dict[str, str]:
    """Sights of the basin."""
    top = plant.condenser_state[0]
    level = by(top.level, (0.07, "empty"), (0.3, "low"), (0.97, "normal"), beyond="overflowing")
    return {"level": level, "water": to_hand(float(top.water))}


def float_looks(plant: Plant) -> dict[str, str]:
    """Sights of the make-up float."""
    unit = plant.condenser[0]
    fills = plant.condenser_state[0].level < unit.float_level - 0.02 and unit.float_share > 0.05
    return {"float": "water runs in" if fills else "shut"}


def receiver_looks(plant: Plant) -> dict[str, str]:
    """Sights of the receiver."""
    held = plant.receiver_state[0]
    level = by(held.liquid * 9.3e-4 / plant.receiver[0].space, (0.03, "empty"), (0.12, "low"), (0.85, "in sight"), beyond="full")
    return {"level": level, "shell": to_hand(float(held.shell))}


LOOKS: dict[str, Callable[[Plant], dict[str, str]]] = {
    "COIL": coil_looks,
    "BASIN": basin_looks,
    "FLOAT": float_looks,
    "FAN": lambda plant: {"fan": turning(float(plant.condenser_state[0].fan))},
    "PUMP": lambda plant: {
        "discharge": by(plant.condenser_state[0].spray, (0.02, "no flow"), (0.7, "weak flow"), beyond="full flow")
    },
    "RECEIVER": receiver_looks,
    "GLASS": lambda plant: {"glass": glass(plant), "pipe": to_hand(liquid_line_temperature(plant))},
    "DRIER": lambda plant: {"drier": drier(plant)},
    "RACK": lambda plant: {"display": "lit" if plant.controller_state[0].powered else "dark"},
}
"""Sights of what there is one of, on the roof and in the motor room."""


def looks(plant: Plant, part: str) -> dict[str, str]:
    """Sights and touch of a part, sorted into words; empty for a part that shows nothing.

    Parameters
    ----------
    plant : Plant
        The rack; nothing is changed.
    part : str
        COIL, BASIN, FLOAT, FAN, PUMP, RECEIVER, GLASS, DRIER, COMP1.., OIL1.., RACK, C1..C10, XV1..XV10.
    """
    letters = part.rstrip("0123456789")
    n = int(part[len(letters) :] or 0) - 1
    if letters in ("C", "XV") and 0 <= n < len(plant.circuits):
        return case_looks(plant, n) if letters == "C" else valve_looks(plant, n)
    if letters in ("COMP", "OIL") and 0 <= n < len(plant.compressors):
        seen = machine_looks(plant, n)
        return {"oil": seen["oil"]} if letters == "OIL" else {name: word for name, word in seen.items() if name != "oil"}
    return LOOKS[part](plant) if part in LOOKS else {}


def compressor_superheat(plant: Plant) -> float:
    """Superheat of the suction gas at the header [K]."""
    pipe = plant.lines_state[0]
    return float(superheat(saturation(plant.fluid, pipe.pressure), pipe.enthalpy))


def reset_latch(plant: Plant, mark: str) -> None:
    """Push the button of a manual high-pressure cut-out; it holds if pressure is down far enough in the next step.

    Parameters
    ----------
    plant : Plant
        The rack and its surroundings; nothing is changed.
    mark : str
        HP1 to HP4.

    Raises
    ------
    BadRequest
        There is no such cut-out.
    """
    if not (mark[:2] == "HP" and mark[2:].isdigit() and 1 <= int(mark[2:]) <= len(plant.high)):
        raise BadRequest(f"{mark}: no such cut-out; high-pressure cut-outs are HP1 to HP{len(plant.high)}")
    plant.high_states[int(mark[2:]) - 1].pushed = True


TRENDS = (
    "suction",
    "discharge",
    "target",
    "fan",
    "wet_bulb",
    "running",
)
"""Rack channels a controller records, before one `air` channel per circuit."""


def trend_channels(plant: Plant) -> list[str]:
    """Names of everything the controller records."""
    return [
        *TRENDS,
        *(f"compressor_{n + 1}" for n in range(len(plant.compressors))),
        *(f"air_{n + 1}" for n in range(len(plant.circuits))),
    ]


def trends(plant: Plant, inputs: Inputs) -> list[float]:
    """One sample of every channel by the controller's own sensors, SI: pressures [Pa], temperatures [C], shares [-]."""
    sees = plant.controller_state[0]
    running = [float(s > 0.3) for s in inputs.speed]
    share = sum(r * float(stage.capacity) for r, stage in zip(running, plant.stages, strict=True))
    wet = float(inputs.outside[0].wet_bulb + plant.controller[0].wet_bulb_offset)
    return [
        float(sees.suction),
        float(sees.discharge),
        float(sees.target),
        float(sees.reference),
        wet,
        share,
        *running,
        *(float(s) for s in plant.case_states.display),
    ]

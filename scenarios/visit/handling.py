"""What hands can do to a world: handles, resets, dials, wire ends, parts, product and water.

Nothing here knows whether it is wise. Each act moves positions or copies sound parameters back.
"""

from scenarios.errors import BadRequest
from scenarios.loop import STEP
from scenarios.refrigeration import observe as plant_eyes
from scenarios.site import World
from scenarios.steps import Step
from scenarios.visit import scenery

SPARES = {
    "contactor3": "contactor", "overload3": "overload relay", "board_relay": "control relay", "fuse": "fuse", "fuse1": "fuse",
    "fuse2": "fuse", "fuse3": "fuse", "solenoid": "solenoid coil", "high_pressure": "high-pressure cut-out",
    "low_pressure": "low-pressure cut-out", "relay": "control relay", "breaker3": "breaker", "breaker2": "breaker",
    "drive3": "drive", "transformer": "control transformer", "selector": "selector", "motor_protector": "motor protector",
    "level_switch": "level switch", "crankcase_heater": "crankcase heater",
}  # fmt: skip
"""What fits a kind of part; a motor's spare is named for what it drives."""
PLANT_SPARES = {
    "XV": ("expansion valve", "circuits.valve_share circuits.valve_least"),
    "C": ("case fans and sensor", "circuits.fans cases.sensor_offset"),
    "DRIER": ("drier core", "liquid.drier"),
    "RACK": ("transducer", "staging.suction_offset fan_loop.discharge_offset fan_loop.gain"),
    "FAN": ("fan belt", "fans.share"),
    "FLOAT": ("float valve", "sprays.float_share"),
}
"""What fits a part of the plant, and the parameters that are as bought again once it is fitted."""
CUTOUTS = {"high_pressure": "high", "low_pressure": "low"}
"""Tables of the plant that hold the pressure cut-outs."""
HOSED_WATER = 0.6
"""Film that a hose leaves on a coil, over that of the spray [-]; common practice."""


def handle(world: World, mark: str, on: bool) -> None:
    """Move a breaker's handle."""
    world.network.operate(mark, "on" if on else "off")


def select(world: World, mark: str, position: str) -> None:
    """Turn a selector."""
    world.network.operate(mark, position)


def tries_to_move(world: World, mark: str) -> bool:
    """Whether a part answers when it is called for: it has volts where it would need them. [-]"""
    device = world.wiring.devices[mark]
    if device.kind == "contactor3":
        line = [pole[0] for pole in device.poles]
        return scenery.device(world, mark).picked or max(world.volts(a, "PE") for a in line) > 50.0
    return world.touch_volts(mark) > 50.0


def reset(world: World, mark: str) -> bool:
    """Press a reset; whether it was tripped and stays."""
    before = scenery.device(world, mark).tripped
    took, _ = world.network.reset(mark)
    return took and before


def push(world: World, mark: str) -> bool:
    """Push the button of a pressure cut-out; whether it stays in with the pressure there is now."""
    plant_eyes.reset_latch(world.plant, mark)
    soon = world.glance()
    soon.advance(STEP)
    return bool(soon.plant.high_states[_number(mark)].closed)


def set_dial(world: World, mark: str, value: float) -> None:
    """Turn an overload's dial [A] or a cut-out's scale [Pa absolute]."""
    device = world.wiring.devices[mark]
    if device.kind == "overload3":
        world.network.set_dial(mark, value)
        return
    getattr(world.plant, CUTOUTS[device.kind])[_number(mark)].opens = value


DIAL_UNITS = {"overload3": ("A",), "high_pressure": ("psig", "barg", "psia"), "low_pressure": ("psig", "barg", "psia")}
"""Units a dial may be set in, the one on its scale first."""


def dial_unit(world: World, step: Step) -> str:
    """Unit of a ``set`` step; where none is given, the one on the scale."""
    mark = step.args[0]
    return step.args[2] if len(step.args) > 2 else DIAL_UNITS[world.wiring.devices[mark].kind][0]


def has_dial(world: World, mark: str) -> bool:
    """Whether there is anything to turn."""
    return world.wiring.devices[mark].kind in ("overload3", *CUTOUTS)


def van_part(world: World, name: str) -> str | None:
    """Name of the spare that fits a part; None where nothing is made for one night's work."""
    if name in world.wiring.devices:
        device = world.wiring.devices[name]
        return f"{device.plant.split()[0]} motor" if device.kind == "motor3" else SPARES.get(device.kind)
    return PLANT_SPARES.get(_head(name), (None, ""))[0]


def replace(world: World, name: str) -> None:
    """Fit a new part: its parameters as bought; the wires keep their ends.

    Raises
    ------
    BadRequest
        Nothing fits that part.
    """
    if name in world.wiring.devices:
        device = world.wiring.devices[name]
        world.network.replace(name)
        if device.kind in CUTOUTS:
            _renew(world, CUTOUTS[device.kind], "", _number(name))
        if device.kind == "solenoid":
            for stuck in ("solenoid_stuck_shut", "solenoid_stuck_open"):
                _renew(world, "circuits", stuck, int(device.plant.split()[-1]) - 1)
        world.clear_probe()
        return
    if _head(name) not in PLANT_SPARES:
        raise BadRequest(f"{name}: no spare for it; use a part that the van holds")
    for path in PLANT_SPARES[_head(name)][1].split():
        table, _, field = path.partition(".")
        _renew(world, table, field, _number(name))


def shut_case(world: World, name: str) -> bool:
    """Shut the door or curtain of a case; whether it stood open."""
    stood = float(world.plant.circuits.ajar[_number(name)])
    _renew(world, "circuits", "ajar", _number(name))
    return stood > 0.0


def is_case(name: str) -> bool:
    """Whether a name is that of a case or walk-in: C1 to C10."""
    return _head(name) == "C" and name != "C"


def _head(name: str) -> str:
    return name.rstrip("0123456789")


def _number(name: str) -> int:
    """Row of a numbered part; the first where it has no number."""
    return int(name[len(_head(name)) :] or 1) - 1


def _renew(world: World, table: str, field: str, row: int) -> None:
    """Copy a sound parameter back, or a whole row where no field is named."""
    now, sound = getattr(world.plant, table), getattr(world.store.healthy, table)
    if field:
        now[field][row] = sound[field][row]
    else:
        now[row] = sound[row]


def move_product(world: World, origin: str, target: str) -> None:
    """Empty a case into a cold one: the warm load goes, the cold one takes it up, and nothing covers the grille any more."""
    a, b = _number(origin), _number(target)
    _renew(world, "circuits", "blocked", a)
    states, circuits = world.plant.circuit_states, world.plant.circuits
    for node in ("core", "surface"):
        share = circuits.product_capacity[a] / (circuits.product_capacity[a] + circuits.product_capacity[b])
        states[node][b] = share * states[node][a] + (1.0 - share) * states[node][b]


def hose(world: World) -> None:
    """Wet the coil by hand."""
    spray, state = world.plant.sprays[0], world.plant.spray_states[0]
    state.film = max(float(state.film), HOSED_WATER * float(spray.film))

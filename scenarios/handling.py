"""What hands can do to a world: handles, resets, dials, wire ends, parts, product and water.

Nothing here knows whether it is wise. Each act moves positions or copies sound parameters back.
"""

from scenarios import scenery
from scenarios.errors import BadRequest
from scenarios.refrigeration import observe as plant_eyes
from scenarios.site import World

SPARES = {
    "contactor3": "contactor", "overload3": "overload relay", "board_relay": "control relay", "fuse": "fuse", "fuse1": "fuse",
    "fuse2": "fuse", "fuse3": "fuse", "solenoid": "solenoid coil", "high_pressure": "high-pressure cut-out",
    "low_pressure": "high-pressure cut-out", "motor3": "pump motor", "relay": "control relay",
}  # fmt: skip
"""What of the van fits a kind of part."""
PLANT_SPARES = {"XV": "expansion valve", "FAN": "fan belt", "RACK": "transducer"}
PLANT_ROWS = {"XV": "circuits", "FAN": "condenser", "RACK": "controller"}
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
    n = int(mark[2:]) - 1
    world.advance(5.0)
    return bool(world.plant.high_states[n].closed)


def set_dial(world: World, mark: str, value: float) -> None:
    """Turn an overload's dial [A] or a cut-out's scale [Pa absolute]."""
    device = world.wiring.devices[mark]
    if device.kind == "overload3":
        world.network.set_dial(mark, value)
        return
    table = world.plant.high if device.kind == "high_pressure" else world.plant.low
    table[int(mark[2:]) - 1].opens = value


def has_dial(world: World, mark: str) -> bool:
    """Whether there is anything to turn."""
    return world.wiring.devices[mark].kind in ("overload3", "high_pressure", "low_pressure")


def van_part(world: World, name: str) -> str | None:
    """The spare that fits a part; None where no van carries one."""
    if name in world.wiring.devices:
        device = world.wiring.devices[name]
        if device.kind == "motor3" and device.plant != "pump":
            return None
        return SPARES.get(device.kind)
    return next((part for head, part in PLANT_SPARES.items() if name.startswith(head)), None)


def replace(world: World, name: str) -> None:
    """Fit a new part: its parameters as bought; the wires keep their ends."""
    if name in world.wiring.devices:
        device = world.wiring.devices[name]
        world.network.replace(name)
        if device.kind in ("high_pressure", "low_pressure"):
            n, side = int(name[2:]) - 1, "high" if device.kind == "high_pressure" else "low"
            getattr(world.plant, side)[n] = getattr(world.store.healthy, side)[n]
        if device.kind == "solenoid":
            n = int(device.plant.split()[-1]) - 1
            for field in ("solenoid_stuck_shut", "solenoid_stuck_open"):
                world.plant.circuits[field][n] = world.store.healthy.circuits[field][n]
        world.clear_probe()
        return
    for head, table in PLANT_ROWS.items():
        if name.startswith(head):
            n = int(name[len(head) :] or 1) - 1
            getattr(world.plant, table)[n] = getattr(world.store.healthy, table)[n]
            return
    raise BadRequest(f"{name}: no spare for it; use a part that the van holds")


def move_product(world: World, origin: str, target: str) -> None:
    """Empty a case into a cold one: the warm load goes, the cold one takes it up."""
    a, b = int(origin[1:]) - 1, int(target[1:]) - 1
    states, circuits = world.plant.circuit_states, world.plant.circuits
    for node in ("core", "surface"):
        share = circuits.product_capacity[a] / (circuits.product_capacity[a] + circuits.product_capacity[b])
        mixed = share * states[node][a] + (1.0 - share) * states[node][b]
        states[node][b] = mixed


def hose(world: World) -> None:
    """Wet the coil by hand."""
    unit, state = world.plant.condenser[0], world.plant.condenser_state[0]
    state.film = max(float(state.film), HOSED_WATER * float(unit.film))

"""What hands can do to a world: handles, resets, dials, wire ends, parts, product and water.

Nothing here knows whether it is wise. Each act moves positions or copies sound parameters back.
"""

from scenarios.errors import BadRequest
from scenarios.loop import STEP
from scenarios.parts.kind import OF_GROUPS, Part
from scenarios.site import World
from scenarios.steps import Step
from scenarios.units import to_si
from scenarios.visit import scenery

ROUNDING = 1e-9
"""An end of a scale is on it, whatever its last digits became on the way to SI [-]."""
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
    if world.store.parts[mark].kind.armature:
        line = [pole[0] for pole in world.wiring.devices[mark].poles]
        return scenery.device(world, mark).picked or max(world.volts(a, world.wiring.earth) for a in line) > 50.0
    return world.touch_volts(mark) > 50.0


def reset(world: World, mark: str) -> bool:
    """Press a reset; whether it was tripped and stays."""
    before = scenery.device(world, mark).tripped
    took, _ = world.network.reset(mark)
    return took and before


def push(world: World, mark: str) -> bool:
    """Push the button of a pressure cut-out; whether it stays in with the pressure there is now."""
    row = world.store.parts[mark].row
    world.plant.high_states[row].pushed = True
    soon = world.glance()
    soon.advance(STEP)
    return bool(soon.plant.high_states[row].closed)


def resets_by_hand(world: World, mark: str) -> bool:
    """Whether a part has a button that stays out until it is pushed."""
    part = world.store.parts.get(mark)
    return part is not None and "high" in part.kind.tables and bool(world.plant.high[part.row].manual)


def set_dial(world: World, mark: str, value: float) -> None:
    """Turn an overload's dial [A] or a cut-out's scale [Pa absolute]."""
    part = world.store.parts[mark]
    if part.kind.dial and part.kind.dial.turns:
        table, _, field = part.kind.dial.turns.partition(".")
        getattr(world.plant, table)[field][part.row] = value
    else:
        world.network.set_dial(mark, value)


def store_value(world: World, part: Part) -> float:
    """Where a dial that turns a parameter of the plant stands in this store as it should be. [SI]"""
    table, _, field = part.kind.dial.turns.partition(".") if part.kind.dial else ("", "", "")
    return float(getattr(world.healthy, table)[field][part.row])


def dial_of(world: World, step: Step) -> tuple[float, str]:
    """What a ``set`` step asks for, in SI, and the unit it was said in; without one it is the unit printed on the dial.

    Raises
    ------
    BadRequest
        There is no dial, or what is asked for is not printed on it.
    """
    mark, number = step.args[:2]
    part = world.store.parts.get(mark)
    if part is None or part.kind.dial is None:
        raise BadRequest(f"{mark} has no dial")
    dial = part.kind.dial
    printed, (least, most) = dial.units[0], dial.ends(world.wiring.devices[mark].ratings)
    unit = step.args[2] if len(step.args) > 2 else printed
    if unit not in dial.units:
        raise BadRequest(f"the dial of {mark} is not marked in {unit}")
    value = to_si(float(number), unit)
    if not to_si(least, printed) * (1.0 - ROUNDING) <= value <= to_si(most, printed) * (1.0 + ROUNDING):
        raise BadRequest(f"the dial of {mark} goes from {least:g} to {most:g} {printed}; it cannot be set to {number} {unit}")
    return value, unit


def van_part(world: World, mark: str) -> str | None:
    """Name of the spare that fits a part; None where nothing is made for one night's work."""
    part = world.store.parts.get(mark)
    return (part.spare or None) if part else None


def replace(world: World, mark: str) -> None:
    """Fit a new part: its parameters as bought; the wires keep their ends.

    Raises
    ------
    BadRequest
        Nothing fits that part.
    """
    part = world.store.parts.get(mark)
    if part is None or not part.spare:
        raise BadRequest(f"{mark}: no spare for it; use a part that the van holds")
    if mark in world.wiring.devices:
        world.network.replace(mark)
    for path in part.kind.renews:
        table, _, field = path.partition(".")
        for row in _rows(world, part, table):
            _renew(world, table, field, row)
    world.clear_probe()


def _rows(world: World, part: Part, table: str) -> list[int]:
    """Rows of a table that come with a part: a rack's controller has the transducers of all its suction groups."""
    rack = world.store.racks[part.rack] if part.rack >= 0 else None
    if rack and part is rack.part and table in OF_GROUPS:
        return [group.row for group in rack.groups]
    return [part.row_in(table)]


def shut_case(world: World, mark: str) -> bool:
    """Shut the door or curtain of a case; whether it stood open."""
    row = world.store.parts[mark].row
    stood = float(world.plant.circuits.ajar[row])
    _renew(world, "circuits", "ajar", row)
    return stood > 0.0


def is_case(world: World, mark: str) -> bool:
    """Whether a mark is that of a case or walk-in."""
    part = world.store.parts.get(mark)
    return part is not None and "cases" in part.kind.tables


def _renew(world: World, table: str, field: str, row: int) -> None:
    """Copy a sound parameter back, or a whole row where no field is named."""
    now, sound = getattr(world.plant, table), getattr(world.healthy, table)
    if field:
        now[field][row] = sound[field][row]
    else:
        now[row] = sound[row]


def move_product(world: World, origin: str, target: str) -> None:
    """Empty a case into a cold one: the warm load goes, the cold one takes it up, and nothing covers the grille any more."""
    a, b = world.store.parts[origin].row, world.store.parts[target].row
    _renew(world, "circuits", "blocked", a)
    states, circuits = world.plant.circuit_states, world.plant.circuits
    for node in ("core", "surface"):
        share = circuits.product_capacity[a] / (circuits.product_capacity[a] + circuits.product_capacity[b])
        states[node][b] = share * states[node][a] + (1.0 - share) * states[node][b]


def hose(world: World, mark: str) -> None:
    """Wet a coil by hand."""
    row = world.store.parts[mark].row
    spray, state = world.plant.sprays[row], world.plant.spray_states[row]
    state.film = max(float(state.film), HOSED_WATER * float(spray.film))

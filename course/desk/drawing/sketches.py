"""Which sketches a store has, and what in the store file they depend on."""

from typing import Any

from course.desk.drawing import motor_room, roof, sales_floor, van
from course.desk.drawing.paper import Paper
from scenarios.store.model import Store

MOST_COMPRESSORS = 4


def _circuits(store: Store) -> list[tuple[int, str, bool]]:
    """Number, title and whether it is a walk-in, of every circuit of a store."""
    return [
        (circuit.number, circuit.title, circuit.part.kind.name == "walk_in") for circuit in store.circuits
    ]


def listed(store: Store) -> list[dict[str, Any]]:
    """Sketches of a store; where ``circuits`` stands, geometry ids are ``floor/C4`` and the plain id means the first."""
    circuits = _circuits(store)
    cases, rooms = ([f"C{n}" for n, _, walk_in in circuits if walk_in is wanted] for wanted in (False, True))
    rows = [
        ("van", "Van", "van", []),
        ("floor", "Cases", "floor", cases),
        ("walkins", "Walk-ins", "floor", rooms),
        ("motor_room", "Rack A", "motor_room", []),
        ("rack_display", "Rack display", "motor_room", []),
        ("roof", "Condenser", "roof", []),
    ]
    return [
        {"id": id, "title": title, "place": place, "kind": "sketch", **({"circuits": numbers} if numbers else {})}
        for id, title, place, numbers in rows
        if numbers or id not in ("floor", "walkins")
    ]


def draw(store: Store, sheet_id: str, paper: Paper) -> dict[str, Any]:
    """Draw one sketch; give back what the desk needs besides: regions for lists, the circuit, its title.

    Raises
    ------
    KeyError
        No such sketch.
    """
    name, _, circuit = sheet_id.partition("/")
    if name in ("floor", "walkins"):
        return _section(store, name, circuit, paper)
    if circuit:
        raise KeyError(sheet_id)
    if name == "motor_room":
        motor_room.rack(paper, min(len(store.compressors), MOST_COMPRESSORS), by_hand(store))
        return {}
    if name == "roof":
        roof.condenser(paper)
        return {}
    return {"regions": {"rack": motor_room.rack_display(paper)} if name == "rack_display" else {"van": van.van}[name](paper)}


def _section(store: Store, name: str, circuit: str, paper: Paper) -> dict[str, Any]:
    """A case or walk-in in section; the list beside it holds both kinds, so either sheet draws whichever is chosen."""
    circuits = _circuits(store)
    wanted = circuit.removeprefix("C") or str(next(n for n, _, walk_in in circuits if walk_in is (name == "walkins")))
    found = [row for row in circuits if str(row[0]) == wanted]
    if not found:
        raise KeyError(circuit)
    n, goods, walk_in = found[0]
    title = goods[:1].upper() + goods[1:] if walk_in else f"Case {n} {goods}".strip()
    (sales_floor.walk_in if walk_in else sales_floor.case)(paper, n, title)
    return {
        "title": title,
        "circuit": f"C{n}",
        "regions": {"circuits": {"x": 0.0, "y": 0.0, "w": sales_floor.LEFT, "h": paper.height}},
    }


def by_hand(store: Store) -> dict[int, bool]:
    """Which high-pressure cut-outs are reset by hand, by compressor."""
    return {n: bool(unit.settings["high"].get("manual")) for n, unit in enumerate(store.compressors, 1)}

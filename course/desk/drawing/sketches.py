"""Which sketches a store has, and what in the store file they depend on."""

from typing import Any

from course.desk.drawing import motor_room, roof, sales_floor, van
from course.desk.drawing.paper import Paper

CASES, WALK_INS = tuple(range(1, 9)), (9, 10)
COMPRESSORS = 4


def listed() -> list[dict[str, Any]]:
    """Sketches of a store; where ``circuits`` stands, geometry ids are ``floor/C4`` and the plain id means the first."""
    rows = [
        ("van", "Van", "van", ()), ("floor", "Cases", "floor", CASES), ("walkins", "Walk-ins", "floor", WALK_INS),
        ("motor_room", "Rack A", "motor_room", ()), ("rack_display", "Rack display", "motor_room", ()), ("roof", "Condenser", "roof", ()),
    ]  # fmt: skip
    return [
        {"id": id, "title": title, "place": place, "kind": "sketch", **({"circuits": [f"C{n}" for n in circuits]} if circuits else {})}
        for id, title, place, circuits in rows
    ]


def draw(store: dict[str, Any], sheet_id: str, paper: Paper) -> dict[str, Any]:
    """Draw one sketch; give back what the desk needs besides: regions for lists, the circuit, its title.

    Raises
    ------
    KeyError
        No such sketch.
    """
    name, _, circuit = sheet_id.partition("/")
    if name in ("floor", "walkins"):
        numbers = CASES if name == "floor" else WALK_INS
        n = int(circuit.removeprefix("C")) if circuit else numbers[0]
        if n not in numbers:
            raise KeyError(sheet_id)
        title = title_of(store, n)
        (sales_floor.case if name == "floor" else sales_floor.walk_in)(paper, n, title)
        list_region = {"x": 0.0, "y": 0.0, "w": sales_floor.LEFT, "h": paper.height}
        return {"title": title, "circuit": f"C{n}", "regions": {"circuits": list_region}}
    if circuit:
        raise KeyError(sheet_id)
    if name == "motor_room":
        motor_room.rack(paper, COMPRESSORS, by_hand(store))
        return {}
    if name == "roof":
        roof.condenser(paper)
        return {}
    return {"regions": {"rack": motor_room.rack_display(paper)} if name == "rack_display" else {"van": van.van}[name](paper)}


def title_of(store: dict[str, Any], n: int) -> str:
    """Title of a circuit: the store's, else its number."""
    found = [entry.get("title") for entry in _circuits(store) if str(entry.get("n")) in (str(n), f"C{n}")]
    return str(found[0]) if found and found[0] else f"Case {n}" if n in CASES else f"Walk-in {n - CASES[-1]}"


def _circuits(store: dict[str, Any]) -> list[dict[str, Any]]:
    given = store.get("circuits", [])
    if isinstance(given, dict):
        return [{"n": n, **entry} for n, entry in given.items() if isinstance(entry, dict)]
    return [{"n": n, **entry} for n, entry in enumerate(given, 1) if isinstance(entry, dict)]


def by_hand(store: dict[str, Any]) -> dict[int, bool]:
    """Which high-pressure cut-outs are reset by hand, by compressor."""
    return {n: n > 2 for n in range(1, COMPRESSORS + 1)}

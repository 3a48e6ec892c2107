"""Which sketches a store has, and what of the store they show."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import groupby
from typing import Any

from course.desk.drawing import air_condenser, loose_parts, motor_room, roof, sales_floor, van
from course.desk.drawing.paper import Paper
from course.desk.drawing.wiring_sheets import HEIGHTS, WIDTH
from scenarios.store.model import Circuit, Rack, Store

Draw = Callable[[Paper], dict[str, Any]]
"""Draws one sketch, and gives back what the desk needs besides: regions for lists."""
AT_ONCE = 4
"""Compressors that one sketch of a rack shows. [-]"""
CONDENSERS = {"condenser_evaporative": roof.condenser, "condenser_air": air_condenser.condenser}
"""Sketches of condensers, by kind."""


@dataclass(frozen=True)
class Sketch:
    """One sketch of a store."""

    id: str
    title: str
    place: str
    draw: Draw
    circuits: tuple[Circuit, ...] = ()
    """Those that share its template."""


@lru_cache(maxsize=8)
def planned(store: Store) -> list[Sketch]:
    """Every sketch of a store, in the order in which one walks."""
    found = [
        Sketch(p.name, p.title, p.name, lambda paper: {"regions": van.van(paper)}) for p in store.places.values() if p.kind == "van"
    ]
    found += _floors(store)
    for rack in store.racks:
        found += _rack(store, rack)
    found += [
        Sketch(
            _numbered("roof", rack.row),
            "Condenser" if len(store.racks) == 1 else f"Condenser, {rack.title}",
            rack.condenser.part.place,
            partial(CONDENSERS[rack.condenser.part.kind.name], store=store, rack=rack),
        )
        for rack in store.racks
    ]
    return found + list(_loose(store, found))


def _numbered(name: str, row: int) -> str:
    """An id for each of several, the first without a number."""
    return name if row == 0 else f"{name}_{row + 1}"


def _floors(store: Store) -> Iterator[Sketch]:
    """Cases and walk-ins of every place they stand in."""
    for kind, id, title in (("case", "floor", "Cases"), ("walk_in", "walkins", "Walk-ins")):
        own = sorted((c for c in store.circuits if c.part.kind.name == kind), key=lambda circuit: circuit.part.place)
        for n, (place, circuits) in enumerate(groupby(own, lambda circuit: circuit.part.place)):
            first, *rest = sorted(circuits, key=lambda circuit: circuit.number)
            where = title if n == 0 else f"{title}, {store.places[place].title}"
            yield Sketch(_numbered(id, n), where, place, partial(_section, circuit=first), (first, *rest))


def _rack(store: Store, rack: Rack) -> Iterator[Sketch]:
    """A rack, as many sketches as its groups need, and its controller's display."""
    pages = [
        (group, group.compressors[n : n + AT_ONCE]) for group in rack.groups for n in range(0, len(group.compressors), AT_ONCE)
    ]
    for n, (group, machines) in enumerate(pages):
        id = _numbered(_numbered("motor_room", rack.row), n)
        title = rack.title if n == 0 else f"{rack.title}, {group.title}"
        whole = n == 0
        first = machines[0] is group.compressors[0]
        yield Sketch(
            id,
            title,
            rack.place,
            partial(motor_room.rack, store=store, rack=rack, group=group if first else None, machines=machines, whole=whole),
        )
    title = "Rack display" if len(store.racks) == 1 else f"{rack.title}, display"
    yield Sketch(_numbered("rack_display", rack.row), title, rack.place, partial(motor_room.rack_display, rack=rack))


def _loose(store: Store, found: list[Sketch]) -> Iterator[Sketch]:
    """Wired parts away from every panel that no other sketch shows, by place."""
    shown = {part.mark for circuit in store.circuits for part in circuit.has.values()}
    for each in found:
        paper = Paper(WIDTH, HEIGHTS["laptop"])
        each.draw(paper)
        shown |= {str(part["id"]) for part in paper.parts}
    loose = [part for part in store.parts.values() if part.kind.wired and part.mark not in shown]
    for place in dict.fromkeys(part.place for part in loose if store.places[part.place].kind != "panel"):
        own = [part for part in loose if part.place == place]
        yield Sketch(f"{place}_more", f"{store.places[place].title}, more", place, partial(loose_parts.boxes, parts=own))


def listed(store: Store) -> list[dict[str, Any]]:
    """Sketches of a store; where ``circuits`` stands, geometry ids are ``floor/C4`` and the plain id means the first."""
    return [
        {
            "id": each.id,
            "title": each.title,
            "place": each.place,
            "kind": "sketch",
            **({"circuits": [circuit.mark for circuit in each.circuits]} if each.circuits else {}),
        }
        for each in planned(store)
    ]


def draw(store: Store, sheet_id: str, paper: Paper) -> dict[str, Any]:
    """Draw one sketch; give back what the desk needs besides: regions for lists, the circuit, its title.

    Raises
    ------
    KeyError
        No such sketch.
    """
    name, _, mark = sheet_id.partition("/")
    found = next((each for each in planned(store) if each.id == name), None)
    if found is None or (mark and not found.circuits):
        raise KeyError(sheet_id)
    return _section(paper, store.circuit(mark)) if mark else found.draw(paper)


def _section(paper: Paper, circuit: Circuit) -> dict[str, Any]:
    """A case or walk-in in section; the list beside it holds both kinds, so either sheet draws whichever is chosen."""
    walk_in = circuit.part.kind.name == "walk_in"
    goods = circuit.title
    title = goods[:1].upper() + goods[1:] if walk_in else f"Case {circuit.number} {goods}".strip()
    (sales_floor.walk_in if walk_in else sales_floor.case)(paper, circuit, title)
    return {
        "title": title,
        "circuit": circuit.mark,
        "regions": {"circuits": {"x": 0.0, "y": 0.0, "w": sales_floor.LEFT, "h": paper.height}},
    }

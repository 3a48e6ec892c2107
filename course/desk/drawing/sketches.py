"""Which sketches a store has, and what of the store they show."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Any

from course.desk.drawing import air_condenser, loose_parts, motor_room, roof, sales_floor, van
from course.desk.drawing.paper import Paper
from course.desk.drawing.wiring_sheets import HEIGHTS, WIDTH
from scenarios.parts.kind import Part, nothing
from scenarios.refrigeration.points import ROLES
from scenarios.store.model import Circuit, Point, Rack, Store

Draw = Callable[[Paper], dict[str, Any]]
"""Draws one sketch, and gives back what the desk needs besides: regions for lists."""
CONDENSERS: dict[str, tuple[Callable[..., dict[str, Any]], int]] = {
    "condenser_evaporative": (roof.condenser, roof.MOST_FANS),
    "condenser_air": (air_condenser.condenser, air_condenser.MOST_FANS),
}
"""How a kind of condenser is drawn, and how many of its fans one sketch shows."""
SECTIONS = {"case": sales_floor.case, "walk_in": sales_floor.walk_in}
"""How a kind of circuit is drawn."""


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
    """Every sketch of a store, in the order in which one walks; every place has a sheet, every part and point is on one."""
    vans = [place for place in store.places.values() if place.kind == "van"]
    found = [Sketch(_numbered("van", n), p.title, p.name, lambda paper: {"regions": van.van(paper)}) for n, p in enumerate(vans)]
    found += _floors(store)
    for rack in store.racks:
        found += _rack(store, rack)
    for rack in store.racks:
        found += _condenser(store, rack)
    return found + list(_loose(store, found))


def _numbered(name: str, row: int, page: int = 0) -> str:
    """An id for each of several, and for each page of one; the first of all has the bare name.

    >>> _numbered("roof", 0), _numbered("roof", 1), _numbered("roof", 1, 2)
    ('roof', 'roof_2', 'roof_2_page_3')
    """
    return name + (f"_{row + 1}" if row else "") + (f"_page_{page + 1}" if page else "")


def _floors(store: Store) -> Iterator[Sketch]:
    """Circuits of every kind in every place they stand in."""
    for kind, id, title in (("case", "floor", "Cases"), ("walk_in", "walkins", "Walk-ins")):
        own = [c for c in store.circuits if c.part.kind.name == kind]
        places = list(dict.fromkeys(c.part.place for c in own))
        for n, place in enumerate(places):
            circuits = tuple(c for c in own if c.part.place == place)
            where = title if len(places) == 1 else f"{title}, {store.places[place].title}"
            yield Sketch(_numbered(id, n), where, place, partial(_section, store=store, circuit=circuits[0]), circuits)


def _rack(store: Store, rack: Rack) -> Iterator[Sketch]:
    """A rack, as many sketches as its groups need, and its controller's display."""
    step = motor_room.AT_ONCE
    pages = [(group, n) for group in rack.groups for n in range(0, max(1, len(group.compressors)), step)]
    for page, (group, n) in enumerate(pages):
        more = ", more" if n else ""
        draw = partial(
            motor_room.rack,
            store=store,
            rack=rack,
            group=None if n else group,
            machines=group.compressors[n : n + step],
            whole=page == 0,
        )
        title = f"{rack.title}, {group.title}{more}" if page else rack.title
        yield Sketch(_numbered("motor_room", rack.row, page), title, rack.place, draw)
    title = "Rack display" if len(store.racks) == 1 else f"{rack.title}, display"
    yield Sketch(_numbered("rack_display", rack.row), title, rack.part.place, partial(motor_room.rack_display, rack=rack))


def _condenser(store: Store, rack: Rack) -> Iterator[Sketch]:
    """A condenser, as many sketches as its fans need."""
    draw, most = CONDENSERS[rack.condenser.part.kind.name]
    title = "Condenser" if len(store.racks) == 1 else f"Condenser, {rack.title}"
    for page, n in enumerate(range(0, max(1, len(rack.fans)), most)):
        own = partial(draw, store=store, rack=rack, fans=rack.fans[n : n + most], whole=page == 0)
        more = f", fans {n + 1} to {min(n + most, len(rack.fans))}" if page else ""
        yield Sketch(_numbered("roof", rack.row, page), f"{title}{more}", rack.condenser.part.place, own)


def _loose(store: Store, found: list[Sketch]) -> Iterator[Sketch]:
    """What no other sketch shows, by place: parts that can be looked at or opened away from a panel, test points, empty places."""
    parts, points = _drawn(found)
    for n, place in enumerate(store.places.values()):
        own = [part for part in store.parts.values() if part.place == place.name and part.mark not in parts and _shown(store, part)]
        spots = [p for p in store.points.values() if p.place == place.name and p.name not in points and p.name not in parts]
        named = place.name in {each.place for each in found} or place.kind == "panel"
        items: list[Part | Point] = [*own, *spots]
        for page, at in enumerate(range(0, len(items) if named else max(1, len(items)), loose_parts.MOST)):
            title = f"{place.title}, more" if named or page else place.title
            draw = partial(loose_parts.boxes, items=items[at : at + loose_parts.MOST], title=place.title)
            yield Sketch(_numbered("more", n, page), f"{title} {page + 1}" if page else title, place.name, draw)


def _shown(store: Store, part: Part) -> bool:
    """Whether a part belongs on a sketch: what a panel holds is on its wiring sheets, and its door is on the desk itself."""
    if part.kind.wired:
        return store.places[part.place].kind != "panel"
    return part.kind.look is not nothing


def _drawn(found: Iterable[Sketch]) -> tuple[set[str], set[str]]:
    """Parts and points that some sketches show."""
    parts: set[str] = set()
    points: set[str] = set()
    for each in found:
        for circuit in each.circuits or (None,):
            paper = Paper(WIDTH, HEIGHTS["laptop"])
            each.draw(paper, **({"circuit": circuit} if circuit else {}))
            parts |= {str(part["id"]) for part in paper.parts}
            points |= {str(point["id"]) for point in paper.points}
    return parts, points


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
    return _section(paper, store, store.circuit(mark)) if mark else found.draw(paper)


def _section(paper: Paper, store: Store, circuit: Circuit) -> dict[str, Any]:
    """A case or walk-in in section; the list beside it holds all circuits of its place, so that any can be chosen."""
    own = (p for p in store.points.values() if p.row == circuit.part.row and ROLES[p.role].scope == "circuit")
    points: dict[str, Point] = {p.role: p for p in own}
    title = _circuit_title(circuit)
    SECTIONS[circuit.part.kind.name](paper, circuit, title, points)
    return {
        "title": title,
        "circuit": circuit.mark,
        "regions": {"circuits": {"x": 0.0, "y": 0.0, "w": sales_floor.LEFT, "h": paper.height}},
    }


def _circuit_title(circuit: Circuit) -> str:
    """How a circuit is headed: case 4 dairy, or Dairy walk-in where its name says what it is."""
    says, goods = circuit.part.title, circuit.title
    whole = goods if circuit.part.kind.title in goods else f"{says} {goods}".strip()
    return whole[:1].upper() + whole[1:]

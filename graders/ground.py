"""What everybody looks at and measures on a tour, place by place, and where the store's live parts are: from the store itself."""

from collections.abc import Iterator, Mapping, Sequence

from graders.tour import Ground
from scenarios.parts.kind import Part
from scenarios.store.model import Circuit, Point, Store

LOOKED_AT = (
    "rack_controller", "gauge", "sight_glass", "receiver", "drier", "compressor", "condenser_evaporative", "condenser_air", "basin",
    "float_valve", "condenser_fan", "spray_pump",
)  # fmt: skip
"""Kinds of parts of the plant that everybody looks at, listens to and reads, in this order."""
MEASURED = (
    ("discharge_pressure", "gauge high {}"),
    ("liquid_temperature", "temp {} how=pipe"),
    ("drain_temperature", "temp {} how=pipe"),
    ("basin_temperature", "temp {}"),
    ("air_in", "temp {} how=wick"),
    ("air_out", "temp {}"),
)
"""Readings of the plant that everybody takes: what is found there, and the step."""


def ground(store: Store, suspected: Sequence[str], switched: Mapping[str, str]) -> Ground:
    """The store as a tour walks it, for suspected parts and what switches their circuits off."""
    circuits = _circuits(store, suspected)
    earth = store.wiring.earth
    back = next((rail.name for rail in store.wiring.rail_kinds.values() if rail.kind == "return"), earth)
    places = tuple(name for name, place in store.places.items() if place.kind != "van")
    doors = {place.name: place.door for place in store.places.values() if place.door}
    found = {place: [*_plant(store, place), *_cases(store, place, circuits)] for place in places}
    return Ground(places, doors, switched, found, earth, back)


def _plant(store: Store, place: str) -> Iterator[str]:
    """Sights, sounds and readings of the plant in a place."""
    for kind in LOOKED_AT:
        for part in store.parts.values():
            if part.place == place and part.kind.name == kind:
                yield from (f"look {part.mark}", f"listen {part.mark}", f"read {part.mark}")
    for role, step in MEASURED:
        own = [p for p in store.points.values() if (p.place, p.role) == (place, role) and p.name not in store.parts]
        here = {point.row: point for point in reversed(own)}
        yield from (step.format(point.name) for _, point in sorted(here.items()))


def _circuits(store: Store, suspected: Sequence[str]) -> list[Circuit]:
    """Refrigerated circuits of which a part is suspected: the case itself, its valve or its solenoid."""
    parts = [store.parts[mark] for mark in suspected if mark in store.parts]
    rows = {part.row for part in parts if _of_circuit(part)}
    return [circuit for circuit in store.circuits if circuit.part.row in rows]


def _of_circuit(part: Part) -> bool:
    return "circuits" in part.kind.tables


def _cases(store: Store, place: str, circuits: Sequence[Circuit]) -> Iterator[str]:
    """Readings at the circuits in question."""
    here = [circuit for circuit in circuits if circuit.part.place == place]
    for circuit in here:
        points: dict[str, Point] = {p.role: p for p in store.points.values() if p.row == circuit.part.row and p.place == place}
        mark = circuit.mark
        yield from (f"read {mark}", f"look {mark}", f"temp {points['air_off'].name}", f"temp {points['outlet'].name} how=pipe")
        yield f"gauge low {points['pressure'].name}"
        if "valve" in circuit.has:
            yield from (f"listen {circuit.has['valve'].mark}", f"feel {circuit.has['valve'].mark}")
    yield from ["ungauge low"] * bool(here)

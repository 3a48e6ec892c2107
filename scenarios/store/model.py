"""A store as records: what its file says, checked and with every default filled in. Raw dictionaries end at the reader.

Nothing here needs a compiler: whoever only draws or lists need not wait for one. Settings of physical records stay as the file
gives them (`fields`, `settings`); `refrigeration.store` makes the records.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from scenarios.electrical.wiring import Supply, Wiring
from scenarios.parts.kind import Part
from scenarios.store.problems import Path

Fields = Mapping[str, Any]
"""Keys of a physical record and their values, as the file gives them."""


@dataclass(frozen=True)
class Place:
    """Where one can stand."""

    name: str
    title: str
    kind: str
    """van, sales_floor, motor_room, panel or roof: what one sees, hears and feels there, and how warm it is."""
    next: float = 0.0
    """Minutes on foot to the next place of the store [min]."""
    door: str = ""
    """Mark of the door that must be open before hands or eyes reach what is inside; empty: none."""
    air: Fields = field(default_factory=dict)
    """Of its air, where that is not as usual."""


@dataclass(frozen=True)
class Point:
    """A test point of the plant: where a gauge or a thermometer goes, and what is true there."""

    name: str
    title: str
    place: str
    quantity: str
    """pressure, temperature or display."""
    role: str
    """What is found there, as `store.points` lists it: drain_temperature."""
    row: int
    """Row of its rack, suction group or circuit."""


@dataclass(frozen=True)
class Unit:
    """One part of the plant, with the parts that belong to it."""

    part: Part
    has: Mapping[str, Part] = field(default_factory=dict)
    """What belongs to it, by role: its motor, its heater."""
    fields: Fields = field(default_factory=dict)
    """Of its physical record."""
    settings: Mapping[str, Fields] = field(default_factory=dict)
    """Of the records beside it, by role or section: its cut-outs, its thermostat."""
    path: Path = ()
    """Where it stands in the file."""


@dataclass(frozen=True)
class Circuit(Unit):
    """One case or walk-in, or what is fed by one valve."""

    title: str = ""
    """What is kept in it."""
    limit: float = 5.0
    """Highest air temperature for its product [C]."""
    limit_fahrenheit: float = 41.0
    """The same as the file writes it [F]."""
    length_ft: float = 0.0
    """Length of a case [ft]; 0: not scaled."""

    @property
    def mark(self) -> str:
        """Its mark."""
        return self.part.mark

    @property
    def number(self) -> int:
        """Its number among all circuits of the store, from 1."""
        return self.part.row + 1


@dataclass(frozen=True)
class SuctionGroup:
    """Compressors on one suction header, and the circuits that feed it."""

    mark: str
    title: str
    row: int
    rack: int
    suction_dew: float
    """Design suction, as dew temperature [C]."""
    compressors: tuple[Unit, ...]
    circuits: tuple[Circuit, ...]
    settings: Mapping[str, Fields] = field(default_factory=dict)
    path: Path = ()


@dataclass(frozen=True)
class Rack:
    """One refrigerant, one charge, one receiver, one condenser, and its suction groups."""

    part: Part
    title: str
    row: int
    place: str
    refrigerant: str
    charge: float
    """[kg]"""
    receiver: Unit
    condenser: Unit
    fans: tuple[Unit, ...]
    pump: Unit | None
    groups: tuple[SuctionGroup, ...]
    settings: Mapping[str, Fields] = field(default_factory=dict)
    path: Path = ()

    @property
    def units(self) -> Iterator[Unit]:
        """Every part of the plant that belongs to it, itself left out."""
        yield from (self.receiver, self.condenser, *self.fans)
        if self.pump is not None:
            yield self.pump
        for group in self.groups:
            yield from (*group.compressors, *group.circuits)


@dataclass(frozen=True, eq=False)
class Store:
    """What all worlds of one store share."""

    id: str
    title: str
    wiring: Wiring
    places: dict[str, Place]
    """In the order in which one walks."""
    racks: tuple[Rack, ...]
    parts: dict[str, Part]
    """Every part by its mark: those of the wiring list first."""
    points: dict[str, Point]
    """Test points of the plant."""
    seal: str = ""
    """SHA-256 over the content of its file."""

    @cached_property
    def groups(self) -> tuple[SuctionGroup, ...]:
        """Suction groups of all racks, in order of rows."""
        return tuple(group for rack in self.racks for group in rack.groups)

    @cached_property
    def compressors(self) -> tuple[Unit, ...]:
        """Compressors of all groups, in order of rows."""
        return tuple(unit for group in self.groups for unit in group.compressors)

    @cached_property
    def circuits(self) -> tuple[Circuit, ...]:
        """Circuits of all groups, in order of rows."""
        return tuple(circuit for group in self.groups for circuit in group.circuits)

    @cached_property
    def fans(self) -> tuple[Unit, ...]:
        """Condenser fans of all racks, in order of rows."""
        return tuple(fan for rack in self.racks for fan in rack.fans)

    @cached_property
    def has(self) -> dict[str, Mapping[str, Part]]:
        """What belongs to a part of the plant, by its mark and the role."""
        return {unit.part.mark: unit.has for rack in self.racks for unit in rack.units}

    def place(self, kind: str) -> str:
        """Name of the first place of a kind; every store has a van and a panel."""
        return next(place.name for place in self.places.values() if place.kind == kind)

    @property
    def supply(self) -> Supply:
        """What the utility brings."""
        return self.wiring.supply

    def circuit(self, mark: str) -> Circuit:
        """One circuit by its mark.

        Raises
        ------
        KeyError
            No circuit has that mark.
        """
        for circuit in self.circuits:
            if circuit.mark == mark:
                return circuit
        raise KeyError(mark)

"""A store as records: what its file says, checked and with every default filled in. Raw dictionaries end at the reader."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from scenarios.parts.kind import Part


@dataclass(frozen=True)
class Place:
    """Where one can stand."""

    name: str
    title: str
    kind: str
    """van, sales_floor, motor_room, panel or roof: what one sees, hears and feels there, and how warm it is."""
    next: float = 0.0
    """Minutes on foot to the next place of the store [min]."""


@dataclass(frozen=True)
class Supply:
    """What the utility brings."""

    line_volts: float
    hertz: float = 60.0
    short_circuit: float = 1e7
    """Short-circuit power at the service [VA]."""
    x_over_r: float = 3.0
    earthed: bool = True

    @property
    def phase_volts(self) -> float:
        """Volts from line to neutral [V]."""
        return float(self.line_volts / 3.0**0.5)


@dataclass(frozen=True)
class Point:
    """A test point of the plant: where a gauge or a thermometer goes, and what is true there."""

    name: str
    title: str
    place: str
    quantity: str
    """pressure or temperature."""
    table: str
    row: int
    field: str
    how: str = ""
    """How a thermometer is held there: pipe, air, packs, wick; empty for pressure."""


@dataclass(frozen=True)
class Circuit:
    """One case or walk-in, or what is fed by one valve."""

    part: Part
    title: str
    limit: float
    """Highest air temperature for its product [C]."""
    row: int
    group: int
    rack: int
    entry: Mapping[str, Any] = field(default_factory=dict)
    """Fields of its physical records as the file gives them."""


@dataclass(frozen=True)
class SuctionGroup:
    """Compressors on one suction header, and the circuits that feed it."""

    mark: str
    row: int
    rack: int
    suction_dew: float
    """Design suction, as dew temperature [C]."""
    compressors: tuple[Part, ...]
    circuits: tuple[Circuit, ...]
    entry: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Rack:
    """One refrigerant, one charge, one receiver, one condenser, and its suction groups."""

    mark: str
    row: int
    refrigerant: str
    charge: float
    """[kg]"""
    groups: tuple[SuctionGroup, ...]
    condenser: Part
    fans: tuple[Part, ...]
    entry: Mapping[str, Any] = field(default_factory=dict)

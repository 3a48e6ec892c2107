"""The wiring list of a store as records: parts, terminals, wires and what lies between terminals; `store.wiring` reads it.

From one list come the drawing, the test points and the network. Pure Python, so that whoever only draws need not wait for a
compiler.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any


@dataclass(frozen=True)
class Supply:
    """What the utility brings."""

    line_volts: float
    """[V]"""
    hertz: float
    """[Hz]"""
    short_circuit: float = 1e7
    """Short-circuit power at the service [VA]."""
    x_over_r: float = 3.0
    """Reactance over resistance of the service [-]."""
    earthed: bool = True

    @property
    def phase_volts(self) -> float:
        """Volts from line to neutral [V]."""
        return float(self.line_volts / 3.0**0.5)

    @property
    def title(self) -> str:
        """How it is spoken of: 480Y/277 V, 60 Hz. Whole volts, cut as the trade cuts them: 400 over root three is 230."""
        return f"{self.line_volts:g}Y/{int(self.phase_volts)} V, {self.hertz:g} Hz"

    @classmethod
    def of(cls, entry: Mapping[str, Any]) -> "Supply":
        """The supply of a store file."""
        return cls(
            float(entry["line_volts"]),
            float(entry["hertz"]),
            1e3 * float(entry.get("short_circuit_kVA", 10000.0)),
            float(entry.get("x_over_r", 3.0)),
            bool(entry.get("earthed", True)),
        )


@dataclass(frozen=True)
class Rail:
    """One conductor that many wires land on."""

    name: str
    kind: str
    """phases, hot, return, neutral or earth."""
    group: str = ""
    """Name of the bundle of rails it belongs to, its own where it stands alone."""
    pair: str = ""
    """Rail that a hot one is fed against."""
    volts: float = 0.0
    """Between a hot rail and its pair [V]."""
    bonded: bool = False
    """Whether a conductor joins it to the earth rail."""


@dataclass(frozen=True)
class Device:
    """One part with a mark."""

    mark: str
    kind: str
    group: str
    place: str
    says: str
    terminals: tuple[str, ...]
    """Its own terminals, as ``K5:1``; an overload's line side belongs to its contactor."""
    contacts: dict[str, str]
    """Switching elements by terminal pair: ``{"13-14": "no"}``."""
    loads: dict[str, str]
    """Loads by terminal pair: ``{"A1-A2": "coil"}``."""
    on: str
    """Mark of the contactor an overload relay sits on, else empty."""
    positions: tuple[str, ...]
    stands: str
    """Position of a selector as the store leaves it."""
    ratings: dict[str, float]
    poles: tuple[tuple[str, str], ...] = ()
    """Line and load terminal of each power pole; for a motor, drive or transformer nothing is joined by a pole."""
    coil: bool = False
    """Whether a coil moves its poles and contacts."""
    follows: bool = False
    """Whether the plant moves its contacts."""
    torque: tuple[int, float] = (0, 0.35)
    """What a motor turns, as the store's tree says: power of speed that its torque goes with [-], and time to full speed with rated
    torque to spare [s]."""
    told: Mapping[str, tuple[Any, ...]] = field(default_factory=dict)
    """Where each of its keys stands in the store file, and under an empty one itself."""

    def at(self, key: str = "") -> tuple[Any, ...]:
        """Where one of its keys stands in the store file, or itself."""
        return self.told.get(key, (*self.told.get("", ()), key))


@dataclass(frozen=True)
class Wire:
    """One conductor from screw to screw; a test point at each end."""

    name: str
    a: str
    b: str
    awg: str
    metres: float
    pole: int
    """Its place among the wires of one hop: 0, 1, 2."""


@dataclass(frozen=True)
class Element:
    """What joins two terminals inside a part."""

    device: str
    symbol: str
    """breaker, fuse, contactor, heater; no, nc, p-no, p-nc, f-no, drive-fault, a selector's position; coil, hours, lamp, input."""
    a: str
    b: str
    role: str
    """pole, contact or load."""
    pole: int
    """Number of the power pole, or of the contact within its device."""


@dataclass(frozen=True)
class Run:
    """One bundle or string as the list gives it: the order in which a drawing follows it."""

    name: str
    kind: str
    """bundle or string."""
    stops: tuple[tuple[str, ...], ...]
    """Terminals or rails of every stop: power terminals entering then leaving; the two terminals of a control element."""
    parts: tuple[str, ...]
    """Mark of every stop, or the rails it names."""
    wires: tuple[str, ...]


@dataclass
class Wiring:
    """A store's wiring, checked."""

    devices: dict[str, Device]
    rails: list[str]
    rail_kinds: dict[str, Rail]
    terminals: list[str]
    """Rails first, then every terminal in order of the list: the position is the node number."""
    wires: list[Wire]
    elements: list[Element]
    runs: list[Run]
    supply: Supply

    @cached_property
    def node(self) -> dict[str, int]:
        """Node number of every rail and terminal."""
        return {name: number for number, name in enumerate(self.terminals)}

    @cached_property
    def wires_at(self) -> dict[str, list[Wire]]:
        """Wires landed on every terminal or rail, in order of the list."""
        found: dict[str, list[Wire]] = {name: [] for name in self.terminals}
        for wire in self.wires:
            found[wire.a].append(wire)
            found[wire.b].append(wire)
        return found

    @cached_property
    def phases(self) -> tuple[str, ...]:
        """Rails of the supply, in order."""
        return tuple(name for name, rail in self.rail_kinds.items() if rail.kind == "phases")

    @cached_property
    def earth(self) -> str:
        """Rail that everything is earthed to; empty where there is none."""
        return next((name for name, rail in self.rail_kinds.items() if rail.kind == "earth"), "")

    def part(self, terminal: str) -> str:
        """Mark of the part a terminal belongs to; a rail is its own part."""
        return terminal.split(":")[0]

    def elements_of(self, mark: str) -> list[Element]:
        """Poles, contacts and loads of one part."""
        return [element for element in self.elements if element.device == mark]

"""What is ever asked of a part, as columns of one record. A kind fills in what is true of it and nothing else.

A kind's module calls `kind(...)` once and is thereby known by its name. Stores are trees of `Part` instances; whoever needs
something of a part asks its kind, never its mark.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

Poles = tuple[tuple[str, str], ...]


class Tie(NamedTuple):
    """One number that crosses between wiring and plant; the row in the plant is the part's own."""

    wiring: str
    """Table of the wiring: motor (its speed goes to the plant), load (its volts do), shaft (the plant loads a motor), follower
    (the plant moves a contact) or drive (the plant gives its reference)."""
    port: str
    """Port of the plant, as ``circuits.solenoid``."""


class Role(NamedTuple):
    """A wired part that a part of the plant has, by what it is to it: a compressor's motor."""

    kinds: tuple[str, ...]
    """Kinds of parts that may fill it."""
    ties: tuple[Tie, ...] = ()
    needed: bool = True
    """Whether a store must name one."""


class Fault(NamedTuple):
    """A way a part can fail: which parameters are another then. Symptoms are nowhere; they follow."""

    each: str
    """What it is counted by: part, pole, contact, load, joint, winding, lead, phase."""
    mode: str
    """One of the twelve fault words."""
    prior: str
    """common, occasional or rare."""
    title: str
    changes: Mapping[str, Any]
    mends: tuple[str, ...] = ("replace $part",)
    at: str = ""


class Seen(NamedTuple):
    """One aspect of a sight or sound: a category that worlds are compared by, and how it is said."""

    aspect: str
    category: str
    words: str


@dataclass(frozen=True)
class Here:
    """A part in a world, before a person: all that a sense may ask."""

    world: Any
    person: Any
    part: "Part"

    def row(self, table: str) -> Any:
        """Its own row of a table of the plant."""
        return getattr(self.world.plant, table)[self.part.row]


def nothing(here: Here) -> Iterator[Seen]:
    """Nothing to be noticed."""
    return iter(())


@dataclass(frozen=True)
class Kind:
    """A kind of part."""

    name: str
    title: str
    """The trade's word for it."""
    wired: bool = True
    """Whether a wiring list names it; otherwise the tree of the plant makes it."""
    # in the wiring
    into: tuple[str, ...] = ()
    """Power terminals on the line side, in order of poles."""
    out: tuple[str, ...] = ()
    """Power terminals on the load side, in order of poles."""
    pole: str = ""
    """Symbol of what joins line and load side, pole by pole; empty: nothing does."""
    coil: bool = False
    """Whether it has a coil that moves its poles and contacts."""
    ratings: Mapping[str, float | None] = field(default_factory=dict)
    """Ratings a store file may give; None: must be given."""
    # in the plant
    tables: tuple[str, ...] = ()
    """Tables of the plant in which its row is."""
    roles: Mapping[str, Role] = field(default_factory=dict)
    """Wired parts that belong to it."""
    # to the senses
    look: Callable[[Here], Iterator[Seen]] = nothing
    listen: Callable[[Here], Iterator[Seen]] = nothing
    read: Callable[[Here], Iterator[Any]] = nothing
    """What its plate, dial or display says, as `facts.Observed`."""
    warmth: Callable[[Here], float] | None = None
    """Surface temperature [C]."""
    # to hands
    cover: str = ""
    """What one opens to reach its terminals; empty: nothing of its own."""
    acts: tuple[str, ...] = ()
    spare: str = ""
    minutes: float = 0.0
    """Time to change it [min]."""
    renews: tuple[str, ...] = ()
    """Parameters of the plant that come with the spare."""
    dial: tuple[str, ...] = ()
    """Units of its dial, the one on its scale first; empty: no dial."""
    prove: str = "nothing"
    """What must read dead before hands go on it: line, load, leads, elements, nothing."""
    safety: bool = False
    """Whether bridging or blocking it takes a protection away."""
    # on paper
    symbol: str = ""
    faults: Mapping[str, Fault] = field(default_factory=dict)


@dataclass(frozen=True)
class Part:
    """One part of one store. What it belongs to is an object, never a piece of its mark."""

    mark: str
    kind: Kind
    title: str
    """How it is spoken of in this store: compressor 1 motor."""
    place: str
    """Name of its place in the store file."""
    row: int = -1
    """Its row in the tables of its kind; -1: it has none."""
    owner: "Part | None" = None
    """What it belongs to: a motor to its compressor, a solenoid to its case."""
    rack: int = -1
    """Row of its rack; -1: of none."""
    group: int = -1
    """Row of its suction group; -1: of none."""


KINDS: dict[str, Kind] = {}


def kind(**columns: Any) -> Kind:
    """Declare a kind; a name is taken once.

    Raises
    ------
    ValueError
        Two modules declare one name.
    """
    made = Kind(**columns)
    if made.name in KINDS:
        raise ValueError(f"kind {made.name} is declared twice")
    KINDS[made.name] = made
    return made

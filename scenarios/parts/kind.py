"""What is ever asked of a part, as columns of one record. A kind fills in what is true of it and nothing else.

A kind's module calls `kind(...)` once and is thereby known by its name. Stores are trees of `Part` instances; whoever needs
something of a part asks its kind, never its mark.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from scenarios.facts import EventKind, Observed
from scenarios.parts.wired import Wired


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
    spare: str = ""
    """What the van may hold for it there, where that differs from its kind's."""
    minutes: float = 0.0
    """Time to change it there, likewise [min]; common practice."""


class Fault(NamedTuple):
    """A way a part can fail: which parameters are another then. Symptoms are nowhere; they follow.

    Every text is filled in for each place a fault can sit: ``$part`` mark, ``$says`` how the part is spoken of, ``$row`` its row
    in the plant, ``$owner`` how what it belongs to is spoken of; by what it is counted by also ``$n`` (from 1), ``$i`` (from 0),
    ``$pair``, ``$a`` or ``$terminal$which``.
    """

    each: str
    """What it is counted by: part, group (of a rack), pole, contact, load, coil, winding, phase, power_joint or control_joint."""
    mode: str
    """One of the twelve fault words."""
    prior: str
    """common, occasional or rare: coarse, common practice, no source."""
    title: str
    """In plain words."""
    changes: Mapping[str, Any]
    """Side and path of a parameter -> value; a list holds severities, mildest first; {"times": ...} multiplies and {"plus": ...}
    adds to the sound value, {"charge": ...} is a share of the rack's charge."""
    mends: tuple[str, ...] = ("replace $part",)
    """Beginnings of steps that make it sound again, whether or not the van holds the part; none: no work for one night."""
    at: str = ""
    """Where on the part, if what it is counted by does not say it."""


@dataclass(frozen=True)
class Dial:
    """Scale printed on a part that is set by hand."""

    units: tuple[str, ...]
    """Units it may be set in, the printed one first."""
    least: float
    """Lower end of the scale, in the printed unit or as a share of a rating."""
    most: float
    """Upper end, likewise."""
    share_of: str = ""
    """Rating that both ends are shares of; empty: they are the printed figures."""
    turns: str = ""
    """Parameter of the plant that it turns, as table.field; empty: a trip rating of the wiring."""
    ceiling: bool = False
    """Whether it may never go above the store's own value."""

    def ends(self, ratings: Mapping[str, float]) -> tuple[float, float]:
        """Both ends in the printed unit, for a part of some ratings."""
        whole = ratings[self.share_of] if self.share_of else 1.0
        return self.least * whole, self.most * whole

    def printed(self, ratings: Mapping[str, float]) -> str:
        """Both ends as one reads them."""
        least, most = self.ends(ratings)
        return f"from {least:g} to {most:g} {self.units[0]}"


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
        """Its row of a table of the plant: its own, or that of what it stands with."""
        return getattr(self.world.plant, table)[self.part.row_in(table)]

    def of_rack(self, table: str) -> Any:
        """Its rack's row of a table of the plant."""
        return getattr(self.world.plant, table)[self.part.rack]

    @property
    def fluid(self) -> Any:
        """Scalars of its rack's refrigerant."""
        plant = self.world.plant
        return plant.fluids.about[int(plant.racks[self.part.rack].fluid)]

    @property
    def device(self) -> Any:
        """Its entry in the wiring list."""
        return self.world.wiring.devices[self.part.mark]

    @property
    def wired(self) -> Wired:
        """Its state as a part of the wiring."""
        return Wired(self.world, self.part.mark)

    def speed(self, role: str = "motor") -> float:
        """Speed of a motor that belongs to it, over its synchronous one; without direction [-]."""
        return abs(Wired(self.world, self.world.store.has[self.part.mark][role].mark).speed)


Sense = Callable[[Here], Iterator[Seen]]


def nothing(here: Here) -> Iterator[Seen]:
    """Nothing to be noticed."""
    return iter(())


def no_plate(here: Here) -> Iterator[Observed]:
    """Nothing to be read."""
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
    """Whether it has a coil A1-A2 that moves its poles and contacts."""
    follows: bool = False
    """Whether the plant moves its contacts."""
    ratings: Mapping[str, float | None] = field(default_factory=dict)
    """Ratings a store file may give; None: must be given."""
    # in the plant
    tables: tuple[str, ...] = ()
    """Tables of the plant in which its row is."""
    roles: Mapping[str, Role] = field(default_factory=dict)
    """Wired parts that belong to it."""
    torque: tuple[int, float] = (0, 0.35)
    """What it asks of the motor that turns it: power of speed that the torque goes with [-], and time to full speed with rated
    torque to spare [s]; common practice."""
    # to the senses
    look: Sense = nothing
    listen: Sense = nothing
    read: Callable[[Here], Iterator[Observed]] = no_plate
    """What its plate, dial or display says."""
    warmth: Callable[[Here], float] | None = None
    """Surface temperature, joints left out [C]; None: that of its place."""
    heard: Mapping[EventKind, str] = field(default_factory=dict)
    """What of an event is heard beside it: kind of event -> how it sounds, ``{0}`` for its mark."""
    carries: tuple[EventKind, ...] = ()
    """Events that are heard at the panel as well."""
    # to hands
    acts: tuple[str, ...] = ()
    """Steps one is offered, as ``step:words``; ``{p}`` is its mark, ``?`` a value still to be given."""
    spare: str = ""
    """What the van may hold for it; empty: nothing one changes at night."""
    minutes: float = 0.0
    """Time to change it [min]; common practice."""
    renews: tuple[str, ...] = ()
    """Parameters of the plant that come with the spare: table.field, or a whole row of a table."""
    armature: bool = False
    """Whether it can be pushed in by hand."""
    handle: bool = False
    """Whether it is switched, and locked, by a handle."""
    hosed: bool = False
    """Whether water may go over it."""
    dial: Dial | None = None
    """What is set by hand; None: nothing can."""
    prove: str = "line"
    """Which power terminals must read dead before hands go on it: line, load or all (there is nothing between them)."""
    safety: bool = False
    """Whether bridging or blocking it takes a protection away."""
    electronic: bool = False
    """Whether 500 V kill it."""
    # on paper
    symbol: str = ""
    """Symbol of its elements where it is not that of the element itself: a name, or strokes as a relative path around its middle,
    24 wide."""
    faults: Mapping[str, Fault] = field(default_factory=dict)

    @property
    def resets(self) -> bool:
        """Whether it is reset by hand once it has opened: one is offered it, or its handle does it."""
        return self.handle or any(act.startswith("reset ") for act in self.acts)


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
    """Row of its suction group, of a rack's controller the first; -1: of none."""
    rows: Mapping[str, int] = field(default_factory=dict)
    """Its row in tables that are not of its kind: a coil's in those of its spray."""

    @property
    def number(self) -> int:
        """Its number among those of its kind, from 1."""
        return self.row + 1

    def row_in(self, table: str) -> int:
        """Its own row of a table of the plant, or that of its suction group or rack."""
        if table in self.rows:
            return self.rows[table]
        return self.row if table in self.kind.tables else self.group if table in OF_GROUPS else self.rack

    @property
    def role(self) -> Role:
        """What it is to its owner; nothing in particular where it has none."""
        roles = self.owner.kind.roles.values() if self.owner else ()
        return next((role for role in roles if self.kind.name in role.kinds), Role((self.kind.name,)))

    @property
    def spare(self) -> str:
        """What the van may hold for it; empty: nothing one changes at night."""
        return self.role.spare or self.kind.spare

    @property
    def minutes(self) -> float:
        """Time to change it [min]."""
        return self.role.minutes or self.kind.minutes


OF_GROUPS = ("suction", "suction_state", "staging", "staging_state")
"""Tables of the plant with one row a suction group."""
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

"""What eyes, ears, hands and nose notice, computed from the state of a world.

Every aspect is a category with the words for it, so that the same sight can be compared between worlds. Nothing here gives an
opinion: a blue lug is blue, a contactor is in or out.
"""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts import places
from scenarios.parts.kind import Here, Seen
from scenarios.parts.wired import loose, warmest
from scenarios.site import World
from scenarios.visit import scenery
from scenarios.visit.technician import Technician

BLUE_ABOVE = 120.0
"""Copper and tinned lugs that were hotter than this keep a blue or brown tint [C]; common practice."""
SMELL_ABOVE = 90.0
"""A joint hotter than this now can be smelt in a closed panel [C]; common practice."""
HAND_WORDS = (
    (4.0, "cold"),
    (20.0, "cool"),
    (32.0, "about room temperature"),
    (45.0, "warm"),
    (58.0, "hot"),
    (1e9, "too hot to hold"),
)
"""Upper edge of what a hand calls it [C]; common practice."""


def hand_word(celsius: float) -> str:
    """What a hand says of a surface.

    >>> hand_word(25.0), hand_word(50.0)
    ('about room temperature', 'hot')
    """
    return next(word for edge, word in HAND_WORDS if celsius < edge)


def here_is(world: World, person: Technician, mark: str) -> Here | None:
    """A part in a world, before a person; None for what is no part."""
    part = world.store.parts.get(mark)
    return Here(world, person, part) if part else None


def look(world: World, person: Technician, mark: str) -> list[Observed]:
    """What can be seen of a part from where one stands, cover as it is."""
    here = here_is(world, person, mark)
    if here is None:
        return []
    found = [_sight(mark, seen) for seen in here.part.kind.look(here)]
    if mark not in world.wiring.devices:
        return found
    if person.door_open or places.kind_of(world, here.part.place) != "panel":
        found += _lugs(here)
    if mark in person.covers:
        found += [_sight(mark, seen) for seen in _contacts(here)]
    where = "with its cover off" if mark in person.covers else "from outside"
    return found or [_sight(mark, Seen("outside", "sound", f"Nothing to be seen {where}."))]


def _sight(of: str, seen: Seen) -> Observed:
    return Observed(f"{of} {seen.aspect}", "look", category=seen.category, words=seen.words)


def _lugs(here: Here) -> list[Observed]:
    """Tint of every power joint on a part; only tinted ones get words of their own."""
    world, mark, joints = here.world, here.part.mark, here.wired.power_joints()
    over = {terminal: joint_temperature(world, terminal, "peak") > BLUE_ABOVE for terminal in joints}
    if not over:
        return []
    blue = [terminal.partition(":")[2] for terminal, tinted in over.items() if tinted]
    words = f"Lug at {', '.join(blue)} is blue, insulation browned." if blue else "Lugs are bright."
    found = [_sight(terminal, Seen("lug", "blue" if tinted else "bright", "")) for terminal, tinted in over.items()]
    return [*found, _sight(mark, Seen("lugs", "blue" if blue else "bright", words))]


def _contacts(here: Here) -> Iterator[Seen]:
    """State of the power contacts with the arc chute off."""
    for n, burnt in enumerate(here.wired.poles_burnt(), 1):
        pole = f"{2 * n - 1}-{2 * n}"
        words = f"Pole {pole}: contact burnt away." if burnt else f"Pole {pole}: contact whole, grey from use."
        yield Seen(f"pole {pole}", "burnt" if burnt else "sound", words)


def listen(world: World, person: Technician, mark: str) -> list[Observed]:
    """What a part sounds like now."""
    here = here_is(world, person, mark)
    heard = list(here.part.kind.listen(here)) if here else []
    if not heard:
        heard = [Seen("sound", "silent", "Silent." if mark in world.wiring.devices else "Nothing to be heard from it.")]
    return [Observed(f"{mark} {seen.aspect}", "sound", category=seen.category, words=seen.words) for seen in heard]


def surface(world: World, person: Technician, mark: str) -> float:
    """Surface temperature of a part or pipe, for a hand or an infrared thermometer. [C]"""
    here = here_is(world, person, mark)
    if here is None:
        return places.ambient_of(world, person.place)
    own = here.part.kind.warmth(here) if here.part.kind.warmth else places.ambient_of(world, here.part.place)
    if mark not in world.wiring.devices:
        return own
    return max([own, *(joint_temperature(world, terminal) for terminal in here.wired.joints())])


def joint_temperature(world: World, terminal: str, field: str = "warm") -> float:
    """Temperature of the hottest joint at a terminal, now or, by ``peak``, ever. [C]"""
    place = world.wiring.devices[world.wiring.part(terminal)].place
    return places.ambient_of(world, place) + warmest(world, terminal, field)


def feel(world: World, person: Technician, mark: str) -> list[Observed]:
    """What a hand says of a part's warmth."""
    word = hand_word(surface(world, person, mark))
    return [Observed(f"{mark} warmth", "look", category=word, words=f"{word.capitalize()}.")]


def smell(world: World, place: str) -> list[Observed]:
    """What the air of a place smells of."""
    hot = places.kind_of(world, place) == "panel" and hottest_joint(world, place) > SMELL_ABOVE
    category = "scorched" if hot else "nothing"
    words = "Scorched insulation." if hot else "Nothing out of the way."
    return [Observed(f"{place} smell", "smell", category=category, words=words)]


def hottest_joint(world: World, place: str) -> float:
    """Hottest joint of the wiring, as it is smelt at the panel. [C]"""
    wires = world.network.state.wires
    return places.ambient_of(world, place) + float(max(wires.warm_a.max(), wires.warm_b.max()))


def tug(world: World, terminal: str) -> list[Observed]:
    """Whether a wire moves in its lug."""
    moves = loose(world, terminal)
    words = "It moves in the lug." if moves else "Firm."
    return [Observed(f"{terminal} tug", "look", category="loose" if moves else "firm", words=words)]


def read(world: World, person: Technician, mark: str) -> list[Observed]:
    """Plate, dial, display or setting of a part, or a display that is a point of its own."""
    here = here_is(world, person, mark)
    if here is None:
        point = world.store.points.get(mark)
        if point is None or point.quantity != "display":
            return []
        return [Observed(mark, "display", world.point(mark), instrument="display-temperature")]
    found = list(here.part.kind.read(here))
    if found or mark not in world.wiring.devices:
        return found
    return [_sight(mark, Seen("plate", "plate", f"{here.part.title.capitalize()}; nothing more on it."))]


def noticed(world: World, person: Technician) -> list[tuple[str, str]]:
    """What anybody notices on standing here: pairs of (see, hear, feel or smell; words)."""
    found = list(scenery.scene(world, person.place, person.door_open))
    scent = smell(world, person.place)[0]
    if scent.category != "nothing":
        found.append(("smell", scent.words))
    return found

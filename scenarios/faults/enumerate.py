"""Where each fault of a kind can sit in a store: one set of words for every place, to be filled into its row."""

from collections.abc import Callable, Iterator
from typing import Any

from scenarios.electrical.wiring import Device
from scenarios.parts.kind import Part
from scenarios.store.model import Store

Words = dict[str, str]
"""``$part``, ``$at`` and whatever else a row uses."""


def base(part: Part) -> Words:
    """What can be said of a part wherever on it a fault sits."""
    owner = part.owner.title if part.owner else ""
    rows = {"row": str(part.row), "rack": str(part.rack), "group": str(part.group)}
    rows |= {table: str(row) for table, row in part.rows.items()}
    return {"part": part.mark, "says": part.title, "owner": owner, "at": "", "key": part.mark, **rows}


def parts(store: Store, part: Part) -> Iterator[Words]:
    """The part as a whole."""
    yield base(part)


def groups(store: Store, part: Part) -> Iterator[Words]:
    """Every suction group of a rack; where there is one only, it needs no name."""
    own = store.racks[part.rack].groups
    for n, group in enumerate(own, 1):
        named = (
            {"which": f"_{n}", "of": f" of the {group.title} group", "key": f"{part.mark}:{n}"}
            if len(own) > 1
            else {"which": "", "of": ""}
        )
        yield base(part) | {"group": str(group.row), **named}


def poles(store: Store, part: Part) -> Iterator[Words]:
    """Every power pole, heater or fuse; it sits at its line terminal, a heater at its own."""
    device = store.wiring.devices[part.mark]
    for i, (line, load) in enumerate(device.poles):
        at = load if device.on else line
        yield base(part) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def _pairs(part: Part, pairs: Iterator[str]) -> Iterator[Words]:
    for pair in pairs:
        at = f"{part.mark}:{pair.split('-')[0]}"
        yield base(part) | {"pair": pair, "at": at, "key": at, "a": at}


def contacts(store: Store, part: Part) -> Iterator[Words]:
    """Every auxiliary or control contact."""
    yield from _pairs(part, iter(store.wiring.devices[part.mark].contacts))


def loads(store: Store, part: Part) -> Iterator[Words]:
    """Every coil, lamp, counter or input."""
    yield from _pairs(part, iter(store.wiring.devices[part.mark].loads))


def coils(store: Store, part: Part) -> Iterator[Words]:
    """Every coil."""
    yield from _pairs(part, (pair for pair, symbol in store.wiring.devices[part.mark].loads.items() if symbol == "coil"))


def leads(store: Store, part: Part) -> Iterator[Words]:
    """Every winding of a motor at its lead, or line of the service at its terminal."""
    for i, terminal in enumerate((*part.kind.into, *part.kind.out)[:3]):
        at = f"{part.mark}:{terminal}"
        yield base(part) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def _joints(store: Store, device: Device, part: Part, power: bool) -> Iterator[Words]:
    heavy = {f"{part.mark}:{terminal}" for terminal in (*part.kind.into, *part.kind.out)}
    for terminal in device.terminals:
        if (terminal in heavy) != power:
            continue
        wires = store.wiring.wires_at[terminal]
        for wire in wires:
            which = f" {wire.name}" if len(wires) > 1 else ""
            yield base(part) | {"terminal": terminal, "which": which, "at": terminal, "key": terminal + which.replace(" ", ":")}


def power_joints(store: Store, part: Part) -> Iterator[Words]:
    """Every wire end at a power terminal."""
    yield from _joints(store, store.wiring.devices[part.mark], part, True)


def control_joints(store: Store, part: Part) -> Iterator[Words]:
    """Every wire end at a control terminal."""
    yield from _joints(store, store.wiring.devices[part.mark], part, False)


EACH: dict[str, Callable[[Store, Part], Iterator[Words]]] = {
    "part": parts,
    "group": groups,
    "pole": poles,
    "contact": contacts,
    "load": loads,
    "coil": coils,
    "winding": leads,
    "phase": leads,
    "power_joint": power_joints,
    "control_joint": control_joints,
}
"""What a row may count by."""


def filled(text: Any, words: Words) -> str:
    """A text with its ``$`` words filled in, longest first."""
    got = str(text)
    for word in sorted(words, key=len, reverse=True):
        got = got.replace(f"${word}", words[word])
    return got

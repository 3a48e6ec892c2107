"""Where each fault of the catalogue can sit in a store: one set of words for every place, to be filled into its entry."""

from collections.abc import Callable, Iterator
from typing import Any

from scenarios.electrical.kinds import KINDS
from scenarios.electrical.wiring import Device
from scenarios.store.model import Store

Words = dict[str, str]
"""``$part``, ``$at`` and whatever else an entry uses."""


def _base(store: Store, device: Device) -> Words:
    row = store.parts[device.mark].row
    about = {"part": device.mark, "says": device.says, "at": "", "key": device.mark, "group": device.group}
    return about | {"row": str(row) if row >= 0 else ""}


def parts(store: Store, device: Device) -> Iterator[Words]:
    """The device as a whole."""
    yield _base(store, device)


def poles(store: Store, device: Device) -> Iterator[Words]:
    """Every power pole, heater or fuse; it sits at its line terminal, a heater at its own."""
    for i, (line, load) in enumerate(device.poles):
        at = load if device.on else line
        yield _base(store, device) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def contacts(store: Store, device: Device) -> Iterator[Words]:
    """Every auxiliary or control contact."""
    for pair in device.contacts:
        at = f"{device.mark}:{pair.split('-')[0]}"
        yield _base(store, device) | {"pair": pair, "at": at, "key": at, "a": at}


def loads(store: Store, device: Device) -> Iterator[Words]:
    """Every coil, lamp, counter or input."""
    for pair in device.loads:
        at = f"{device.mark}:{pair.split('-')[0]}"
        yield _base(store, device) | {"pair": pair, "at": at, "key": at, "a": at}


def coils(store: Store, device: Device) -> Iterator[Words]:
    """Every coil."""
    for words in loads(store, device):
        if device.loads[words["pair"]] == "coil":
            yield words


def windings(store: Store, device: Device) -> Iterator[Words]:
    """Every winding of a motor, at its lead."""
    for i in range(3):
        at = f"{device.mark}:T{i + 1}"
        yield _base(store, device) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def phases(store: Store, device: Device) -> Iterator[Words]:
    """Every line of the service."""
    for i in range(3):
        at = f"{device.mark}:L{i + 1}"
        yield _base(store, device) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def _joints(store: Store, device: Device, power: bool) -> Iterator[Words]:
    kind = KINDS[device.kind]
    heavy = {f"{device.mark}:{t}" for t in (*kind.into, *kind.out)}
    for terminal in device.terminals:
        if (terminal in heavy) != power:
            continue
        wires = store.wiring.wires_at[terminal]
        for wire in wires:
            which = f" {wire.name}" if len(wires) > 1 else ""
            yield _base(store, device) | {
                "terminal": terminal,
                "which": which,
                "at": terminal,
                "key": terminal + which.replace(" ", ":"),
            }


def power_joints(store: Store, device: Device) -> Iterator[Words]:
    """Every wire end at a power terminal."""
    yield from _joints(store, device, True)


def control_joints(store: Store, device: Device) -> Iterator[Words]:
    """Every wire end at a control terminal."""
    yield from _joints(store, device, False)


EACH: dict[str, Callable[[Store, Device], Iterator[Words]]] = {
    "part": parts,
    "pole": poles,
    "contact": contacts,
    "load": loads,
    "coil": coils,
    "winding": windings,
    "phase": phases,
    "power_joint": power_joints,
    "control_joint": control_joints,
}
"""What an entry may count by."""


def plant_places(store: Store, of: str) -> Iterator[Words]:
    """Circuits or compressors of the store; or the one plant."""
    if of == "plant":
        yield {"group": "plant"}
        return
    units, role = (store.circuits, "solenoid") if of == "circuit" else (store.compressors, "motor")
    for unit in units:
        row, group = unit.part.row, store.wiring.devices[unit.has[role].mark].group
        yield {"n": str(row + 1), "i": str(row), "case": unit.part.title, "group": group}


def filled(text: Any, words: Words) -> str:
    """A text with its ``$`` words filled in, longest first."""
    got = str(text)
    for word in sorted(words, key=len, reverse=True):
        got = got.replace(f"${word}", words[word])
    return got

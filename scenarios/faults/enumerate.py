"""Where each fault of the catalogue can sit in a store: one set of words for every place, to be filled into its entry."""

from collections.abc import Callable, Iterator
from typing import Any

from scenarios.electrical.kinds import KINDS
from scenarios.electrical.wiring import Device, Wiring

Words = dict[str, str]
"""``$part``, ``$at`` and whatever else an entry uses."""


def _base(device: Device) -> Words:
    number = "".join(c for c in device.plant if c.isdigit())
    row = str(int(number) - 1) if number else ""
    return {"part": device.mark, "says": device.says, "at": "", "key": device.mark, "group": device.group, "row": row}


def parts(wiring: Wiring, device: Device) -> Iterator[Words]:
    """The device as a whole."""
    yield _base(device)


def poles(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every power pole, heater or fuse; it sits at its line terminal, a heater at its own."""
    for i, (line, load) in enumerate(device.poles):
        at = load if device.on else line
        yield _base(device) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def contacts(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every auxiliary or control contact."""
    for pair in device.contacts:
        at = f"{device.mark}:{pair.split('-')[0]}"
        yield _base(device) | {"pair": pair, "at": at, "key": at, "a": at}


def loads(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every coil, lamp, counter or input."""
    for pair in device.loads:
        at = f"{device.mark}:{pair.split('-')[0]}"
        yield _base(device) | {"pair": pair, "at": at, "key": at, "a": at}


def coils(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every coil."""
    for words in loads(wiring, device):
        if device.loads[words["pair"]] == "coil":
            yield words


def windings(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every winding of a motor, at its lead."""
    for i in range(3):
        at = f"{device.mark}:T{i + 1}"
        yield _base(device) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def phases(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every line of the service."""
    for i in range(3):
        at = f"{device.mark}:L{i + 1}"
        yield _base(device) | {"n": str(i + 1), "i": str(i), "at": at, "key": at}


def _joints(wiring: Wiring, device: Device, power: bool) -> Iterator[Words]:
    kind = KINDS[device.kind]
    heavy = {f"{device.mark}:{t}" for t in (*kind.into, *kind.out)}
    for terminal in device.terminals:
        if (terminal in heavy) != power:
            continue
        wires = wiring.wires_at[terminal]
        for wire in wires:
            which = f" {wire.name}" if len(wires) > 1 else ""
            yield _base(device) | {"terminal": terminal, "which": which, "at": terminal, "key": terminal + which.replace(" ", ":")}


def power_joints(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every wire end at a power terminal."""
    yield from _joints(wiring, device, True)


def control_joints(wiring: Wiring, device: Device) -> Iterator[Words]:
    """Every wire end at a control terminal."""
    yield from _joints(wiring, device, False)


EACH: dict[str, Callable[[Wiring, Device], Iterator[Words]]] = {
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


def plant_places(wiring: Wiring, of: str) -> Iterator[Words]:
    """Circuits or compressors of the store, found by what the wiring list says it drives; or the one plant."""
    if of == "plant":
        yield {"group": "plant"}
        return
    bound = {"circuit": "solenoid ", "compressor": "compressor "}[of]
    for device in wiring.devices.values():
        number = device.plant.removeprefix(bound)
        if device.plant.startswith(bound) and number.isdigit() and device.kind in ("solenoid", "motor3"):
            case = device.says.removesuffix(" liquid solenoid")
            yield {"n": number, "i": str(int(number) - 1), "case": case, "group": device.group}


def filled(text: Any, words: Words) -> str:
    """A text with its ``$`` words filled in, longest first."""
    got = str(text)
    for word in sorted(words, key=len, reverse=True):
        got = got.replace(f"${word}", words[word])
    return got

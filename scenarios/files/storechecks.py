"""What the world cannot run yet of a store file that is otherwise in order: refused with a sentence, never run half.

One rack with one condenser, one spray pump and one fan; its parts are known to the drawings and to the plant by fixed marks and
places. Whoever widens the world takes the row out of here.
"""

from collections import Counter
from collections.abc import Iterator
from itertools import product
from typing import Any

from scenarios.electrical.expand import with_numbers
from scenarios.electrical.wiring import Wiring

Problem = tuple[tuple[Any, ...], str]

PLACES = ("van", "floor", "motor_room", "panel", "roof")
"""Places that can be seen and walked to."""
MOST_COMPRESSORS = 4
"""Machines that the motor room has room for."""
ONE = {"pump": ("M5", "motor3", "roof"), "fan": ("M6", "motor3", "roof")}
"""What the plant has one of: mark, kind and place of the part that is it."""
EACH_COMPRESSOR = {
    "compressor": ("M", "motor3", "motor_room"), "crankcase": ("E", "crankcase_heater", "motor_room"),
    "high pressure": ("HP", "high_pressure", "motor_room"), "low pressure": ("LP", "low_pressure", "motor_room"),
}  # fmt: skip
"""What every compressor has one of: beginning of its mark, kind and place."""
EACH_CIRCUIT = {"solenoid": ("SV", "solenoid", "floor")}
"""What every circuit has one of."""
ANY = {"call compressor": "compressors", "call liquid": "circuits", "call pump": "", "call fan": "", "basin level": ""}
"""What any number of contacts may follow, and the list that numbers it."""
ELSEWHERE = {"MP": "motor_room", "S5": "roof"}
"""Other parts that are drawn outside the panel."""


def names(data: dict[str, Any]) -> Iterator[Problem]:
    """Problems of places, and marks that are two parts: only one entry of a mark may say what kind of part it is."""
    for name in sorted(set(data["places"]) ^ set(PLACES)):
        yield ("places", name), f"{name!r} is {'missing' if name in PLACES else 'unknown'}, allowed are {' '.join(PLACES)}"
    said = Counter(mark for _, mark, entry in _entries(data, "devices") if "kind" in entry)
    for place, mark, entry in _entries(data, "devices"):
        if "kind" in entry and said[mark] > 1:
            yield place, f"{mark} is said to be a part {said[mark]} times, allowed is once; further entries only add to it"


def runs(data: dict[str, Any], wiring: Wiring) -> Iterator[Problem]:
    """Problems of a store whose wiring list is sound in itself."""
    at = whereabouts(data)
    yield from _whole(data, wiring)
    wanted = _wanted(data)
    told: dict[str, list[str]] = {}
    for mark, device in wiring.devices.items():
        if device.plant:
            told.setdefault(device.plant, []).append(mark)
        yield from ((at[mark], text) for text in _device(data, wiring, mark, wanted))
    for name, (mark, kind, place) in wanted.items():
        if name not in told:
            yield ("devices",), f"no part is the plant's {name!r}, needed is {mark}, a {kind} in {place} with plant: {name}"
        for double in told.get(name, [])[1:]:
            yield at[double], f"is the plant's {name!r} as {told[name][0]} is, allowed is one part"


def _whole(data: dict[str, Any], wiring: Wiring) -> Iterator[Problem]:
    """Sizes, rails and service."""
    machines = len(data["compressors"])
    if machines > MOST_COMPRESSORS:
        yield ("compressors",), f"has {machines} items, allowed are at most {MOST_COMPRESSORS}: the motor room has room for no more"
    if len(data["cutouts"]) != machines:
        yield ("cutouts",), f"has {len(data['cutouts'])} items, allowed is one for each of the {machines} compressors"
    if wiring.rail_kinds.get("PE", {}).get("kind") != "earth":
        yield ("rails",), "no earth rail PE, needed is PE: {kind: earth}"
    if sum(device.kind == "service" for device in wiring.devices.values()) != 1:
        yield ("devices",), "needs one service entrance, a part of kind service"


def _wanted(data: dict[str, Any]) -> dict[str, tuple[str, str, str]]:
    """Mark, kind and place of the one part that is each thing of the plant, by what its ``plant:`` says."""
    found = dict(ONE)
    for each, count in ((EACH_COMPRESSOR, len(data["compressors"])), (EACH_CIRCUIT, len(data["circuits"]))):
        for name, (head, kind, place) in each.items():
            found |= {f"{name} {n}": (f"{head}{n}", kind, place) for n in range(1, count + 1)}
    return found


def _device(data: dict[str, Any], wiring: Wiring, mark: str, wanted: dict[str, tuple[str, str, str]]) -> Iterator[str]:
    """What is wrong with one part, for this world."""
    device = wiring.devices[mark]
    follows = [name if not of else f"{name} {n}" for name, of in ANY.items() for n in range(1, len(data[of]) + 1 if of else 2)]
    drawn = {name: place for name, _, place in wanted.values()}
    drawn |= {f"MP{n + 1}": ELSEWHERE["MP"] for n in range(len(data["compressors"]))} | {"S5": ELSEWHERE["S5"]}
    if device.kind == "oil_pressure":
        yield "an oil-pressure cut-out is nothing that the plant moves yet; leave it out"
    elif device.plant in wanted:
        name, kind, place = wanted[device.plant]
        if (mark, device.kind, device.place) != (name, kind, place):
            yield f"is the plant's {device.plant!r}, allowed is {name} only, a {kind} in {place}"
    elif device.plant and device.plant not in follows:
        yield f"plant {device.plant!r} is nothing this store has, allowed are {', '.join([*wanted, *follows])}"
    elif device.place not in ("panel", drawn.get(mark)):
        yield f"stands in {device.place}, where it is not drawn, allowed is panel"
    if device.kind in ("board_relay", "level_switch", "high_pressure", "low_pressure") and not device.plant:
        yield f"nothing moves it, needed is plant: with one of {', '.join([*wanted, *follows])}"
    if device.kind == "drive3":
        driven = [other.plant for other in wiring.devices.values() if other.kind == "motor3" and other.group == device.group]
        if driven != ["fan"]:
            yield f"its group drives {', '.join(driven) or 'no motor'}, allowed is a drive of the condenser fan alone"


def whereabouts(data: dict[str, Any]) -> dict[str, tuple[Any, ...]]:
    """Where in the file things of the wiring list stand: ``Q5``, ``Q5.amps``, ``bundles.501``; a part is where its kind is told."""
    found: dict[str, tuple[Any, ...]] = {}
    for place, mark, entry in _entries(data, "devices"):
        found |= {f"{mark}.{key}": (*place, key) for key in entry}
        if "kind" in entry or mark not in found:
            found[mark] = place
    for section in ("bundles", "strings"):
        found |= {f"{section}.{entry['wire']}": place for place, _, entry in _entries(data, section)}
    return found


def _entries(data: dict[str, Any], section: str) -> Iterator[tuple[tuple[Any, ...], str, dict[str, Any]]]:
    """Place, mark and entry of every item of a section as the file says it, blocks written out."""
    blocks: list[tuple[tuple[Any, ...], dict[str, Any], dict[str, Any]]] = [((), data, {})]
    for n, block in enumerate(data.get("blocks", [])):
        loops = block.get("for", {})
        blocks += [(("blocks", n), block, dict(zip(loops, values, strict=True))) for values in product(*loops.values())]
    for place, block, numbers in blocks:
        held = block.get(section, {})
        for key, entry in held.items() if isinstance(held, dict) else enumerate(held):
            yield (*place, section, key), with_numbers(key, numbers), with_numbers(entry, numbers)

"""A tour of every safe step on the circuits in question, as found: what tells suspects apart, and what the reference may use.

First what can be seen, heard, read and measured with everything as it stands, place by place; then, with those circuits switched
off and locked, what hands and an ohmmeter find; last, where there is an overload, its one reset to watch, which is allowed after
looking. Nothing is swapped and no setting is touched. Dead parts are not tested one by one before hands go on: the world looks up
the volts at every touch, and one live terminal would be an incident of the tour.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

PLANT = {
    "motor_room": ("RACK", "GD", "GS", "GLASS", "RECEIVER", "DRIER", "COMP1", "COMP2", "COMP3", "COMP4"),
    "roof": ("COIL", "BASIN", "FLOAT", "FAN", "PUMP"),
}
"""Parts of the plant that everybody looks at, by place."""
POINTS = {
    "motor_room": ("gauge high P4", "temp T9 how=pipe"),
    "roof": ("temp T2 how=pipe", "temp T4", "temp T5 how=wick", "temp T6"),
}
"""Readings of the plant that everybody takes, by place."""
CASE = ("read C{n}", "look C{n}", "temp C{n}.A1", "temp C{n}.T1 how=pipe", "gauge low C{n}.P8", "listen XV{n}", "feel XV{n}")
"""Readings at a circuit of which a part is suspected."""


WATCH = "clamp"
"""Verb with which the tour goes over from reading everything as it stands to watching one start."""


@dataclass(frozen=True)
class Wired:
    """One part of the wiring as the tour needs it: mark, kind, place, poles (line and load terminal), and control pairs."""

    mark: str
    kind: str
    place: str
    poles: tuple[tuple[str, str], ...]
    pairs: tuple[tuple[str, str], ...]
    terminals: tuple[str, ...]
    driven: bool
    """Whether a drive feeds its circuit."""


def steps(wired: Sequence[Wired], breakers: Sequence[str], circuits: Sequence[int], places: Sequence[str]) -> list[str]:
    """The tour as steps.

    Parameters
    ----------
    wired : sequence of Wired
        Parts of the circuits in question.
    breakers : sequence of str
        What switches them off, the control voltage included.
    circuits : sequence of int
        Numbers of the refrigerated circuits in question.
    places : sequence of str
        Places in the order in which one walks.
    """
    walk: list[str] = []
    for place in places:
        walk += [f"go {place}", *_as_found(place, [part for part in wired if part.place == place], circuits)]
    walk += ["go panel", *(step for mark in breakers for step in (f"off {mark}", f"lock {mark}"))]
    for place in dict.fromkeys(["panel", *places]):
        walk += [f"go {place}"] * (place != "panel")
        walk += _dead([part for part in wired if part.place == place])
    return walk + [step for part in wired if part.kind == "overload3" and part.poles for step in _watched(part, breakers)]


def _as_found(place: str, here: Sequence[Wired], circuits: Sequence[int]) -> Iterator[str]:
    """Everything as it stands."""
    for name in PLANT.get(place, ()):
        yield from (f"look {name}", f"listen {name}", f"read {name}")
    yield from POINTS.get(place, ())
    if place == "floor":
        for n in circuits:
            yield from (step.format(n=n) for step in CASE)
        yield from ["ungauge low"] * bool(circuits)
    if place == "panel":
        yield "open DOOR"
    for part in here:
        yield from (f"look {part.mark}", f"listen {part.mark}", f"read {part.mark}")
        if place != "panel":
            yield f"open {part.mark}"
        yield from _live(part)


def _live(part: Wired) -> Iterator[str]:
    """Volts on a part with insulated leads."""
    if len(part.poles) == 3:
        line, load = zip(*part.poles, strict=True)
        yield f"volts {' '.join(line)} PE"
        yield f"volts {' '.join(load)} PE"
        yield from (f"volts {a} {b}" for a, b in part.poles)
    elif part.kind == "motor3":
        yield f"volts {' '.join(part.terminals)} PE"
    for a, b in part.pairs:
        yield f"volts {a} {b} {'X2' if part.place == 'panel' else 'PE'}"


def _dead(here: Sequence[Wired]) -> Iterator[str]:
    """Ohms and hands, once all of it is off; no 500 V where a drive could get them, no hands on what stays live from above."""
    for part in here:
        if part.kind.startswith("breaker"):
            continue
        if part.kind == "contactor3":
            yield f"press {part.mark} anyway=yes"
        yield from (f"ohms {a} {b} anyway=yes" for a, b in (*part.poles, *part.pairs))
        if part.kind == "motor3":
            yield from (f"ohms {a} {b} anyway=yes" for a, b in (*combinations(part.terminals, 2), (part.terminals[0], "PE")))
            if not part.driven:
                yield f"insulation {part.terminals[0]} PE anyway=yes"
        yield from (f"tug {terminal} anyway=yes" for terminal in part.terminals)


def _watched(part: Wired, breakers: Sequence[str]) -> Iterator[str]:
    """One reset to watch: clamps hung dead, door shut, on, reset, and the amps at once and half a minute later."""
    yield "go panel"
    yield from (f"{WATCH} {n} {load} anyway=yes" for n, (_, load) in enumerate(part.poles, 1))
    yield "close DOOR"
    yield from (step for mark in breakers for step in (f"unlock {mark}", f"on {mark}"))
    yield from (f"reset {part.mark}", "amps", "wait 0.5", "amps")
    yield from ("open DOOR", "unclamp")
    yield from (step for mark in breakers for step in (f"off {mark}", f"lock {mark}"))


def parts_of(suspected: Sequence[str], groups: Mapping[str, str]) -> list[str]:
    """Marks of all parts in the groups of the suspected ones, in the order of the store.

    >>> parts_of(["K5"], {"Q5": "pump", "K5": "pump", "Q6": "fan"})
    ['Q5', 'K5']
    """
    wanted = {groups[mark] for mark in suspected if mark in groups}
    return [mark for mark, group in groups.items() if group in wanted]

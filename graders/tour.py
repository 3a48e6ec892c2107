"""A tour of every safe step on the circuits in question, as found: what tells suspects apart, and what the reference may use.

First what can be seen, heard, read and measured with everything as it stands, place by place; then, with those circuits switched
off and locked, what hands and an ohmmeter find; last, where there is an overload, its one reset to watch, which is allowed after
looking. Nothing is swapped and no setting is touched. Dead parts are not tested one by one before hands go on: the world looks up
the volts at every touch, and one live terminal would be an incident of the tour.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

from scenarios.parts.registry import KINDS

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


@dataclass(frozen=True)
class Ground:
    """The store as the tour walks it."""

    places: tuple[str, ...]
    """In the order in which one walks."""
    doors: Mapping[str, str]
    """Door of every panel, by the panel's place."""
    switched: Mapping[str, str]
    """What switches the circuits in question off, the control voltage included, with the place of each."""
    found: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """Steps that everybody takes in a place with everything as it stands, by place."""
    earth: str = "PE"
    back: str = "X2"
    """Rail that control volts are read against inside a panel."""

    def switch(self, *verbs: str) -> Iterator[str]:
        """Go to every handle, panel by panel, and do something with each."""
        for place in dict.fromkeys(self.switched.values()):
            yield f"go {place}"
            yield from (f"{verb} {mark}" for mark, where in self.switched.items() if where == place for verb in verbs)


def steps(wired: Sequence[Wired], ground: Ground) -> list[str]:
    """The tour as steps.

    Parameters
    ----------
    wired : sequence of Wired
        Parts of the circuits in question.
    ground : Ground
        The store they stand in.
    """
    walk: list[str] = []
    for place in ground.places:
        walk += [f"go {place}", *_as_found(place, [part for part in wired if part.place == place], ground)]
    walk += ground.switch("off", "lock")
    here = [*ground.switched.values()][-1:]
    for place in dict.fromkeys([*here, *ground.places]):
        walk += [f"go {place}"] * (place not in here)
        walk += _dead([part for part in wired if part.place == place], ground)
    return walk + [step for part in wired if _is_overload(part) for step in _watched(part, ground)]


def _is_overload(part: Wired) -> bool:
    return KINDS[part.kind].pole == "heater" and bool(part.poles)


def _as_found(place: str, here: Sequence[Wired], ground: Ground) -> Iterator[str]:
    """Everything as it stands."""
    yield from ground.found.get(place, ())
    if place in ground.doors:
        yield f"open {ground.doors[place]}"
    for part in here:
        yield from (f"look {part.mark}", f"listen {part.mark}", f"read {part.mark}")
        if place not in ground.doors:
            yield f"open {part.mark}"
        yield from _live(part, ground)


def _live(part: Wired, ground: Ground) -> Iterator[str]:
    """Volts on a part with insulated leads."""
    if len(part.poles) == 3:
        line, load = zip(*part.poles, strict=True)
        yield f"volts {' '.join(line)} {ground.earth}"
        yield f"volts {' '.join(load)} {ground.earth}"
        yield from (f"volts {a} {b}" for a, b in part.poles)
    elif _is_motor(part):
        yield f"volts {' '.join(part.terminals)} {ground.earth}"
    for a, b in part.pairs:
        yield f"volts {a} {b} {ground.back if part.place in ground.doors else ground.earth}"


def _is_motor(part: Wired) -> bool:
    """Whether it has leads and nothing behind them: three terminals in, none out."""
    kind = KINDS[part.kind]
    return len(kind.into) == 3 and not kind.out


def _dead(here: Sequence[Wired], ground: Ground) -> Iterator[str]:
    """Ohms and hands, once all of it is off; no 500 V where a drive could get them, no hands on what stays live from above."""
    for part in here:
        if KINDS[part.kind].handle:
            continue
        if KINDS[part.kind].armature:
            yield f"press {part.mark} anyway=yes"
        yield from (f"ohms {a} {b} anyway=yes" for a, b in (*part.poles, *part.pairs))
        if _is_motor(part):
            to_earth = (part.terminals[0], ground.earth)
            yield from (f"ohms {a} {b} anyway=yes" for a, b in (*combinations(part.terminals, 2), to_earth))
            if not part.driven:
                yield f"insulation {part.terminals[0]} {ground.earth} anyway=yes"
        yield from (f"tug {terminal} anyway=yes" for terminal in part.terminals)


def _watched(part: Wired, ground: Ground) -> Iterator[str]:
    """One reset to watch: clamps hung dead, door shut, on, reset, and the amps at once and half a minute later."""
    door = ground.doors.get(part.place)
    yield f"go {part.place}"
    yield from (f"{WATCH} {n} {load} anyway=yes" for n, (_, load) in enumerate(part.poles, 1))
    yield from [f"close {door}"] * bool(door)
    yield from _here(part, ground, "unlock", "on")
    yield from (f"reset {part.mark}", "amps", "wait 0.5", "amps")
    yield from [f"open {door}"] * bool(door)
    yield "unclamp"
    yield from _here(part, ground, "off", "lock")


def _here(part: Wired, ground: Ground, *verbs: str) -> Iterator[str]:
    """Do something with every handle and be back at a part; without a step where all are at hand."""
    walk = list(ground.switch(*verbs))
    yield from walk[1:] if set(ground.switched.values()) == {part.place} else [*walk, f"go {part.place}"]


def parts_of(suspected: Sequence[str], groups: Mapping[str, str]) -> list[str]:
    """Marks of all parts in the groups of the suspected ones, in the order of the store.

    >>> parts_of(["K5"], {"Q5": "pump", "K5": "pump", "Q6": "fan"})
    ['Q5', 'K5']
    """
    wanted = {groups[mark] for mark in suspected if mark in groups}
    return [mark for mark, group in groups.items() if group in wanted]

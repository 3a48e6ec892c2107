"""What every reading of a call would have been in a world, free of instrument error, with what a fair judge must know about it.

A call that was replayed gives a `Plan`: its steps as they were done, read once. `truths` walks a plan through a world, the
trainee's own or that of a suspect: the same acts, the same minutes, no judgement, no displays. What a cycling plant would have
shown a little earlier is looked at on the way, because the plan knows which readings are to come.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from scenarios.facts import Fact, FactKind, Moment, Observed, SawKind, Truth
from scenarios.instruments import reading as instruments
from scenarios.site import World
from scenarios.stepper import Stepper
from scenarios.steps import Step, Vocabulary, parse
from scenarios.store.model import Store
from scenarios.verbs import Changes
from scenarios.visit import limits
from scenarios.visit.observing import observe

WINDOW = 300.0
"""How far back a cycling reading is looked at for its window [s]."""
GLANCE = 60.0
"""Between two looks back [s]."""
Key = tuple[int, str, str]
"""Number of the step, what was read, and the kind of reading."""


@dataclass(frozen=True)
class Done:
    """One step as it was done in the call."""

    n: int
    t: float
    """Call time after it [s]."""
    place: str
    step: Step
    saw: SawKind
    changes: Changes
    """What it changed at most; nothing where it was not done."""
    waited: float | None
    """Seconds it took, where the call alone tells; None where the verb does. [s]"""
    made_safe: tuple[str, ...] = ()
    """Handles that the second person switched off after it was an incident."""

    @property
    def cuts(self) -> bool:
        """Whether readings after it may hang on what it set up or moved, so that they cannot be looked at before."""
        return bool(self.made_safe) or (self.changes.sets_up and not self.step.about.reads)

    @property
    def changed(self) -> tuple[tuple[str, str], ...]:
        """What of the store it left as another, and as what: a reading taken again after it is a new one."""
        left = tuple((name, f"off {name}") for name in self.made_safe)
        return left + tuple((name, self.step.line) for name in self.step.subjects if self.changes.moves)

    @property
    def cycles(self) -> bool:
        """Whether it reads something that may swing with the plant."""
        return self.saw.done and self.step.about.reads and not self.step.about.timeless


@dataclass(frozen=True)
class Plan:
    """The steps of a replayed call in order, ready to be walked through any world."""

    steps: tuple[Done, ...]

    @classmethod
    def of(cls, moments: Iterable[Moment], facts: Iterable[Fact], words: Vocabulary, store: Store) -> "Plan":
        """The plan of what happened in a call."""
        safe: dict[int, list[str]] = {}
        for fact in facts:
            if fact.kind is FactKind.MADE_SAFE:
                safe.setdefault(fact.n, []).append(fact.what)
        return cls(tuple(_done(moment, parse(moment.step, words), store, safe.get(moment.n, ())) for moment in moments))

    def upto(self, n: int) -> "Plan":
        """The first ``n`` steps."""
        return Plan(self.steps[:n])

    @cached_property
    def ahead(self) -> list[list[tuple[Done, float]]]:
        """For every step the readings to come before anything is moved, and how long after it each is taken. [s]"""
        found = []
        for k, now in enumerate(self.steps):
            first = k + 1 if now.cuts else k
            end = next((j for j in range(first, len(self.steps)) if self.steps[j].cuts), len(self.steps))
            later = [(then, then.t - now.t) for then in self.steps[first:end] if then.cycles]
            found.append([(then, seconds) for then, seconds in later if seconds <= WINDOW])
        return found


def _done(moment: Moment, step: Step, store: Store, safe: Sequence[str]) -> Done:
    done = moment.saw.kind.done
    waited = moment.saw.minutes * 60.0 if not done or step.args[:1] == ("until-noticed",) else None
    changes = limits.changed(store, step) if done else Changes.NOTHING
    return Done(moment.n, moment.t, moment.place, step, moment.saw.kind, changes, waited, tuple(safe))


def truths(plan: Plan, world: World, call: Mapping[str, Any], seed: int | None = None) -> dict[Key, Truth]:
    """Every observation of a plan as a world shows it.

    Parameters
    ----------
    plan : Plan
        The steps.
    world : World
        Where they are done; it is changed.
    call : mapping
        The call, for drives and people.
    seed : int, optional
        Seed of the call's instruments; with it a truth knows its instrument's limit there.
    """
    walk = Walk(world, dict(call), seed)
    for done, ahead in zip(plan.steps, plan.ahead, strict=True):
        walk.take(done, ahead)
    return walk.found


class Walk(Stepper):
    """A plan being walked through one world; the world is only moved on when something is done or looked at in it."""

    def __init__(self, world: World, call: dict[str, Any], seed: int | None = None) -> None:
        """Stand where a call begins.

        Parameters
        ----------
        world : World
            The world; it is changed.
        call : dict
            What steps may hang on.
        seed : int, optional
            Seed of the call's instruments.
        """
        super().__init__(world, call)
        self.seed = seed
        self.found: dict[Key, Truth] = {}
        self.behind = 0.0
        """How far the world is behind the walk [s]."""
        self.ahead: Sequence[tuple[Done, float]] = ()
        """Readings to come that may be looked at on the way, and how long after this step each is taken [s]."""
        self.seen: dict[int, dict[str, list[Observed]]] = {}
        """What looks before a reading showed, by its step and by what was read."""
        self.moved = -1e9
        """When something was done to the store last [s]; until a step has passed it still shows what was before."""

    @property
    def t(self) -> float:
        """Time since the ticket [s]."""
        return self.world.t + self.behind

    def now(self) -> World:
        """The world as it stands now."""
        if self.behind:
            self.world.advance(self.behind)
            self.behind = 0.0
        return self.world

    def take(self, done: Done, ahead: Sequence[tuple[Done, float]]) -> None:
        """One step."""
        self.ahead = () if done.cuts else ahead
        if done.saw is SawKind.INCIDENT:
            self.interrupted(done.n, done.made_safe)
        self.spend(done.step, done.waited)
        if not done.saw.done:
            return
        if done.cuts:
            self.moved = self.now().t
        self.ahead = ahead
        for one in self.carry_out(done.n, done.step).observed:
            self.found[done.n, one.of, one.kind] = self.truth(done, one)
        self.seen.pop(done.n, None)

    def wait(self, seconds: float) -> None:
        """Let time pass, looking on the way at what will be read within the window. [s]"""
        left = round(seconds / limits.STEP) * limits.STEP
        while left > 0.0:
            wanted = [then for then, later in self.ahead if left + later <= WINDOW]
            if wanted:
                self.look(wanted)
            piece = min(left, GLANCE) if left <= WINDOW else left - WINDOW
            self.behind += piece
            left -= piece

    def look(self, wanted: Sequence[Done]) -> None:
        """Look at what readings to come would show now."""
        if self.now().t <= self.moved:
            return
        world = self.world.unmoved()
        for then in wanted:
            kept = self.seen.setdefault(then.n, {})
            place, self.person.place = self.person.place, then.place
            for one in observe(world, self.person, then.step):
                kept.setdefault(one.of, []).append(one)
            self.person.place = place

    def truth(self, done: Done, one: Observed) -> Truth:
        """An observation with its window in this world."""
        before = self.seen.get(done.n, {}).get(one.of, ())
        window = tuple(other.value for other in before if other.value is not None)
        seen = tuple(other.category for other in before if other.category)
        floating, loaded = False, one.value or 0.0
        if one.instrument == "volts" and done.step.args:
            a, b = one.of.split("|")
            loaded = self.world.volts(a, b, meter="low")
            floating = abs(loaded - (one.value or 0.0)) > max(5.0, 0.05 * abs(one.value or 0.0))
        return Truth(one.of, one.kind, one.value, one.category, window, seen, self.limit(done, one), floating, loaded)

    def limit(self, done: Done, one: Observed) -> float:
        """Limit of the instrument there, in SI; zero where no seed says which instrument."""
        if self.seed is None or not one.instrument or one.value is None:
            return 0.0
        name, _, copy = one.instrument.partition("/")
        return instruments.read(name, one.value, self.seed, done.n, one.of, int(copy or 0)).si_limit

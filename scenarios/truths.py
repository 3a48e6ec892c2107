"""What every reading of a call would have been in a world, free of instrument error, with what a fair judge must know about it.

A call that was replayed gives a `Plan`: its steps as they were done, read once. `truths` walks a plan through a world, the
trainee's own or that of a suspect: the same acts, the same minutes, no judgement, no displays. What a cycling plant would have
shown a little earlier is looked at on the way, because the plan knows which readings are to come.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from scenarios.errors import BadRequest
from scenarios.facts import Fact, Moment, Observed, Truth
from scenarios.instruments import reading as instruments
from scenarios.site import World
from scenarios.steps import Step, Vocabulary, parse
from scenarios.verbs import VERBS
from scenarios.visit import acting, hazards, limits, scenery
from scenarios.visit.observing import OBSERVING, observe
from scenarios.visit.outcome import Outcome, Refused, Scene
from scenarios.visit.paper import PAPER
from scenarios.visit.technician import Technician

WINDOW = 300.0
"""How far back a cycling reading is looked at for its window [s]."""
GLANCE = 60.0
"""Between two looks back [s]."""
TIMELESS = ("prove-meter", "ohms", "insulation")
"""Readings that nothing moves between two acts: a source of one's own, and dead circuits."""
UNDONE = ("refused", "caution", "incident")
"""Kinds of what is seen where a step was not done."""
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
    done: bool
    """Whether it took effect, and was not refused, cautioned or an incident."""
    waited: float | None
    """Seconds it took, where the call alone tells; None where the verb does. [s]"""
    made_safe: tuple[str, ...] = ()
    """Handles that the second person switched off after it was an incident."""

    @property
    def moves(self) -> bool:
        """Whether plant or wiring may be another after it, so that a reading taken again is a new one."""
        verb = self.step.verb
        return bool(self.made_safe) or (self.done and verb in acting.ACTING and VERBS[verb].saw not in acting.STILL)

    @property
    def cycles(self) -> bool:
        """Whether it reads something that may swing with the plant."""
        return self.done and self.step.verb in OBSERVING and self.step.verb not in TIMELESS


@dataclass(frozen=True)
class Plan:
    """The steps of a replayed call in order, ready to be walked through any world."""

    steps: tuple[Done, ...]

    @classmethod
    def of(cls, moments: Iterable[Moment], facts: Iterable[Fact], words: Vocabulary) -> "Plan":
        """The plan of what happened in a call."""
        safe: dict[int, list[str]] = {}
        for fact in facts:
            if fact.kind == "made_safe":
                safe.setdefault(fact.n, []).append(fact.what)
        return cls(tuple(_done(moment, parse(moment.step, words), safe.get(moment.n, ())) for moment in moments))

    def upto(self, n: int) -> "Plan":
        """The first ``n`` steps."""
        return Plan(self.steps[:n])

    @cached_property
    def ahead(self) -> list[list[tuple[Done, float]]]:
        """For every step the readings to come before anything is moved, and how long after it each is taken. [s]"""
        found = []
        for k, now in enumerate(self.steps):
            first = k + 1 if now.moves else k
            end = next((j for j in range(first, len(self.steps)) if self.steps[j].moves), len(self.steps))
            later = [(then, then.t - now.t) for then in self.steps[first:end] if then.cycles]
            found.append([(then, seconds) for then, seconds in later if seconds <= WINDOW])
        return found


def _done(moment: Moment, step: Step, safe: Sequence[str]) -> Done:
    told = moment.saw.kind in UNDONE or step.args[:1] == ("until-noticed",)
    waited = moment.saw.minutes * 60.0 if told else None
    return Done(moment.n, moment.t, moment.place, step, moment.saw.kind not in UNDONE, waited, tuple(safe))


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


@dataclass
class Walk:
    """A plan being walked through one world; the world is only moved on when something is done or looked at in it."""

    world: World
    call: dict[str, Any]
    seed: int | None = None
    person: Technician = field(default_factory=Technician)
    found: dict[Key, Truth] = field(default_factory=dict)
    behind: float = 0.0
    """How far the world is behind the walk [s]."""
    seen: dict[int, dict[str, list[Observed]]] = field(default_factory=dict)
    """What looks before a reading showed, by its step and by what was read."""
    moved: float = -1e9
    """When something was done to the store last [s]; until a step has passed it still shows what was before."""

    @property
    def here(self) -> World:
        """The world as it stands now."""
        if self.behind:
            self.world.advance(self.behind)
            self.behind = 0.0
        return self.world

    def take(self, done: Done, ahead: Sequence[tuple[Done, float]]) -> None:
        """One step."""
        step, person = done.step, self.person
        for name in done.made_safe:
            hazards.switch_off(self.here, name)
        seconds = done.waited if done.waited is not None else limits.minutes(self.world, person, self.call, step) * 60.0
        self.wait(seconds, () if done.moves else ahead)
        if not done.done or step.verb in PAPER or step.verb == "close-out":
            return
        try:
            outcome = self.act(done)
        except (Refused, BadRequest):
            return
        observed = outcome.observed
        if outcome.watch:
            since = self.world.t
            self.wait(outcome.watch, ahead)
            observed = observed + scenery.heard(self.here, since - 1.0, person.place)
        if step.verb in OBSERVING:
            observed = observed + observe(self.here, person, step)
        if step.verb == "gauge":
            person.gauges[step.args[0]] = step.args[1]
        for one in observed:
            self.found[done.n, one.of, one.kind] = self.truth(done, one)
        self.seen.pop(done.n, None)

    def act(self, done: Done) -> Outcome:
        """Do what a step does to the store."""
        step = done.step
        if step.verb != "press" and step.verb not in OBSERVING:
            self.person.held = None
        if step.verb not in acting.ACTING:
            return Outcome("")
        world = self.here if done.moves else self.world
        if done.moves:
            self.moved = world.t
        return acting.ACTING[step.verb](Scene(world, self.person, self.call, done.n, world.t), step)

    def wait(self, seconds: float, ahead: Sequence[tuple[Done, float]]) -> None:
        """Let time pass, looking on the way at what will be read within the window."""
        left = round(seconds / limits.STEP) * limits.STEP
        while left > 0.0:
            wanted = [then for then, later in ahead if left + later <= WINDOW]
            if wanted:
                self.look(wanted)
            piece = min(left, GLANCE) if left <= WINDOW else left - WINDOW
            self.behind += piece
            left -= piece

    def look(self, wanted: Sequence[Done]) -> None:
        """Look at what readings to come would show now."""
        if self.here.t <= self.moved:
            return
        world = self.here.unmoved()
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

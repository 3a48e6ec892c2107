"""One step in one world: the one way in which minutes pass, hands act and something is seen, whoever's world it is.

`scenarios.call` drives a stepper through the trainee's own world and adds displays, notes and a record; `scenarios.truths` drives
one through every suspect's world and adds what readings to come would have shown on the way.
"""

from collections.abc import Sequence
from typing import Any

from scenarios.errors import BadRequest
from scenarios.site import World
from scenarios.steps import Step
from scenarios.visit import hazards, limits, scenery, senses
from scenarios.visit.acting import ACTING
from scenarios.visit.isolation import Noted
from scenarios.visit.observing import observe
from scenarios.visit.outcome import Outcome, Refused, Scene
from scenarios.visit.technician import Technician

MOST_NOTICE = 30.0
"""Longest wait for something to be noticed [min]."""
NOTICE = 30.0
"""How often one looks round meanwhile [s]."""
INCIDENT_MINUTES = 15.0
"""Time an incident takes before work goes on from a made-safe state [min]."""


class Stepper:
    """A technician in a world, and what has come of the steps so far."""

    def __init__(self, world: World, call: dict[str, Any], person: Technician | None = None) -> None:
        """Stand where a call begins.

        Parameters
        ----------
        world : World
            The world; it is changed.
        call : dict
            What steps may hang on: the drive, the van, people.
        person : Technician, optional
            Who takes them; without one it is somebody who has just been called.
        """
        self.world, self.call = world, call
        self.person = person if person is not None else Technician(place=world.store.place("van"))

    @property
    def t(self) -> float:
        """Time since the ticket [s]."""
        return self.world.t

    def now(self) -> World:
        """The world as it stands now."""
        return self.world

    def scene(self, n: int, world: World | None = None) -> Scene:
        """What an act of step ``n`` may use."""
        return Scene(world if world is not None else self.now(), self.person, self.call, n, self.t)

    # ---- time ------------------------------------------------------------------------------------------------------------

    def wait(self, seconds: float) -> None:
        """Let time pass, in whole steps of the simulation. [s]"""
        whole = round(seconds / limits.STEP) * limits.STEP
        if whole > 0.0:
            self.world.advance(whole)

    def spend(self, step: Step, waited: float | None = None) -> None:
        """Let the minutes of a step pass.

        Parameters
        ----------
        step : Step
            The step.
        waited : float, optional
            How long it took when it was done before, where the step itself does not tell. [s]
        """
        if waited is not None:
            self.wait(waited)
        elif step.args[:1] == ("until-noticed",):
            self.until_noticed()
        else:
            self.wait(limits.minutes(self.world, self.person, self.call, step) * 60.0)

    def until_noticed(self) -> None:
        """Wait until what is noticed here changes."""
        before = self.noticed()
        for _ in range(int(MOST_NOTICE * 60.0 / NOTICE)):
            self.wait(NOTICE)
            if self.noticed() != before:
                return

    def noticed(self) -> list[tuple[str, str]]:
        """What anybody would see, hear and smell on standing here."""
        return senses.noticed(self.now(), self.person)

    # ---- doing -----------------------------------------------------------------------------------------------------------

    def carry_out(self, n: int, step: Step) -> Outcome:
        """Do what step ``n`` does, stay to listen where one does, and look at what it shows."""
        about, act = step.about, ACTING.get(step.verb)
        if not about.reads:
            self.person.held = None  # whoever does something else lets the armature go
        world = self.now() if about.reads or about.changes.sets_up else self.world
        try:
            outcome = act(self.scene(n, world), step) if act else Outcome("")
        except (Refused, BadRequest) as why:
            return Outcome("", refused=str(why))
        if outcome.clears:
            world.network.clear_most()
        if outcome.watch:
            since = self.t
            self.wait(outcome.watch)
            outcome.observed += scenery.heard(self.now(), since - 1.0, self.person.place)
        if about.reads:
            outcome.observed += observe(self.now(), self.person, step)
        return outcome

    def interrupted(self, n: int, handles: Sequence[str]) -> None:
        """An incident in the place of step ``n``: hands come off, and the second person switches off and locks these handles."""
        self.person.held = None
        for name in handles:
            hazards.switch_off(self.now(), name)
            self.person.isolation.add(n, self.t, Noted.OFF, (name,))
            self.person.made_safe.add(name)

"""An open call: a store on a night, a technician in it, and the record of what was done and seen.

`Session.do` takes one line of the language of steps. It refuses what cannot be done (at no cost), cautions where the notes do not
show that it is safe, lets the minutes pass, changes or observes the world, and writes the record before anything is shown. A step
that does not come to its end, or that cannot be written, has not happened: the call is as the record has it.
`Session.replay` runs a record again; what it would have shown in another world is for `scenarios.truths`.
"""

from pathlib import Path
from typing import Any

from scenarios import record, steps
from scenarios.assignments import Assignment, assignment
from scenarios.errors import BadRequest
from scenarios.facts import Aftermath, Fact, Moment, Observed, Saw
from scenarios.instruments import reading as instruments
from scenarios.site import World
from scenarios.store.model import Point
from scenarios.verbs import VERBS
from scenarios.visit import acting, controller_log, hazards, limits, scenery, senses, wording
from scenarios.visit.observing import OBSERVING, observe
from scenarios.visit.outcome import Outcome, Refused, Scene
from scenarios.visit.technician import Technician

MOST_NOTICE = 30.0
"""Longest wait for something to be noticed [min]."""
INCIDENT_MINUTES = 15.0
"""Time an incident takes before work goes on from a made-safe state [min]."""


class Session:
    """One call being taken or replayed."""

    def __init__(self, night: Assignment, seed: int, world: World) -> None:
        """Start at the moment of the ticket.

        Parameters
        ----------
        night : Assignment
            Call, key and built worlds.
        seed : int
            Picks the variant and the noise of the instruments.
        world : World
            The world it is taken in; changed as the call goes on.
        """
        self.night, self.seed, self.world = night, seed, world
        self.writer: record.Writer | None = None
        self.call: dict[str, Any] = night.played
        self.person = Technician(place=night.store.place("van"))
        self.words = night.words
        self.t = 0.0
        self.n = 0
        self.moments: list[Moment] = []
        self.facts: list[Fact] = []
        self.closed = False
        self.heard: list[str] = []
        self.arrived = 0.0
        self.log_read: dict[str, Any] | None = None
        self._under_way: int | None = None

    # ---- opening ---------------------------------------------------------------------------------------------------------

    @classmethod
    def open(cls, call_id: str, seed: int, path: Path | None = None, *, fresh: bool = True) -> "Session":
        """Open a call; with a record that exists, go on where it ends.

        Raises
        ------
        BadRequest
            Unknown call, a record of another call or version, or one that another window has open.
        """
        night = assignment(call_id)
        if path is not None and not fresh and path.exists():
            seed = int(record.read(path).head["seed"])
        writer = record.Writer(path, night.head(seed)) if path is not None else None
        session = cls(night, seed, night.world(seed))
        session.read_log()
        try:
            if writer is not None:
                session._redo(writer.record)
        except BaseException:
            if writer is not None:
                writer.close()
            raise
        session.writer = writer
        return session

    @classmethod
    def replay(cls, made: record.Record) -> tuple["Session", list[str]]:
        """Run a record again from the start and list every displayed digit that comes out otherwise."""
        night = assignment(made.head["call"])
        record.check(
            made, **{k: v for k, v in night.head(made.head["seed"]).items() if k in ("call", "seal", "engine", "step", "grid")}
        )
        seed = int(made.head["seed"])
        session = cls(night, seed, night.world(seed))
        return session, session._redo(made)

    def _redo(self, made: record.Record) -> list[str]:
        """Do every step of a record; problems name the line."""
        problems = []
        for number, line in enumerate(made.lines, 2):
            where = f"{made.name}:{number}"
            if self.closed:
                problems.append(f"{where}: a step after close-out; the record was added to")
                break
            try:
                saw = self._step(steps.parse(line.step, self.words), line.saw)
            except BadRequest as error:
                problems.append(f"{where}: {error}")
                break
            if saw.as_json() != line.saw:
                problems.append(f"{where}: replay shows “{saw.text}” where the record says “{line.saw.get('text', '')}”")
            elif abs(self.t - line.t) > 1e-6:
                problems.append(f"{where}: replay is at {self.t:g} s where the record says {line.t:g} s")
        return problems

    # ---- one step --------------------------------------------------------------------------------------------------------

    def do(self, line: str, forced: dict[str, Any] | None = None) -> Saw:
        """Do one step and return what it showed; a step that fails half-way, or that cannot be written, is taken back whole.

        Parameters
        ----------
        line : str
            The step; see ``halfsplit take CALL --help-steps``.
        forced : dict, optional
            What the record says of this step, when replaying.

        Raises
        ------
        BadRequest
            The line is no step, or the record cannot be written; nothing is recorded and no time passes.
        """
        if self._under_way is not None:  # taking a failed step back was itself cut short
            self._take_back(self._under_way)
        if self.closed:
            raise BadRequest("this call is closed out; open its debrief, or start another call")
        step = steps.parse(line, self.words)
        self._under_way = len(self.moments) - self._written()
        try:
            saw = self._step(step, forced)
            if self.writer is not None:
                self.writer.append(self.t, step.line, saw.as_json())
        except BaseException:
            self._take_back(self._under_way)
            raise
        self._under_way = None
        return saw

    def _written(self) -> int:
        return len(self.writer.record.lines) if self.writer is not None else 0

    def _take_back(self, unwritten: int) -> None:
        """Put the call back to where the record has it, by doing what has happened again from the ticket.

        World, person, notes and the numbers that the instruments' noise hangs on all come back, because they come from one place.

        Parameters
        ----------
        unwritten : int
            How many more steps had happened, when the failed one began, than the record has lines: all where there is no record.
        """
        kept = unwritten + self._written()
        again = Session(self.night, self.seed, self.night.world(self.seed))
        if self.log_read is not None:
            again.read_log()
        for moment in self.moments[:kept]:
            again._step(steps.parse(moment.step, again.words), moment.saw.as_json())
        again.writer = self.writer
        self.__dict__ = again.__dict__

    def _step(self, step: steps.Step, forced: dict[str, Any] | None) -> Saw:
        """Carry out one step in the world and note it; what is shown of it."""
        self.n += 1
        self.heard = []
        saw = self._blocked(step)
        if saw is None:
            saw = self._perform(step, forced)
        elif saw.minutes:
            self._advance(saw.minutes * 60.0)
        self.moments.append(Moment(self.n, self.t, self.person.place, step.line, saw))
        return saw

    def _blocked(self, step: steps.Step) -> Saw | None:
        """A refusal, a caution or an incident in the place of the step, if one is due."""
        why = limits.refusal(self.world, self.person, step, self.points) or acting.refusal(self._scene(), step)
        if why:
            return Saw(why, "refused")
        caution = limits.caution(self.world, self.person, step)
        if caution and not step.anyway:
            return Saw(caution.text, "caution")
        harm = hazards.incident(self.world, self.person, step)
        if harm is not None:
            self._fact("incident", harm.kind, {"text": harm.text, "volts": harm.volts, "step": step.line}, harm.text)
            return Saw(f"{harm.text} {self._made_safe(step)}", "incident", (), INCIDENT_MINUTES)
        if caution:
            self._fact("unproven", caution.part, {"step": step.line})
        return None

    def _perform(self, step: steps.Step, forced: dict[str, Any] | None) -> Saw:
        """Let the minutes pass, then do the step."""
        begun = self.t
        if step.args and step.args[0] == "until-noticed":
            self._until_noticed(forced)
        else:
            self._advance(limits.minutes(self.world, self.person, self.call, step) * 60.0)
        self._note_hands(step)
        try:
            outcome = self._act(step)
        except Refused as why:
            return Saw(str(why), "refused", (), (self.t - begun) / 60.0)
        if outcome.watch:
            since = self.t
            self._advance(outcome.watch)
            outcome.observed += scenery.heard(self.world, since - 1.0, self.person.place)
        observed = outcome.observed + observe(self.world, self.person, step)
        self._keep(step, observed)
        readings = [self._display(o) for o in observed]
        text = wording.saw_text(step, outcome.text, observed, readings)
        shown = tuple(r for r in readings if r is not None)
        for kind, what, data in outcome.facts:
            self._fact(kind, what, data)
        return Saw(text, VERBS[step.verb].saw, shown, (self.t - begun) / 60.0)

    def _scene(self) -> Scene:
        return Scene(self.world, self.person, self.call, self.n, self.t)

    def _act(self, step: steps.Step) -> Outcome:
        if step.verb == "close-out":
            self.closed = True
            self._fact("closed_out", "", {})
            return Outcome("Closed out.")
        act = acting.ACTING.get(step.verb)
        if step.verb != "press" and step.verb not in OBSERVING:
            self.person.held = None
        return act(self._scene(), step) if act else Outcome("")

    def _note_hands(self, step: steps.Step) -> None:
        """Leave a fact for every step with hands on an electrical part."""
        mark = limits.touched(self.world, self.person, step)
        if mark:
            proof = limits.proof(self.world, self.person, mark)
            data = {
                "verb": step.verb,
                "volts": self.world.touch_volts(mark),
                "proven": proof.whole,
                "locked": dict(self.person.locks),
            }
            self._fact("hands_on", mark, data)

    def _made_safe(self, step: steps.Step) -> str:
        """After an incident the second person switches off and locks what feeds the part; the words for it."""
        mark = limits.touched(self.world, self.person, step)
        self.person.held = None
        if not mark:
            return wording.NOT_DONE
        moved = hazards.make_safe(self.world, mark)
        for name in moved:
            self.person.isolation.add(self.n, self.t, "off", (name,))
            self.person.made_safe.add(name)
            self._fact("made_safe", name, {"part": mark})
        live = hazards.still_live(self.world, mark)
        if not live:
            return wording.made_safe(moved)
        self.person.barred.add(mark)
        return wording.not_safe(mark, moved, live, self.world.touch_volts(mark), hazards.from_outside(self.world, live))

    # ---- time ------------------------------------------------------------------------------------------------------------

    def _advance(self, seconds: float) -> None:
        """Let time pass."""
        whole = round(seconds / limits.STEP) * limits.STEP
        if whole > 0.0:
            self.world.advance(whole)
            self.t += whole

    def _until_noticed(self, forced: dict[str, Any] | None) -> None:
        """Wait until what is noticed here changes; a replay waits as long as the record says."""
        if forced is not None:
            self._advance(float(forced.get("minutes", 0.0)) * 60.0)
            return
        before = self.noticed()
        for _ in range(int(MOST_NOTICE * 2)):
            self._advance(30.0)
            if self.noticed() != before:
                return

    # ---- what is seen ----------------------------------------------------------------------------------------------------

    def noticed(self) -> list[tuple[str, str]]:
        """What anybody would see, hear and smell on standing here."""
        return senses.here(self.world, self.person, self.heard)

    def _display(self, seen: Observed) -> dict[str, str] | None:
        """What an instrument, or the words for a sight, show of an observation."""
        if not seen.instrument:
            shown = seen.category or ("" if seen.value is None else f"{seen.value:g}")
            return {"of": seen.of, "kind": seen.kind, "shown": shown, "unit": wording.UNIT_OF.get(seen.kind, "")}
        name, _, copy = seen.instrument.partition("/")
        got = instruments.read(name, float(seen.value or 0.0), self.seed, self.n, seen.of, int(copy or 0))
        return {"of": seen.of, "kind": seen.kind, "shown": got.shown, "unit": got.unit}

    def _keep(self, step: steps.Step, observed: list[Observed]) -> None:
        """Keep in the notes what a reading proves, and what was looked at."""
        if step.verb in ("look", "listen", "read", "feel") and step.args:
            self.person.looked.add(step.args[0])
        self.person.looked |= {
            name.split(":")[0] for seen in observed if step.verb in limits.ELECTRIC for name in seen.of.split("|")
        }
        if step.verb == "read" and step.args[0] == "RACK":
            self.log_read = self.log_read and self.read_log()
        if step.verb == "go" and not self.arrived:
            self.arrived = self.t
        if step.verb == "gauge":
            self.person.gauges[step.args[0]] = step.args[1]
        if step.verb in ("volts", "low-volts", "prove-meter"):
            for seen in observed:
                shown = self._display(seen)
                volts = float(shown["shown"]) if shown and shown["shown"] != "OL" else 1e9
                a, b = seen.of.split("|")
                self.person.isolation.add(self.n, self.t, "volts", (a, b), volts)
                self._fact("volts", seen.of, {"volts": volts, "a": a, "b": b})

    def _fact(self, kind: str, what: str, data: dict[str, Any], text: str = "") -> None:
        self.facts.append(Fact(kind, self.n, self.t, what, text, data))

    # ---- looking back ----------------------------------------------------------------------------------------------------

    @property
    def points(self) -> dict[str, Point]:
        """Test points of the plant and where they are."""
        return self.night.points

    def after(self, hours: float = 72.0) -> Aftermath:
        """Run a copy of the world on from where it was left, in the weather of the call."""
        world = self.world.fork()
        begun, wired = world.t, []
        for _ in range(round(hours)):  # by the hour, the wiring keeps some hundred events, a swinging rack makes more
            last = world.t
            world.advance(3600.0)
            wired += world.wired_events(last)
        found = [*(e for e in world.alarm_events() if e.t >= begun), *wired]
        return Aftermath(hours, tuple(sorted(found, key=lambda e: e.t)), world.trends())

    def left(self) -> dict[str, Any]:
        """State of the plant and of the technician's things as they are now, for whoever hands over or judges."""
        return limits.left(self.world, self.person)

    def read_log(self) -> dict[str, Any]:
        """Alarm log and trends as the controller holds them now."""
        self.log_read = {"alarms": controller_log.alarm_rows(self.world), "trends": controller_log.trend_rows(self.world)}
        return self.log_read

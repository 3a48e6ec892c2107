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
from scenarios.facts import Aftermath, Fact, FactKind, Moment, Observed, Saw, SawKind
from scenarios.instruments import reading as instruments
from scenarios.site import World
from scenarios.stepper import INCIDENT_MINUTES, Stepper
from scenarios.store.model import Point
from scenarios.verbs import Takes
from scenarios.visit import acting, controller_log, hazards, limits, wording
from scenarios.visit.isolation import Noted
from scenarios.visit.technician import Technician


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
        self.night, self.seed = night, seed
        self.call: dict[str, Any] = night.played
        self.stepper = Stepper(world, self.call)
        self.writer: record.Writer | None = None
        self.words = night.words
        self.n = 0
        self.moments: list[Moment] = []
        self.facts: list[Fact] = []
        self.closed = False
        self.arrived = 0.0
        self.log_read: dict[str, Any] | None = None
        self._under_way: int | None = None

    @property
    def world(self) -> World:
        """The world it is taken in."""
        return self.stepper.world

    @property
    def person(self) -> Technician:
        """Who takes it."""
        return self.stepper.person

    @property
    def t(self) -> float:
        """Time since the ticket [s]."""
        return self.stepper.t

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
        saw = self._blocked(step) or self._perform(step, forced)
        self.moments.append(Moment(self.n, self.t, self.person.place, step.line, saw))
        return saw

    def _blocked(self, step: steps.Step) -> Saw | None:
        """A refusal, a caution or an incident in the place of the step, if one is due."""
        world, person = self.world, self.person
        why = limits.refusal(world, person, step, self.points) or acting.refusal(self.stepper.scene(self.n), step)
        if why:
            return Saw(why, SawKind.REFUSED)
        caution = limits.caution(world, person, step)
        if caution and not step.anyway:
            return Saw(caution.text, SawKind.CAUTION)
        harm = hazards.incident(world, person, step)
        return self._interrupted(step, harm) if harm is not None else None

    def _interrupted(self, step: steps.Step, harm: hazards.Incident) -> Saw:
        """After an incident the second person switches off and locks what feeds the part; the words for it."""
        self._fact(FactKind.INCIDENT, harm.kind, {"volts": harm.volts, "step": step.line}, harm.text)
        mark = limits.touched(self.world, self.person, step)
        handles = hazards.feeding(self.world, mark) if mark else []
        self.stepper.interrupted(self.n, handles)
        for name in handles:
            self._fact(FactKind.MADE_SAFE, name, {"part": mark})
        said = self._whether_safe(mark, handles) if mark else wording.NOT_DONE
        self.stepper.wait(INCIDENT_MINUTES * 60.0)
        return Saw(f"{harm.text} {said}", SawKind.INCIDENT, (), INCIDENT_MINUTES)

    def _whether_safe(self, mark: str, handles: list[str]) -> str:
        """How a part stands once its handles are off; where it is live still, no hands go there."""
        live = hazards.still_live(self.world, mark)
        if not live:
            return wording.made_safe(handles)
        self.person.barred.add(mark)
        return wording.not_safe(mark, handles, live, self.world.touch_volts(mark), hazards.from_outside(self.world, live))

    def _perform(self, step: steps.Step, forced: dict[str, Any] | None) -> Saw:
        """Let the minutes pass, then do the step."""
        begun = self.t
        said = forced is not None and step.args[:1] == ("until-noticed",)
        self.stepper.spend(step, float(forced.get("minutes", 0.0)) * 60.0 if forced is not None and said else None)
        self._note_hands(step)
        outcome = self.stepper.carry_out(self.n, step)
        if outcome.refused:
            return Saw(outcome.refused, SawKind.REFUSED, (), (self.t - begun) / 60.0)
        displays = [self._display(seen) for seen in outcome.observed]
        self._keep(step, outcome.observed, displays)
        for kind, what, data in outcome.facts:
            self._fact(kind, what, data)
        text = wording.saw_text(step, outcome.text, outcome.observed, displays)
        return Saw(text, SawKind(step.about.saw), tuple(displays), (self.t - begun) / 60.0)

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
            self._fact(FactKind.HANDS_ON, mark, data)

    # ---- what is seen ----------------------------------------------------------------------------------------------------

    def noticed(self) -> list[tuple[str, str]]:
        """What anybody would see, hear and smell on standing here."""
        return self.stepper.noticed()

    def _display(self, seen: Observed) -> dict[str, str]:
        """What an instrument, or the words for a sight, show of an observation."""
        if not seen.instrument:
            shown = seen.category or ("" if seen.value is None else f"{seen.value:g}")
            return {"of": seen.of, "kind": seen.kind, "shown": shown, "unit": wording.UNIT_OF.get(seen.kind, "")}
        name, _, copy = seen.instrument.partition("/")
        got = instruments.read(name, float(seen.value or 0.0), self.seed, self.n, seen.of, int(copy or 0))
        return {"of": seen.of, "kind": seen.kind, "shown": got.shown, "unit": got.unit}

    def _keep(self, step: steps.Step, observed: list[Observed], displays: list[dict[str, str]]) -> None:
        """Keep in the notes what a reading proves, and what was looked at."""
        self.closed = step.about.saw == SawKind.CLOSED
        if step.about.takes is Takes.WAY and not self.arrived:
            self.arrived = self.t
        if not step.about.reads:
            return
        self.person.looked |= {name.split(":")[0] for name in step.names}
        part = self.world.store.parts.get(step.mark)
        if part is not None and "controller" in part.kind.tables and step.verb == "read":
            self.log_read = self.log_read and self.read_log()
        for seen, shown in zip(observed, displays, strict=True):
            if seen.kind == "volts":
                volts = float(shown["shown"]) if shown["shown"] != "OL" else 1e9
                a, b = seen.of.split("|")
                self.person.isolation.add(self.n, self.t, Noted.VOLTS, (a, b), volts)
                self._fact(FactKind.VOLTS, seen.of, {"volts": volts, "a": a, "b": b})

    def _fact(self, kind: FactKind, what: str, data: dict[str, Any], text: str = "") -> None:
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

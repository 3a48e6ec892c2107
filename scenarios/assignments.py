"""A call as it is given to somebody: its sheet, its key, its store, and the night they make.

What a session sees of the call's sheet is `Assignment.played`, what a world is made of is `nights.Night`; a record is sealed with
both, so an edited title, ticket, goal or exemplar refuses no record.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache, cached_property
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from scenarios import recordline
from scenarios.compiling import seals
from scenarios.content import seal_of
from scenarios.errors import BadRequest
from scenarios.faults.catalogue import by_id
from scenarios.files import callfile, derivedfile, keyfile
from scenarios.loop import STEP
from scenarios.nights import Night, Suspect
from scenarios.site import World
from scenarios.steps import Vocabulary
from scenarios.store import read
from scenarios.store.model import Point, Store
from scenarios.visit.scenery import active_alarms

GRID = -20
"""States are rounded to 2 to this power."""
OUTSIDE = ("starts", "weather", "noise")
"""What of a call's sheet a world is made of."""
PLAYED = ("drive_minutes", "van")
"""What of it a session reads as it stands, beside people's replies and the names of questions."""


@dataclass
class Assignment(Night):
    """One call with its key, and the night that belongs to it."""

    call: dict[str, Any] = field(default_factory=dict)
    key: dict[str, Any] = field(default_factory=dict)
    derived: dict[str, Any] = field(default_factory=dict)
    """What the engine worked out of them, as far as that has been done."""

    @classmethod
    def of(cls, call: dict[str, Any], key: dict[str, Any], store: Store) -> "Assignment":
        """Put a call's three files together, with nothing worked out of them yet."""
        variants = key.get("variants", {}) or {0: {}}
        told = [keyfile.variant(key, n, {}) for n in range(len(variants))]
        histories = [{name: own[name] for name in ("onset", "faults")} for own in told]
        return cls(store, {name: call[name] for name in OUTSIDE if name in call}, histories, call=call, key=key)

    @property
    def made_of(self) -> dict[str, str]:
        """Digests of the three files, which a derived file must have been made of."""
        return {"call": derivedfile.short(self.call), "key": derivedfile.short(self.key), "store": self.store.seal[:16]}

    @cached_property
    def played(self) -> dict[str, Any]:
        """What a session may read of the call's sheet, and all that its steps can depend on."""
        people = {
            who: {**about, "lines": [{"id": line["id"], "reply": line["reply"]} for line in about["lines"]]}
            for who, about in self.call["people"].items()
        }
        questions = [{"id": question["id"]} for question in self.call["questions"]]
        return self.outside | {name: self.call[name] for name in PLAYED} | {"people": people, "questions": questions}

    @property
    def points(self) -> dict[str, Point]:
        """Test points of the plant."""
        return self.store.points

    @cached_property
    def words(self) -> Vocabulary:
        """Names that steps of this call may use."""
        wiring = self.store.wiring
        topics = {line["id"].split(" ", 1)[1] for person in self.played["people"].values() for line in person["lines"]}
        return Vocabulary(
            places=list(self.store.places),
            parts=[*self.store.parts, *(name for name, point in self.points.items() if point.quantity == "display")],
            terminals=list(wiring.terminals),
            points=list(self.points),
            topics=sorted(topics),
            questions=[q["id"] for q in self.played["questions"]],
            wires=[w.name for w in wiring.wires],
        )

    def head(self, seed: int) -> dict[str, Any]:
        """First line of a record of this call."""
        return {
            "schema": recordline.SCHEMA,
            "call": self.call["id"],
            "seal": seal_of(self.store.seal, self.played, self.history(seed)),
            "version": package_version(),
            "engine": seals.of("replay"),
            "step": int(STEP),
            "grid": GRID,
            "seed": seed,
            "units": "field",
        }

    def key_of(self, seed: int) -> dict[str, Any]:
        """The key with the variant's own words put in, joined with what was worked out of it."""
        return keyfile.variant(self.key, self.variant(seed), self.derived)

    # ---- suspects --------------------------------------------------------------------------------------------------------

    def produces_ticket(self, world: World) -> bool:
        """Whether a world, at the time of the ticket, shows what the store complains of."""
        told = self.key["complaint"]
        standing = {event.what for event in active_alarms(world)}
        recent = {event.what for event in world.alarm_events() if event.on and event.t > -7200.0}
        over = sum(world.point(f"{circuit.mark}.D") > circuit.limit for circuit in self.store.circuits)
        return (
            all(any(name.startswith(a) for name in standing | recent) for a in told.get("alarms", []))
            and not any(any(name.startswith(a) for name in standing) for a in told.get("not", []))
            and int(told.get("least_over", 0)) <= over <= int(told.get("most_over", 99))
        )

    def suspects(self, seed: int) -> list[Suspect]:
        """Faults and severities that produce the ticket, as derived: what `find_suspects` finds, by the key's rule."""
        listed = self.key_of(seed)["suspects"]
        counts: dict[str, int] = {}
        for entry in listed:
            counts[entry["id"]] = counts.get(entry["id"], 0) + 1
        return [Suspect(by_id(self.faults, e["id"]), int(e.get("severity", 0)), 1.0 / counts[e["id"]]) for e in listed]

    def find_suspects(self, seed: int) -> list[dict[str, Any]]:
        """Try every fault of the catalogue in every severity, and list those that produce the ticket (minutes of work)."""
        found = []
        for fault in self.faults:
            for severity in range(fault.severities):
                try:
                    world = self._with(seed, fault, severity)
                except BadRequest:
                    continue
                if self.produces_ticket(world):
                    found.append({"id": fault.id, "severity": severity})
        return found

    def inseparable(self, seed: int) -> list[list[str]]:
        """Groups of suspects that no safe step separates, as derived."""
        groups: list[list[str]] = self.key_of(seed)["inseparable"]
        return groups


def package_version() -> str:
    """Version of the package, as its project file says it."""
    try:
        return version("halfsplit")
    except PackageNotFoundError:  # run from a folder that nobody installed
        return "unreleased"


_given: dict[str, Assignment] = {}


@contextmanager
def given(made: Assignment) -> Iterator[None]:
    """Let everybody who asks for a call get this one: what follows from it is being worked out, and stands in no file yet."""
    _given[made.call["id"]] = made
    try:
        yield
    finally:
        del _given[made.call["id"]]


def assignment(call_id: str) -> Assignment:
    """A call, its key, what follows from it, and its store; read and checked once.

    Raises
    ------
    BadRequest
        There is no such call, and the sentence names what there is; or what follows from it is missing or stale.
    """
    return _given[call_id] if call_id in _given else _read(call_id)


@cache
def _read(call_id: str) -> Assignment:
    made = underived(call_id)
    made.derived = derivedfile.load(call_id, made.made_of)
    return made


def underived(call_id: str) -> Assignment:
    """A call, its key and its store, with nothing worked out of them yet."""
    call = callfile.load_call(call_id)
    return Assignment.of(call, callfile.load_key(call_id), read.read(callfile.load_store(call["store"])))

"""A call as it is given to somebody: its sheet, its key, its store, and the night they make.

What a session sees of the call's sheet is `Assignment.played`, what a world is made of is `nights.Night`; a record is sealed with
both, so an edited title, ticket, goal or exemplar refuses no record.
"""

from dataclasses import dataclass, field
from functools import cache, cached_property
from importlib.metadata import PackageNotFoundError, version
from string import Template
from typing import Any

from scenarios import recordline
from scenarios.compiling import seals
from scenarios.content import seal_of
from scenarios.errors import BadRequest
from scenarios.faults.catalogue import by_id
from scenarios.files import callfile
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

    @classmethod
    def of(cls, call: dict[str, Any], key: dict[str, Any], store: Store) -> "Assignment":
        """Put a call's three files together."""
        variants = key.get("variants", {}) or {0: {}}
        histories = [{name: _variant(key, n)[name] for name in ("onset", "faults")} for n in range(len(variants))]
        return cls(store, {name: call[name] for name in OUTSIDE if name in call}, histories, call=call, key=key)

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
        """The key with the variant's own words put in."""
        return _variant(self.key, self.variant(seed))

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
        """Faults and severities that produce the ticket, as the key lists them; `find_suspects` makes the list."""
        listed = self.key_of(seed).get("suspects", [])
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
        """Groups of suspects that no safe step separates, as the key lists them."""
        groups: list[list[str]] = self.key_of(seed).get("inseparable", [])
        return groups


def _variant(key: dict[str, Any], n: int) -> dict[str, Any]:
    """A key with the words of one variant put in."""
    variants = key.get("variants", {})
    own = variants.get(n, variants.get(str(n), {}))
    words = {**key.get("words", {}), **own.get("words", {})}
    told = {name: value for name, value in key.items() if name != "variants"}
    told.update({name: value for name, value in own.items() if name != "words"})
    filled: dict[str, Any] = _filled(told, words)
    return filled


def _filled(value: Any, words: dict[str, Any]) -> Any:
    """Text with ``$word`` filled in, however deep it lies."""
    if isinstance(value, str):
        return Template(value).safe_substitute({k: str(v) for k, v in words.items()})
    if isinstance(value, list):
        return [_filled(item, words) for item in value]
    if isinstance(value, dict):
        return {_filled(k, words): _filled(v, words) for k, v in value.items()}
    return value


def package_version() -> str:
    """Version of the package, as its project file says it."""
    try:
        return version("halfsplit")
    except PackageNotFoundError:  # run from a folder that nobody installed
        return "unreleased"


@cache
def assignment(call_id: str) -> Assignment:
    """A call, its key and its store, read and checked once.

    Raises
    ------
    BadRequest
        There is no such call; the sentence names what there is.
    """
    call = callfile.load_call(call_id)
    return Assignment.of(call, callfile.load_key(call_id), read.read(callfile.load_store(call["store"])))

"""Weights and shares: what a point is given for. An instructor may change any of it; a trainee sees it beforehand.

A key file (never shown to trainees) tells the rubric what a call expects; `scenarios/schemas/key.json` says which words it may use.
What follows from it, as the minutes of the reference and the scores of attempts, `halfsplit derive` works out. Its parts:

truth
    ``{part, mode, where, reason}``, reason as ``PART:MODE:WHERE``.
reason_shown_by
    Names of parts or points of which a look, a tug or a reading shows the reason, e.g. ``[K5, 'K5:1']``.
sums
    ``{QUESTION: {after, ...}}``; see :mod:`graders.sums`.
goals.safe
    ``{isolation: [{part, lock: [Q5], dead: [[K5:1, K5:3, K5:5], [...]]}]}``; ``dead`` lists alternative sets of poles: every pair
    and every pole to earth of one set must have been read dead before hands were laid on ``part``.
goals.service
    ``{repair: [[replace K5], ['re-end K5:1', 'torque K5:1']], settings: {F5: 4.4}, order: [[FIRST, THEN], ...], resets: [HP1, ...],
    proof: [{of: [GD, P4], minutes: 10}], product: [C4], food: [TOPIC], grace_hours: 3, ignore: [ALARM]}``; every group of
    ``repair`` needs one of its steps, FIRST and THEN are beginnings of steps (``on Q5``), ``product`` are circuits of which
    one has to be measured.
goals.paper
    ``{fields: {why: [[loose, lug], ...], ...}, told: [{person: manager, topic: [...]}], temporary: true|false}``; a field's list
    holds groups of alternative words, one of each group has to stand in it.
goals.economy
    ``{parts: [K5]}``: parts the repair needs.
attempts
    ``[{id, title, passed, incidents, steps}]``: what an attempt must end with, whatever it scores.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

TITLES = {
    "safe": "Safe work",
    "diagnosis": "Diagnosis",
    "sums": "Calculations",
    "service": "Service restored",
    "paper": "Paper",
    "economy": "Economy",
}

SOUND = {
    "lock": "a lock and a tag of your own on every source",
    "tried": "an attempt to start what is isolated",
    "live before": "the tester shown on a live source before",
    "dead": "every line to every other and to earth read dead",
    "live after": "the tester shown on a live source after",
    "proven": "hands only on what your notes show proved dead",
    "left": "doors, covers, locks, jumpers, wires, hoses and clamps put back",
    "repair": "what failed put right, and what had made it fail",
    "order": "back in service in the right order",
    "resets": "what is reset by hand reset, each with the pressure down",
    "proof": "readings late enough after the repair to show that it works",
    "alarms": "no alarm standing at close-out",
    "product": "product measured, and the readings told to the store, which decides",
    "held": "no call in the 72 hours after close-out",
    "fields": "a work order that says what failed and why, what was done, and how it was left",
    "temporary": "a word on what is temporary, and where anything is, until when and whose",
    "told": "everybody told who has to know",
    "minutes": "no more minutes than the work needs",
    "parts": "no part changed that was sound",
}
"""What a sound job has, by item of the parts, as a trainee may read it of any call: no part, no place, no repair of this one."""

CREDITS = {
    "celsius_for_fahrenheit": 0.6,
    "difference_as_temperature": 0.4,
    "wrong_sign": 0.7,
    "bubble_for_dew": 0.4,
    "dew_for_bubble": 0.4,
    "midpoint_for_dew": 0.7,
    "gauge_for_absolute": 0.3,
    "atmosphere_added_to_gauge_card": 0.3,
    "dry_bulb_for_wet_bulb": 0.4,
    "largest_spread": 0.4,
    "highest_line_only": 0.5,
    "lowest_line_only": 0.5,
    "divided_by_highest": 0.5,
    "fraction_for_percent": 0.6,
    "sequence_ratio": 0.7,
    "dead_line_in_average": 0.3,
    "live_lines_only": 0.4,
    "upside_down": 0.4,
    "margin_twice": 0.3,
    "service_factor_amps": 0.3,
    "table_current": 0.3,
    "margin_on_table": 0.2,
    "measured_amps": 0.3,
    "left_as_found": 0.0,
    "breaker_amps": 0.0,
}


@dataclass(frozen=True)
class Rubric:
    """Points of the six parts, the gate and the partial credits of sums."""

    weights: Mapping[str, float] = field(
        default_factory=lambda: {"safe": 20.0, "diagnosis": 30.0, "sums": 20.0, "service": 15.0, "paper": 10.0, "economy": 5.0}
    )
    pass_mark: float = 60.0
    carries_least: float = 0.8
    """Least probability, at part and mode, that the readings before the first repair give the cause that was named: a lucky guess
    repairs a store once."""
    failed_most: float = 59.0
    """Most points of 100 that reach the gradebook of a call that is not passed: below the pass line. [points]"""
    gate_most: float = 49.0
    """The same after an unsafe act, and where the record does not replay. [points]"""
    credits: Mapping[str, float] = field(default_factory=lambda: dict(CREDITS))
    wrong_reading: float = 0.6
    safe: Mapping[str, float] = field(
        default_factory=lambda: {
            "lock": 3.0,
            "tried": 1.0,
            "live before": 2.0,
            "dead": 5.0,
            "live after": 2.0,
            "proven": 4.0,
            "left": 3.0,
        }
    )
    service: Mapping[str, float] = field(
        default_factory=lambda: {
            "repair": 2.0,
            "order": 2.0,
            "resets": 2.0,
            "proof": 2.0,
            "alarms": 1.0,
            "product": 2.0,
            "held": 4.0,
        }
    )
    paper: Mapping[str, float] = field(default_factory=lambda: {"fields": 6.0, "temporary": 2.0, "told": 2.0})
    economy: Mapping[str, float] = field(default_factory=lambda: {"minutes": 3.0, "parts": 2.0})
    incident_cost: float = 5.0
    reset_cost: float = 1.0
    economy_full: float = 1.35
    economy_none: float = 3.0

    def without(self, part: str) -> "Rubric":
        """The same points over the other parts, each its share: nobody earns what a call does not ask."""
        rest = self.total - self.weights[part]
        return replace(self, weights={name: 0.0 if name == part else w * self.total / rest for name, w in self.weights.items()})

    @property
    def total(self) -> float:
        """All points."""
        return sum(self.weights.values())


DEFAULT = Rubric()


@dataclass(frozen=True)
class Part:
    """Points of one of the six parts, with the sentences that say what earned or cost them."""

    id: str
    score: float
    of: float
    why: tuple[str, ...] = ()
    feedback: tuple[str, ...] = ()
    """The same for the trainee: what was done and what it earned, with nothing in it that only the key knows."""

    def as_json(self) -> dict[str, object]:
        """The form of the scorecard."""
        said = {"why": list(self.why), "feedback": list(self.feedback)}
        return {"id": self.id, "title": TITLES[self.id], "score": round(self.score, 2), "of": self.of, **said}


class Tally:
    """Earned shares of a part's items, scaled to the part's weight when all are in."""

    def __init__(self, id: str, items: Mapping[str, float], weight: float) -> None:
        self.id, self.items, self.weight = id, dict(items), weight
        self.earned: dict[str, float] = dict.fromkeys(items, 0.0)
        self.why: list[str] = []
        self.feedback: list[str] = []

    def give(self, item: str, share: float, missing: str = "") -> None:
        """Earn a share, 0 to 1, of an item; where it is not whole, ``missing`` says what a sound job needs."""
        self.earned[item] = self.items[item] * min(max(share, 0.0), 1.0)
        if share < 1.0 and missing:
            self.why.append(missing)

    def drop(self, item: str) -> None:
        """Leave an item out that this call does not have; the others share its points."""
        self.items.pop(item)
        self.earned.pop(item)

    def blame(self, why: str, feedback: str) -> None:
        """Say what costs points of no item: to the instructor, and to the trainee."""
        self.why.append(why)
        self.feedback.append(feedback)

    def part(self, minus: float = 0.0, good: str = "") -> Part:
        """The part, at least 0; ``minus`` in points of the weight, ``good`` said of work that lacks nothing."""
        total = sum(self.items.values())
        scale = self.weight / total if total else 0.0
        score = (scale * sum(self.earned.values()) if total else self.weight) - minus
        short = [item for item, most in self.items.items() if self.earned[item] < most]
        lines = [f"{SOUND[i].capitalize()}: {scale * self.earned[i]:.1f} of {scale * self.items[i]:.1f} points." for i in short]
        whole = (good,) if good else ()
        said = tuple(lines + self.feedback)
        return Part(self.id, round(max(score, 0.0), 4), self.weight, tuple(self.why) or whole, said or whole)


def gradebook(score: float, total: float, *, passed: bool, gated: bool, rubric: Rubric = DEFAULT) -> float:
    """What the gradebook receives, of 100: what is not passed stands below the pass line, after an incident lower still.

    >>> [gradebook(88.5, 100, passed=passed, gated=gated) for passed, gated in ((True, False), (False, False), (False, True))]
    [88.5, 59.0, 49.0]
    >>> gradebook(31, 100, passed=False, gated=True)
    31.0
    """
    value = 100.0 * score / total if total else 0.0
    most = rubric.gate_most if gated else value if passed else rubric.failed_most
    return round(min(value, most), 1)

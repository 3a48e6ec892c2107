"""The sums of one call: which of the trainee's own readings each needs, the reference from them, and how close is close enough.

A question is asked by the call, ``{id, title, unit, kind, needs: [{kind, at, how}]}``; the key adds ``{after: repair|any,
minutes, least}`` and what only wrong methods use. Joined they are a spec ``{sum, unit, after, minutes, ...}`` with, by ``sum``:

superheat, subcooling   ``pressure: [C4.P8, P5]``, ``line: [C4.T1]``
approach                ``pressure: [GD, P4]``, ``wet_bulb: [T5 wet bulb]``, ``dry_bulb: [T5]``
unbalance               ``lines: [[K5:2, F5:2], [K5:4], [K5:6]]``, any terminal of each line
overload                ``nameplate: 4.4``, ``dial: full-load``, and for wrong methods ``table``, ``service_factor``, ``found``,
                        ``breaker``, ``measured_at``
ratio                   ``discharge: [GD]``, ``suction: [GS]``
"""

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from graders import calculations as calc
from graders import misconceptions as miss
from graders.calculations import Figure, Saturation
from graders.misconceptions import Verdict, Wrong
from graders.moments import DEGREE_F, Moment
from graders.rubric import DEFAULT, Rubric

PAIRED = 300.0
"""Readings farther apart than this [s] see the whole movement of the plant between them."""
LEAST = {
    "superheat": 2.0 * DEGREE_F,
    "subcooling": 2.0 * DEGREE_F,
    "approach": 2.0 * DEGREE_F,
    "unbalance": 0.1,
    "overload": 0.1,
    "ratio": 0.1,
}
"""Never closer than this: digital instruments and a card (answer policy), in the unit of the sum."""


KINDS = {"overload_setting": "overload", "pressure_ratio": "ratio"}
"""Kinds of question that have a longer name in calls."""


def spec_of(question: Mapping[str, Any], extra: Mapping[str, Any]) -> dict[str, Any]:
    """A question of the call joined with what the key says about it; names the key gives come beside those of the call."""
    kind = str(extra.get("sum") or KINDS.get(str(question["kind"]), question["kind"]))
    spec: dict[str, Any] = {"sum": kind, "unit": question.get("unit", "F"), "title": question.get("title", question["id"])}
    at = [need["at"] + (" wet bulb" if need.get("how") == "wick" else "") for need in question.get("needs", [])]
    names = {
        "superheat": ("pressure", "line"),
        "subcooling": ("pressure", "line"),
        "approach": ("pressure", "wet_bulb"),
        "ratio": ("discharge", "suction"),
    }
    spec |= {name: [point] for name, point in zip(names.get(kind, ()), at, strict=False)}
    if kind == "unbalance":
        spec["lines"] = [[point] for point in at]
    if kind == "approach":
        spec["dry_bulb"] = [at[1].split()[0]]
    for name, value in extra.items():
        if name in ("pressure", "line", "wet_bulb", "dry_bulb", "discharge", "suction") and name in spec:
            spec[name] = [*spec[name], *value]
        elif name == "lines" and "lines" in spec:
            spec[name] = [[*mine, *theirs] for mine, theirs in zip(spec[name], value, strict=True)]
        else:
            spec[name] = value
    return spec


@dataclass(frozen=True)
class Taken:
    """One reading that a sum can use: when, what, and its figure."""

    n: int
    t: float
    of: str
    kind: str
    step: str
    figure: Figure


@dataclass(frozen=True)
class Answered:
    """One judged answer, in the question's unit."""

    id: str
    given: float | None
    unit: str
    reference: float | None
    tolerance: float | None
    verdict: Verdict
    credit: float
    title: str = ""


@dataclass(frozen=True)
class Work:
    """A sum with its figures: value, tolerance and the wrong methods on the same figures; ``tight`` is the card alone."""

    value: float
    tolerance: float
    tight: float
    wrongs: tuple[Wrong, ...] = field(default=())


def taken(moments: Sequence[Moment]) -> list[Taken]:
    """All figures the trainee read, with the limit of the instrument and half the range the plant moved through."""
    found = []
    for moment in moments:
        truths = {(truth.of, truth.kind): truth for truth in moment.truths}
        for reading in moment.readings:
            if reading.value is None or not math.isfinite(reading.value):
                continue
            truth = truths.get((reading.of, reading.kind))
            window = truth.window if truth else ()
            moved = (max(window) - min(window)) / 2.0 if window else 0.0
            figure = Figure(reading.value, truth.accuracy if truth else 0.0, moved)
            found.append(Taken(moment.n, moment.t, reading.of, reading.kind, moment.step, figure))
    return found


def fits(entry: Taken, names: Sequence[str], kind: str) -> bool:
    """Whether a reading is of one of the names."""
    return entry.kind == kind and entry.of in names


def nearest(groups: Sequence[Sequence[Taken]]) -> list[Taken] | None:
    """One reading of each group: the last of the first group, and of the others those nearest to it in time."""
    if not all(groups):
        return None
    anchor = groups[0][-1]
    return [anchor, *(min(group, key=lambda e: (abs(e.t - anchor.t), -e.n)) for group in groups[1:])]


def paired(chosen: Sequence[Taken]) -> list[Figure]:
    """Figures of readings taken together: the nearer in time, the less the plant has moved between them."""
    gap = max(e.t for e in chosen) - min(e.t for e in chosen)
    share = min(1.0, gap / PAIRED)
    return [Figure(e.figure.value, e.figure.limit, e.figure.moved * share) for e in chosen]


def needs(spec: Mapping[str, Any]) -> list[tuple[list[str], str]]:
    """Names and kind of each reading a sum needs, in the order of its arguments."""
    kind = spec["sum"]
    if kind in ("superheat", "subcooling"):
        return [(spec["pressure"], "pressure"), (spec["line"], "temperature")]
    if kind == "approach":
        return [(spec["pressure"], "pressure"), (spec["wet_bulb"], "temperature")]
    if kind == "unbalance":
        return [(names, "amps") for names in spec["lines"]]
    if kind == "ratio":
        return [(spec["discharge"], "pressure"), (spec["suction"], "pressure")]
    return []


def work(spec: Mapping[str, Any], figures: Sequence[Figure], saturation: Saturation, extra: Mapping[str, Any]) -> Work | None:
    """One sum from its figures: value, tolerance, and what the wrong methods give; None where these figures give no number.

    Three clamps that read nothing have no unbalance, and a display that is over its range is no figure.
    """
    kind, values = spec["sum"], [figure.value for figure in figures]
    sum_of: Callable[[Sequence[float]], float]
    steps: list[float] = []
    if kind in ("superheat", "subcooling", "approach"):
        function = {"superheat": calc.superheat, "subcooling": calc.subcooling, "approach": calc.approach}[kind]
        curve = saturation.bubble if kind == "subcooling" else saturation.dew
        steps = calc.card_steps(curve, values[0])

        def sum_of(v: Sequence[float]) -> float:
            return function(saturation, v[0], v[1])

        slips = {"superheat": miss.superheat, "subcooling": miss.subcooling}
        wrongs = (
            slips[kind](saturation, *values)
            if kind in slips
            else miss.approach(saturation, values[0], values[1], extra.get("dry_bulb"))
        )
    elif kind == "unbalance":
        sum_of, wrongs = calc.percent_unbalance, miss.unbalance(values, extra.get("dead"))
    elif kind == "ratio":
        wrongs = miss.ratio(*values)

        def sum_of(v: Sequence[float]) -> float:
            return calc.pressure_ratio(v[0], v[1])
    else:
        raise ValueError(f"unknown sum {kind!r}")
    least = _least(spec)
    value, spread = sum_of(values), calc.spread(sum_of, figures, steps)
    if not (math.isfinite(value) and math.isfinite(spread)):
        return None
    return Work(value, max(least, spread), max(least / 2.0, calc.spread(sum_of, [], steps)), tuple(wrongs))


def _least(spec: Mapping[str, Any]) -> float:
    kind = spec["sum"]
    scale = DEGREE_F if kind in ("superheat", "subcooling", "approach") and spec.get("unit", "F") != "K" else 1.0
    return max(LEAST[kind], float(spec.get("least", 0.0)) * scale)


def in_sum_unit(value: float, unit: str, kind: str) -> float:
    """An answer in the unit of the sum: temperature differences in K, the rest as given."""
    fahrenheit = unit.strip().lower().lstrip("°").removeprefix("deg").removesuffix("-difference") in ("f", "df", "r")
    return value * DEGREE_F if kind in ("superheat", "subcooling", "approach") and fahrenheit else value


def shown(value: float | None, unit: str, kind: str) -> float | None:
    """A figure in the unit of the question, three digits after the point."""
    if value is None:
        return None
    return round(value / in_sum_unit(1.0, unit, kind), 3)


def judge_answer(
    question: str,
    spec: Mapping[str, Any],
    given: tuple[int, float, str] | None,
    readings: Sequence[Taken],
    repair_t: float | None,
    saturation: Saturation,
    rubric: Rubric = DEFAULT,
) -> Answered:
    """Judge one answer ``(step, value, unit)``, or its absence, against the trainee's own readings."""
    unit, kind = str(spec.get("unit", "F")), spec["sum"]
    if given is None:
        return Answered(
            question, None, unit, None, None, Verdict(miss.MISSING, (), "not answered"), 0.0, str(spec.get("title", question))
        )
    n, value, said = given
    before = [entry for entry in readings if entry.n < n]
    mine = in_sum_unit(value, said or unit, kind)
    done: Work | None
    elsewhere: list[tuple[float, str]] = []
    if kind == "overload":
        done = _overload(spec, before)
    else:
        done, elsewhere = _from_readings(spec, before, repair_t, saturation)
    if done is None:
        tolerance = _least(spec)
        verdict = miss.judge(mine, None, tolerance, (), elsewhere, tolerance)
    else:
        tolerance = done.tolerance
        verdict = miss.judge(mine, done.value, tolerance, done.wrongs, elsewhere, done.tight)
    reference = shown(done.value, unit, kind) if done else None
    return Answered(
        question,
        shown(mine, unit, kind),
        unit,
        reference,
        shown(tolerance, unit, kind),
        verdict,
        credit(verdict, rubric),
        str(spec.get("title", question)),
    )


def credit(verdict: Verdict, rubric: Rubric = DEFAULT) -> float:
    """Share of a question's points; where two slips cannot be told apart, the milder counts."""
    if verdict.verdict == miss.RIGHT:
        return 1.0
    if verdict.verdict == miss.CLOSE_METHOD:
        return rubric.wrong_reading
    return max((rubric.credits.get(method, 0.0) for method in verdict.methods), default=0.0)


def _overload(spec: Mapping[str, Any], before: Sequence[Taken]) -> Work:
    """Overload setting: from the nameplate, no reading of the plant needed."""
    plate = float(spec["nameplate"])
    facts = {name: float(spec[name]) for name in ("table", "service_factor", "found", "breaker") if name in spec}
    measured = [entry.figure.value for entry in before if fits(entry, spec.get("measured_at", []), "amps")]
    if measured:
        facts["measured"] = measured[-1]
    value = calc.overload_setting(plate, str(spec.get("dial", "full-load")), facts.get("service_factor", 1.15))
    tolerance = max(_least(spec), 0.02 * value)
    return Work(value, tolerance, tolerance, tuple(miss.overload(plate, facts)))


def _from_readings(
    spec: Mapping[str, Any], before: Sequence[Taken], repair_t: float | None, saturation: Saturation
) -> tuple[Work | None, list[tuple[float, str]]]:
    """The sum on the readings it asks for, and the same sum on every other pair the trainee took."""
    start = (repair_t if repair_t is not None else float("inf")) if spec.get("after", "any") == "repair" else float("-inf")
    late = [entry for entry in before if entry.t >= start + 60.0 * float(spec.get("minutes", 0.0)) or start == float("-inf")]
    asked = needs(spec)
    chosen = nearest([[e for e in late if fits(e, names, kind)] for names, kind in asked])
    extra = _extra(spec, before, late, start)
    done = work(spec, paired(chosen), saturation, extra) if chosen else None
    used = {e.n for e in chosen} if chosen else set()
    elsewhere = []
    for other in _other_sets(asked, before):
        if {e.n for e in other} != used:
            wrong = work(spec, [e.figure for e in other], saturation, {})
            early = any(e.t < start for e in other)
            says = "from before the repair" if early else "not those this sum asks for: " + ", ".join(e.of for e in other)
            elsewhere += [(wrong.value, says)] if wrong else []
    return done, elsewhere


def _extra(spec: Mapping[str, Any], before: Sequence[Taken], late: Sequence[Taken], start: float) -> dict[str, Any]:
    """Readings that only wrong methods use: the dry bulb, and the three lines as they were before the repair."""
    extra: dict[str, Any] = {}
    dry = [e.figure.value for e in late if fits(e, spec.get("dry_bulb", []), "temperature")]
    if dry:
        extra["dry_bulb"] = dry[-1]
    if spec["sum"] == "unbalance":
        early = nearest([[e for e in before if e.t < start and fits(e, names, "amps")] for names in spec["lines"]])
        if early and max(e.figure.value for e in early) > 0.0:
            extra["dead"] = [e.figure.value for e in early]
    return extra


def _other_sets(asked: Sequence[tuple[list[str], str]], before: Sequence[Taken], most: int = 12) -> list[tuple[Taken, ...]]:
    """Other readings of the right kinds, the latest ``most`` of each: pairs anywhere, threes only on the lines asked."""
    groups = []
    for names, kind in asked:
        groups.append([e for e in before if e.kind == kind and (len(asked) == 2 or fits(e, names, kind))][-most:])
    return [choice for choice in itertools.product(*groups) if len({e.n for e in choice}) == len(choice) or len(asked) == 3]

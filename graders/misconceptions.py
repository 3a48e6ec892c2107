"""Wrong methods: what each would have given from the same readings, and which of them explains an answer.

A method is data: a name, a sentence and a small function of the same readings. An answer that two methods explain equally well is
reported as both, never pinned on one. Credits are shares of a question's points and belong to :mod:`graders.rubric`.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from graders import calculations as sums
from graders.calculations import Saturation
from graders.moments import ATM, DEGREE_F

RIGHT, CLOSE_METHOD, WRONG, MISSING = "right", "right method, wrong reading", "wrong", "not answered"
FLAWED, NO_READING = "wrong method", "no reading"


@dataclass(frozen=True)
class Wrong:
    """One wrong method applied to the trainee's own readings; ``value`` in the unit of the sum."""

    id: str
    says: str
    value: float


@dataclass(frozen=True)
class Verdict:
    """What an answer was: verdict word, method ids that explain it, a sentence."""

    verdict: str
    methods: tuple[str, ...] = ()
    says: str = ""

    @property
    def in_words(self) -> str:
        """Verdict and sentence, said once where they are the same."""
        return self.verdict if self.says in ("", self.verdict) else f"{self.verdict}: {self.says}"


def _over(value: float, other: float) -> float:
    """A quotient, or no number where there is nothing to divide by: no reading, however odd, may stop a grader."""
    return value / other if other else math.nan


def _mixed(value: float, sign: str) -> list[Wrong]:
    """Slips that any temperature difference [K] invites."""
    return [
        Wrong("wrong_sign", f"the subtraction is the wrong way round: {sign}", -value),
        Wrong("celsius_for_fahrenheit", "a difference in degrees C was given as degrees F", value * DEGREE_F),
        Wrong("difference_as_temperature", "32 was added to a difference, as if it were a temperature", value + 32.0 * DEGREE_F),
    ]


def superheat(saturation: Saturation, pressure: float, line: float) -> list[Wrong]:
    """Wrong superheats [K] from suction pressure [Pa] and line temperature [C]."""
    right = sums.superheat(saturation, pressure, line)
    return [
        Wrong("bubble_for_dew", "worked from bubble where dew belongs", line - saturation.bubble(pressure)),
        Wrong("gauge_for_absolute", "the gauge pressure was looked up as absolute", line - saturation.dew(pressure - ATM)),
        Wrong(
            "atmosphere_added_to_gauge_card",
            "14.7 psi was added before a card that is in gauge pressure",
            line - saturation.dew(pressure + ATM),
        ),
        *_mixed(right, "line less dew"),
    ]


def subcooling(saturation: Saturation, pressure: float, line: float) -> list[Wrong]:
    """Wrong subcoolings [K] from liquid pressure [Pa] and line temperature [C]."""
    right = sums.subcooling(saturation, pressure, line)
    return [
        Wrong("dew_for_bubble", "worked from dew where bubble belongs", saturation.dew(pressure) - line),
        Wrong("gauge_for_absolute", "the gauge pressure was looked up as absolute", saturation.bubble(pressure - ATM) - line),
        Wrong(
            "atmosphere_added_to_gauge_card",
            "14.7 psi was added before a card that is in gauge pressure",
            saturation.bubble(pressure + ATM) - line,
        ),
        *_mixed(right, "bubble less line"),
    ]


def approach(saturation: Saturation, pressure: float, wet_bulb: float, dry_bulb: float | None = None) -> list[Wrong]:
    """Wrong condensing-over-wet-bulb differences [K]; ``dry_bulb`` [C] where it was read."""
    right = sums.approach(saturation, pressure, wet_bulb)
    dew, bubble = saturation.dew(pressure), saturation.bubble(pressure)
    found = [
        Wrong("bubble_for_dew", "worked from bubble where dew belongs", bubble - wet_bulb),
        Wrong("midpoint_for_dew", "worked from the midpoint where dew is asked", (dew + bubble) / 2.0 - wet_bulb),
        Wrong("gauge_for_absolute", "the gauge pressure was looked up as absolute", saturation.dew(pressure - ATM) - wet_bulb),
        *_mixed(right, "condensing less wet bulb"),
    ]
    if dry_bulb is not None:
        found.append(Wrong("dry_bulb_for_wet_bulb", "the dry bulb was taken for the wet bulb", dew - dry_bulb))
    return found


def unbalance(lines: Sequence[float], dead: Sequence[float] | None = None) -> list[Wrong]:
    """Wrong unbalances [%] of three line magnitudes; ``dead`` are the three from before the repair, one of them missing."""
    mean, high, low = sum(lines) / 3.0, max(lines), min(lines)
    right = sums.percent_unbalance(lines)
    found = [
        Wrong(
            "largest_spread",
            "largest less smallest, where the largest deviation from the average belongs",
            100.0 * _over(high - low, mean),
        ),
        Wrong(
            "highest_line_only",
            "the highest line was taken, but the lowest is farther from the average",
            100.0 * _over(high - mean, mean),
        ),
        Wrong(
            "lowest_line_only",
            "the lowest line was taken, but the highest is farther from the average",
            100.0 * _over(mean - low, mean),
        ),
        Wrong("divided_by_highest", "divided by the highest line instead of the average", _over(right * mean, high)),
        Wrong("fraction_for_percent", "a fraction was given as percent", right / 100.0),
        Wrong("sequence_ratio", "the sequence ratio was given; the percent of NEMA is asked", sums.sequence_unbalance(lines)),
    ]
    if dead is not None:
        found.append(
            Wrong(
                "dead_line_in_average",
                "the dead line was averaged in: these are the amps before the repair",
                sums.percent_unbalance(dead),
            )
        )
        live = [amps for amps in dead if amps > 0.05 * max(dead)]
        if 1 < len(live) < 3:
            average = sum(live) / len(live)
            found.append(
                Wrong(
                    "live_lines_only",
                    "only the live lines from before the repair",
                    _over(100.0 * max(abs(a - average) for a in live), average),
                )
            )
    return found


def overload(nameplate: float, facts: Mapping[str, float]) -> list[Wrong]:
    """Wrong settings [A] of a dial in motor full-load amps; ``facts``: table, measured, found, service_factor, breaker."""
    table, factor = facts.get("table"), facts.get("service_factor", 1.15)
    found = [
        Wrong("margin_twice", "1.25 times the nameplate, on a dial that has the margin built in", 1.25 * nameplate),
        Wrong(
            "service_factor_amps",
            "the service factor was multiplied in, on a dial that has the margin built in",
            factor * nameplate,
        ),
    ]
    if table is not None:
        found.append(Wrong("table_current", "the full-load current of the conductor table, not the nameplate", table))
        found.append(Wrong("margin_on_table", "1.25 times the table current, not the nameplate", 1.25 * table))
    if "measured" in facts:
        found.append(Wrong("measured_amps", "the amps measured tonight, not the nameplate", facts["measured"]))
    if "found" in facts:
        found.append(Wrong("left_as_found", "the dial as it was found", facts["found"]))
    if "breaker" in facts:
        found.append(Wrong("breaker_amps", "the size of the breaker", facts["breaker"]))
    return found


def ratio(discharge: float, suction: float) -> list[Wrong]:
    """Wrong compression ratios from absolute pressures [Pa]."""
    found = [Wrong("upside_down", "suction over discharge", _over(suction, discharge))]
    if suction > ATM * 1.01:
        found.append(
            Wrong("gauge_for_absolute", "gauge pressures were divided; a ratio needs absolute", (discharge - ATM) / (suction - ATM))
        )
    return found


def judge(
    given: float,
    right: float | None,
    tolerance: float,
    wrongs: Sequence[Wrong],
    elsewhere: Sequence[tuple[float, str]] = (),
    tight: float = 0.0,
) -> Verdict:
    """Say what an answer was.

    Parameters
    ----------
    given : float
        The answer, in the unit of the sum.
    right : float or None
        The right method on the right readings; None where they were never taken.
    tolerance : float
        Expanded spread, in the unit of the sum.
    wrongs : sequence of Wrong
        Wrong methods on the right readings.
    elsewhere : sequence of (value, says)
        The right method on other readings the trainee took.
    tight : float
        Tolerance for ``elsewhere`` (only the card), in the unit of the sum: many pairs exist, so a loose one would match by chance.
    """
    if not math.isfinite(given):
        return Verdict(WRONG, (), "this is not a number")
    if right is not None and abs(given - right) <= tolerance:
        return Verdict(RIGHT, (), "within the spread of your own readings")
    hits = [
        w
        for w in wrongs
        if math.isfinite(w.value) and abs(given - w.value) <= tolerance and (right is None or abs(w.value - right) > tolerance)
    ]
    best = min((abs(given - w.value) for w in hits), default=0.0)
    nearest = [w for w in hits if abs(given - w.value) <= best + tolerance / 2.0]
    moved = [says for value, says in elsewhere if abs(given - value) <= tight]
    if moved and (not nearest or best > tight):
        return Verdict(CLOSE_METHOD, (), f"the method is right, but the readings are {moved[0]}")
    if len(nearest) == 1:
        return Verdict(FLAWED, (nearest[0].id,), nearest[0].says)
    if nearest:
        return Verdict(
            FLAWED, tuple(w.id for w in nearest), "cannot be told apart at this spread: " + "; or ".join(w.says for w in nearest)
        )
    if right is None:
        return Verdict(NO_READING, (), "you took no readings from which this sum can be worked")
    return Verdict(WRONG, (), "neither the right method nor a known slip gives this from your readings")

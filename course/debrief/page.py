"""The debrief of one call as one self-contained page: what was done, what it told, what it was worth, and what came after.

Nothing is fetched from anywhere, every word is escaped, light and dark follow the reader's own setting.
"""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from course.debrief import picture
from course.debrief.findings import (
    after_rows,
    first_sure,
    grid,
    missing_split,
    safe_rows,
    step_of,
    sums_rows,
    telling,
    told,
    true_suspect,
    turning,
)
from course.debrief.picture import Axis
from graders import economy, gate
from graders.moments import Cause, Moment, split_reason
from graders.rubric import TITLES
from graders.scorecard import Judged, as_json, by_hand, judged_record
from scenarios.faults.modes import MODES


@cache
def template() -> jinja2.Template:
    """The page; escaping is on, and a name that is missing is an error."""
    folder = Path(__file__).parent
    loader = jinja2.FileSystemLoader(folder)
    return jinja2.Environment(
        loader=loader, autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    ).get_template("debrief.html")


def page(record: Path | str | bytes | Judged) -> str:
    """Debrief of a record, or of a night already judged, as HTML."""
    judged = record if isinstance(record, Judged) else judged_record(record)
    with by_hand(record if not isinstance(record, Judged) else record.night.call):
        return template().render(**view(judged))


def view(judged: Judged) -> dict[str, Any]:
    """Everything the page shows."""
    night, card = judged.night, as_json(judged)
    i = true_suspect(judged)
    tell = telling(judged.course, i, judged.diagnosis.frozen)
    return {
        "card": card,
        "rule": gate.RULE,
        "title": night.title,
        "closed": picture.clock(night.moments[-1].t, night.starts) if night.moments else "",
        "spent": f"{on_site(night.moments) / 60.0:.0f}",
        "parts": card["parts"],
        "drawing": Markup(drawing(judged, i, tell)),  # made of numbers and words that picture.text has escaped
        "telling": [told(judged, k, n) for n, k in enumerate(tell, 1)],
        "turning": turning(judged),
        "answers": sums_rows(judged),
        "grid": grid(judged, i),
        "safe": safe_rows(judged),
        "after": after_rows(judged),
        "titles": TITLES,
        "missing": missing_split(judged, i),
        "first_sure": first_sure(judged, i),
        "surprise": [step_of(night.moments, n) for n in judged.course.surprises],
        "named": in_words(judged.diagnosis.named),
        "truth": in_words(night.truth),
    }


def in_words(cause: Cause | None) -> str:
    """A cause and its reason as a sentence would say them.

    >>> in_words(Cause("K5", "does_not_close", "K5:1", "K5:loose_burnt:K5:1"))
    'K5 does not close at K5:1, because of K5 loose or burnt joint at K5:1'
    """
    if cause is None:
        return "nothing"
    said = " ".join([cause.part, MODES.get(cause.mode, cause.mode), *([f"at {cause.where}"] if cause.where else [])])
    reason = split_reason(cause.reason)
    return said + (f", because of {in_words(reason)}" if reason else "")


def on_site(moments: Sequence[Moment]) -> float:
    """Seconds from the first step to the last."""
    return moments[-1].t - moments[0].t if moments else 0.0


def drawing(judged: Judged, true: int | None, tell: Sequence[int]) -> str:
    """The lanes, one under the other."""
    night, course = judged.night, judged.course
    if not night.moments:
        return ""
    axis = Axis(night.moments[0].t - 60.0 * night.moments[0].minutes, night.moments[-1].t)
    numbered = {course.pieces[k].n: n for n, k in enumerate(tell, 1)}
    goals = night.key.get("goals", {}).get("economy", {})
    spent = economy.charged(night.moments, night.facts)
    parts = [
        picture.places(axis, 40, night.moments, {}),
        picture.reference(axis, 72, float(goals.get("minutes", spent)), spent, axis.start),
    ]
    parts.append(picture.steps(axis, 112, night.moments, numbered, {fact.n for fact in judged.incidents}))
    y = 158.0
    parts.append(picture.text(16, y, "Odds of each suspect", "head") + key_of_heights(y))
    y += 12.0
    times = [piece.t for piece in course.pieces]
    own = picture.order_of_lanes(course, true)
    for i in own:
        suspect = course.suspects[i]
        label = picture.two_lines(
            suspect.title or suspect.part, f"{suspect.part} {suspect.mode.replace('_', ' ')} {suspect.where}".strip()
        )
        parts.append(picture.lane(axis, y, times, [row[i] for row in course.odds], label, set(tell), i == true))
        y += picture.LANE
    rest = [i for i in range(len(course.suspects)) if i not in own]
    if rest:
        sums = [min(1.0, sum(row[i] for i in rest)) for row in course.odds]
        parts.append(picture.lane(axis, y, times, sums, (f"{len(rest)} others", ""), set(tell), False))
        y += picture.LANE
    for k in tell:
        x = axis.x(course.pieces[k].t)
        parts.append(f'<path class="drop" d="M{x:g} 122V{y:g}"/>')
    for channel in night.trends:
        parts.append(picture.trend(axis, y, channel))
        y += 76.0
    frame = picture.hours(axis, 20, y, night.starts)
    size = f"0 0 {picture.LEFT + picture.WIDE + picture.RIGHT:g} {y + 8:g}"
    return f'<svg viewBox="{size}" role="img" aria-label="The call, minute by minute">{frame}{"".join(parts)}</svg>'


def key_of_heights(y: float) -> str:
    """Key that says what a height means."""
    out, x = [picture.text(725, y, "from your readings alone · height is the square root:", "small", "end")], 735.0
    for p in (0.01, 0.10, 0.50):
        high = 24.0 * p**0.5
        out.append(
            f'<rect class="odds" x="{x:g}" y="{y + 2 - high:.1f}" width="9" height="{high:.1f}"/>'
            + picture.text(x + 13, y, f"{100 * p:.0f}", "num")
        )
        x += 44.0
    return "".join(out) + picture.text(x - 8, y, "%", "num")

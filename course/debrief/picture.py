"""Drawing of a debrief: lanes over one time axis, as inline SVG made of plain numbers and escaped words."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from itertools import pairwise

from graders.evidence import Course
from graders.moments import Moment, SawKind, Trend

LEFT, WIDE, RIGHT = 216.0, 724.0, 24.0
"""Label column, plot and margin [px]."""
LANE, ROW = 46.0, 28.0
ROOM = 24.0
"""Room that a number in a lane needs [px]."""
SHOWN = 6
"""Most suspects with a lane of their own; the rest share one."""


@dataclass(frozen=True)
class Axis:
    """Time [s] against x [px]."""

    start: float
    end: float

    def x(self, t: float) -> float:
        """Place of a time, held inside the plot."""
        share = (t - self.start) / max(self.end - self.start, 1.0)
        return round(LEFT + WIDE * min(max(share, 0.0), 1.0), 1)


def clock(t: float, starts: str) -> str:
    """Clock time of a call time [s].

    >>> clock(3600 + 22 * 60, "03:35")
    '04:57'
    """
    hours, minutes = (int(piece) for piece in starts.split(":"))
    total = int(hours * 60 + minutes + t // 60) % 1440
    return f"{total // 60:02d}:{total % 60:02d}"


def text(x: float, y: float, words: str, kind: str = "", anchor: str = "start") -> str:
    """One escaped text."""
    style = f' class="{kind}"' if kind else ""
    side = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text x="{x:g}" y="{y:g}"{style}{side}>{escape(words)}</text>'


def spans(moments: Sequence[Moment]) -> list[tuple[str, float, float]]:
    """Place by place, from when to when."""
    found: list[tuple[str, float, float]] = []
    for moment in moments:
        begin = moment.t - 60.0 * moment.minutes
        if found and found[-1][0] == moment.place:
            found[-1] = (moment.place, found[-1][1], moment.t)
        else:
            found.append((moment.place, begin if found else moment.t, moment.t))
    return found


def places(axis: Axis, y: float, moments: Sequence[Moment], titles: dict[str, str]) -> str:
    """Lane of places."""
    out = [text(16, y + 16, "Where you were", "head")]
    for place, begin, end in spans(moments):
        a, b = axis.x(begin), axis.x(end)
        out.append(
            f'<rect class="place" x="{a:g}" y="{y:g}" width="{max(b - a - 2, 1):g}" height="24">'
            f"<title>{escape(place)}</title></rect>"
        )
        name = titles.get(place, place.replace("_", " ").capitalize())
        if b - a > 7.0 * len(name):
            out.append(text((a + b) / 2, y + 16, name, "", "middle"))
    return "".join(out)


def reference(axis: Axis, y: float, minutes: float, spent: float, start: float) -> str:
    """Lane of the reference: how long a sound job would have taken from arrival."""
    a, b = axis.x(start), axis.x(start + 60.0 * minutes)
    difference = spent - minutes
    words = (
        f"{abs(difference):.0f} min {'sooner' if difference > 0 else 'later'} than you"
        if abs(difference) >= 1
        else "as long as you"
    )
    box = f'<rect class="ref" x="{a:g}" y="{y:g}" width="{max(b - a, 1):g}" height="20"/>'
    return text(16, y + 15, "The reference", "head") + box + text(min(b + 6, LEFT + WIDE - 150), y + 15, words)


def steps(axis: Axis, y: float, moments: Sequence[Moment], numbered: dict[int, int], bad: set[int]) -> str:
    """Lane of steps: rings are readings, squares are hands, numbers the telling readings, a cross an incident."""
    out = [text(16, y + 5, "What you did", "head"), text(16, y + 21, "○ reading  ■ hands", "small")]
    for moment in moments:
        x = axis.x(moment.t)
        title = f"<title>{escape(moment.step)}</title>"
        if moment.n in numbered:
            continue
        if moment.n in bad:
            out.append(f'<path class="bad" d="M{x - 5:g} {y - 5:g}l10 10m0 -10l-10 10">{title}</path>')
        elif SawKind(moment.kind).seen:
            out.append(f'<circle class="ring" cx="{x:g}" cy="{y:g}" r="4">{title}</circle>')
        elif moment.kind == SawKind.ACT:
            out.append(f'<rect class="hand" x="{x - 4:g}" y="{y - 4:g}" width="8" height="8">{title}</rect>')
    for moment in moments:
        if moment.n in numbered:
            x = axis.x(moment.t)
            out.append(f'<circle class="telling" cx="{x:g}" cy="{y:g}" r="10"><title>{escape(moment.step)}</title></circle>')
            out.append(text(x, y + 4, str(numbered[moment.n]), "telling-n", "middle"))
    return "".join(out)


def lane(
    axis: Axis, y: float, times: Sequence[float], chances: Sequence[float], label: tuple[str, str], marks: set[int], mine: bool
) -> str:
    """One suspect: height is the square root of the odds' probability, with numbers at the start and after telling readings."""
    high, base = LANE - 10.0, y + LANE - 2.0
    path, previous = [f"M{axis.x(axis.start):g} {base:g}"], chances[0]
    path.append(f"V{base - high * math.sqrt(chances[0]):.1f}")
    out = []
    told = sorted(axis.x(times[k]) for k in marks if k < len(times))
    crowded = {x for x, after in pairwise(told) if after - x < ROOM}  # of numbers that would overlap the later stays
    for k, (t, p) in enumerate(zip(times, chances[1:], strict=True)):
        if p != previous:
            path.append(f"H{axis.x(t):g}V{base - high * math.sqrt(p):.1f}")
            previous = p
        if k in marks and axis.x(t) not in crowded:
            out.append(text(axis.x(t) + 4, min(base - high * math.sqrt(p) + 14, base - 3), per_cent(p), "num"))
    path.append(f"H{axis.x(axis.end):g}V{base:g}Z")
    kind = "odds mine" if mine else "odds"
    head = text(16, y + 18, ("▸ " if mine else "") + label[0], "head" if mine else "") + text(28, y + 34, label[1], "small")
    end = text(LEFT - 10, y + 18, f"{per_cent(chances[-1])} %", "head" if mine else "", "end")
    return (
        f'<path class="{kind}" d="{"".join(path)}"/>'
        + head
        + end
        + text(LEFT + 5, base - 3, per_cent(chances[0]), "num")
        + "".join(out)
    )


def two_lines(title: str, detail: str, most: int = 17) -> tuple[str, str]:
    """A label in two lines: a short title over its detail, or a long title over both.

    >>> two_lines("spray pump motor", "M5 open inside T1")
    ('spray pump motor', 'M5 open inside T1')
    >>> two_lines("feed of the pump, one line open: lug or breaker", "Q5")
    ('feed of the pump,', 'one line open: lug or breaker')
    """
    if len(title) <= most:
        return title, detail if len(detail) <= 30 else detail[:29] + "…"
    cut = title.rfind(" ", 0, most + 1)
    first, rest = title[: cut if cut > 0 else most], title[cut if cut > 0 else most :].strip()
    return first, rest if len(rest) <= 30 else rest[:29] + "…"


def per_cent(p: float) -> str:
    """Whole percent, or under one.

    >>> per_cent(0.004), per_cent(0.53), per_cent(1.0)
    ('<1', '53', '>99')
    """
    return "<1" if p < 0.01 else ">99" if p > 0.99 else f"{100.0 * p:.0f}"


def order_of_lanes(course: Course, true: int | None) -> list[int]:
    """Suspects with a lane of their own: the true one first, then by the most any reading ever gave them."""
    peak = [max(row[i] for row in course.odds) for i in range(len(course.suspects))]
    ranked = sorted(range(len(course.suspects)), key=lambda i: (i != true, -peak[i], i))
    return ranked[: SHOWN - 1] if len(ranked) > SHOWN else ranked


def trend(axis: Axis, y: float, channel: Trend) -> str:
    """One trend with its own scale and, where there is one, its limit."""
    inside = [
        (channel.start + k * channel.step, v)
        for k, v in enumerate(channel.values)
        if axis.start <= channel.start + k * channel.step <= axis.end
    ]
    if len(inside) < 2:
        return ""
    inside = inside[:: max(1, len(inside) // 360)]
    values = [v for _, v in inside] + ([channel.limit] if channel.limit is not None else [])
    low, high = min(values), max(values)
    room = max(high - low, 1e-9)

    def place(v: float) -> float:
        return y + 8.0 + 56.0 * (high - v) / room

    points = "L".join(f"{axis.x(t):g} {place(v):.1f}" for t, v in inside)
    out = [text(16, y + 18, channel.title, "head"), text(16, y + 34, channel.unit, "small"), f'<path class="line" d="M{points}"/>']
    for v in (high, low):
        out.append(text(LEFT - 8, place(v) + 4, f"{v:.0f}", "num", "end"))
    if channel.limit is not None:
        out.append(f'<path class="limit" d="M{LEFT:g} {place(channel.limit):.1f}H{LEFT + WIDE:g}"/>')
    return "".join(out)


def hours(axis: Axis, y: float, bottom: float, starts: str) -> str:
    """Half-hour lines with clock times."""
    step = 1800.0 if axis.end - axis.start < 6 * 3600 else 3600.0
    begin, minutes = starts.split(":"), 0.0
    offset = (int(begin[0]) * 60 + int(begin[1])) * 60.0
    out, k = [], math.ceil((axis.start + offset) / step)
    while (minutes := k * step - offset) <= axis.end:
        x = axis.x(minutes)
        out.append(f'<path class="hair" d="M{x:g} {y + 6:g}V{bottom:g}"/>' + text(x, y, clock(minutes, starts), "small", "middle"))
        k += 1
    return "".join(out)

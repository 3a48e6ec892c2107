"""What a technician can do: one table from which steps are read, checked and explained.

A verb's *form* is its grammar: CAPITALS name what belongs there, small words stand for themselves, ``a|b`` is a choice,
``[...]`` may be left out, ``[key=KIND]`` is an option. Words in capitals are explained in `KINDS`.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

KINDS: dict[str, str] = {
    "PLACE": "a place of the store: van floor motor_room panel roof",
    "PART": "a part by its mark or name: K5, M5, C4, COIL, GD",
    "TERMINAL": "a terminal or rail: K5:1, X1, PE",
    "POINT": "a test point of the plant: P4, T9, C4.T1",
    "PERSON": "manager, dispatcher, second or utility",
    "TOPIC": "one of that person's lines in this call",
    "QUESTION": "a question of this call",
    "MODE": "one of the twelve fault words, as does_not_close",
    "WHERE": "the terminal or place on the part: K5:1",
    "REASON": "PART:MODE or PART:MODE:WHERE, or unknown: what made the part fail",
    "WIRE": "the number of a wire, where a terminal holds two",
    "POSITION": "a position of that selector, as drive",
    "FIELD": "why left temporary until whose food told did evidence",
    "MINUTES": "minutes, 0.25 to 240",
    "CLAMP": "clamp 1, 2 or 3",
    "NUMBER": "a number, with a decimal point",
    "UNIT": "a unit: psig, F, F-difference, A, V, %, min ...",
    "TEXT": 'free text, best in double quotes: "no oil lost"',
}
"""What each word in capitals stands for."""

FIELDS = ("why", "left", "temporary", "until", "whose", "food", "told", "did", "evidence")
"""Fields of the work order."""


class Changes(StrEnum):
    """What is another after a step, at most."""

    NOTHING = "nothing"
    PAPER = "paper"
    """The pad, the work order, what was said."""
    NOTES = "notes"
    """What the technician has set up and noted: covers, locks, clamps, hoses."""
    WIRING = "wiring"
    PLANT = "plant"

    @property
    def moves(self) -> bool:
        """Whether the store may be another, so that a reading taken again is a new one."""
        return self in (Changes.WIRING, Changes.PLANT)

    @property
    def sets_up(self) -> bool:
        """Whether what a reading shows may hang on it: the store, or what the technician has set up there."""
        return self.moves or self is Changes.NOTES


class Where(StrEnum):
    """Where one has to be."""

    ANYWHERE = "anywhere"
    SITE = "site"
    """In the store, wherever."""
    PART = "part"
    """At every part, terminal and point it names."""
    CLAMP = "clamp"
    """Where the clamp hangs."""


class Takes(StrEnum):
    """What the minutes hang on."""

    VERB = "verb"
    WAY = "way"
    SAID = "said"
    """As long as one says."""
    PAIRS = "pairs"
    """Half a minute for each pair of points."""
    PERSON = "person"
    """How soon somebody answers, on top."""
    PART = "part"


class Near(StrEnum):
    """How near one comes."""

    NOT = ""
    LOOK = "look"
    TOOL = "tool"
    """With an insulated, rated tool."""
    HAND = "hand"


class Risk(StrEnum):
    """What may go wrong beside touching what is live."""

    NONE = ""
    RECLOSING = "reclosing"
    RAISING = "raising"
    TESTING = "testing"
    """500 V go out of the tester."""
    BRIDGING = "bridging"
    PRESSING = "pressing"
    """A contactor closes on what is live."""


@dataclass(frozen=True)
class Verb:
    """One thing a technician can do: all that is ever asked of it, as columns."""

    form: str
    """The grammar, for people and for `scenarios.steps.parse`."""
    says: str
    """Meaning in one line."""
    minutes: float
    """Time it takes [min]; -1 where the verb alone does not tell."""
    saw: str = "act"
    """Kind of what is seen: reading, sight, sound, smell, said, act, pad, time or closed."""
    done: str = ""
    """How it is said when done, before what it was done to."""
    changes: Changes = Changes.NOTHING
    on_case: Changes | None = None
    """What it changes when done to a refrigerated case, where that is another matter."""
    reads: bool = False
    """Whether it only shows something of the store as it is."""
    timeless: bool = False
    """Whether what it reads moves by nothing but an act: a source of one's own, and dead circuits."""
    takes: Takes = Takes.VERB
    free: bool = False
    """Whether its minutes never count against anybody."""
    where: Where = Where.ANYWHERE
    on: str = ""
    """What the part must have: handle, selector, armature to push, button, start."""
    hung: bool = False
    """Whether a clamp has to hang."""
    tool: str = ""
    """Tool it takes: meter, insulation tester, clamps, thermometer, gauges, infrared, lock, hand tools, jumper or hose."""
    touch: Near = Near.NOT
    metal: bool = False
    """Whether hands go on bare metal."""
    cover: bool = False
    """Whether the part's cover has to be open."""
    dead: bool = False
    """Whether sound work needs the part proven dead first."""
    risk: Risk = Risk.NONE

    @cached_property
    def name(self) -> str:
        """First word of the form."""
        return self.form.split()[0]

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        """What each word after the verb is, in order, without options."""
        return tuple(part.strip("[]") for part in self.form.split()[1:] if "=" not in part)


NOTHING, PAPER, NOTES, WIRING, PLANT = Changes
LOOK, TOOL, HAND = Near.LOOK, Near.TOOL, Near.HAND
SITE, AT_PART, AT_CLAMP = Where.SITE, Where.PART, Where.CLAMP


def _over(more: dict[str, Any], **usual: Any) -> dict[str, Any]:
    """The usual columns of a sort of verbs, where a row does not say otherwise."""
    return usual | more


def _sense(form: str, says: str, minutes: float, saw: str, done: str, **more: Any) -> Verb:
    """Eyes, ears, hands and nose."""
    return Verb(form, says, minutes, saw, done, **_over(more, reads=True, where=AT_PART, touch=LOOK))


def _probe(form: str, says: str, minutes: float, tool: str = "meter", **more: Any) -> Verb:
    """Reading with the leads of an insulated instrument, cover open."""
    return Verb(form, says, minutes, "reading", "Read", reads=True, where=AT_PART, tool=tool, touch=TOOL, cover=True, **more)


def _read(form: str, says: str, minutes: float, tool: str, **more: Any) -> Verb:
    """Reading with an instrument that needs nothing opened."""
    return Verb(form, says, minutes, "reading", "Read", tool=tool, **_over(more, reads=True, where=AT_PART, touch=TOOL))


def _act(form: str, says: str, minutes: float, done: str, changes: Changes, touch: Near = LOOK, **more: Any) -> Verb:
    """Something done to a part from outside."""
    return Verb(form, says, minutes, "act", done, changes, touch=touch, **_over(more, where=AT_PART))


def _hands(form: str, says: str, minutes: float, done: str, changes: Changes, tool: str = "", **more: Any) -> Verb:
    """Bare hands on a part, cover open, which sound work does only on what is proven dead."""
    near = _over(more, saw="act", where=AT_PART, touch=HAND, metal=True, cover=True, dead=True)
    return Verb(form, says, minutes, done=done, changes=changes, tool=tool, **near)


def _pad(form: str, says: str, done: str, saw: str = "pad") -> Verb:
    """Pen and paper."""
    return Verb(form, says, 0, saw, done, PAPER, free=True)


TABLE: dict[str, tuple[Verb, ...]] = {
    "getting about": (
        Verb("go PLACE", "walk there", -1, "time", "Went to", takes=Takes.WAY),
        Verb("wait MINUTES|until-noticed", "let time pass, or until something can be noticed here", -1, "time", "Waited",
             takes=Takes.SAID),
    ),
    "senses": (
        _sense("look PART", "look at it", 0.5, "sight", "Looked at"),
        _sense("listen PART", "listen to it", 0.5, "sound", "Listened to"),
        _sense("feel PART", "hold a hand to it", 0.5, "sight", "Felt", touch=HAND, metal=True, dead=True),
        _sense("smell", "smell the air here", 0.25, "smell", "Smelt the air", where=Where.ANYWHERE),
        _sense("read PART", "read its plate, dial, display or setting", 0.5, "reading", "Read"),
    ),
    "meter": (
        _probe("volts TERMINAL TERMINAL [TERMINAL] [TERMINAL]", "volts between every pair of up to four points", -1,
               takes=Takes.PAIRS),
        _probe("low-volts TERMINAL TERMINAL", "volts between two points, low-impedance input", 0.5),
        _read(
            "prove-meter", "hold the leads on your proving unit, which gives 240 V", 0.5, "meter",
            timeless=True, where=Where.ANYWHERE, touch=LOOK,
        ),
        _probe("ohms TERMINAL TERMINAL", "ohms between two points of a dead circuit", 0.5, timeless=True, dead=True),
        _probe(
            "insulation TERMINAL TERMINAL", "insulation at 500 V between two points, dead and lifted", 2, "insulation tester",
            timeless=True, dead=True, risk=Risk.TESTING,
        ),
        _hands("clamp CLAMP TERMINAL [wire=WIRE]", "hang a clamp round the wire at a terminal, dead", 1, "Hung clamp", NOTES,
               "clamps", metal=False),
        _act("unclamp [CLAMP]", "take that clamp off, or all that hang, by the insulated grip", 0.5, "Took off clamp", NOTES, TOOL,
             where=AT_CLAMP, hung=True, tool="clamps", cover=True),
        _read("amps [CLAMP]", "read one clamp, or all that hang; door may be shut", 0.25, "clamps",
              where=Where.ANYWHERE, hung=True, touch=LOOK),
        _act("clear-max", "clear the MAX hold of all clamps", 0.25, "Cleared MAX of the clamps", NOTES,
             where=Where.ANYWHERE, tool="clamps"),
    ),
    "plant": (
        _read("temp POINT [how=air|packs|pipe|wick]", "temperature at a point", 1, "thermometer"),
        _read("gauge high|low POINT", "connect that hose and read it", 2, "gauges", changes=NOTES),
        _act("ungauge high|low", "take that hose off", 1, "Took off hose,", NOTES, TOOL, where=Where.ANYWHERE, tool="gauges"),
        _read("infrared PART", "surface temperature from a distance", 0.5, "infrared", touch=LOOK),
    ),
    "covers and handles": (
        _act("open PART", "open its cover or door", 0.5, "Opened", NOTES, TOOL),
        _act("close PART", "close its cover or door", 0.5, "Shut", NOTES, TOOL, on_case=PLANT),
        _act("off PART", "switch off by its handle", 0.25, "Switched off", WIRING, on="handle"),
        _act("on PART", "switch on by its handle", 0.25, "Switched on", WIRING, on="handle", risk=Risk.RECLOSING),
        _act("select PART POSITION", "turn a selector", 0.25, "Turned", WIRING, on="selector"),
        _act("reset PART", "press its reset", 0.5, "Reset", WIRING, TOOL),
        _act("push PART", "push its manual reset button", 0.5, "Pushed button of", PLANT, TOOL, on="button"),
        _act("set PART NUMBER [UNIT]", "turn its dial to a value", 1, "Set", PLANT, TOOL, tool="hand tools", risk=Risk.RAISING),
        _hands("press PART", "push the armature in by hand", 0.25, "Held in", WIRING, "hand tools",
               on="armature to push", risk=Risk.PRESSING),
    ),
    "isolation": (
        _act("lock PART", "hang your lock and your tag on it", 1.5, "Locked", NOTES, free=True, on="handle", tool="lock"),
        _act("unlock PART", "take your lock and tag off", 0.5, "Lock off", NOTES, free=True, tool="lock"),
        _act("try PART", "try to start it, to see that it cannot", 0.5, "Tried to start", NOTES, free=True, on="start"),
    ),
    "dead work": (
        _hands("tug TERMINAL [wire=WIRE]", "pull at the wire", 0.5, "Pulled at", NOTHING, saw="sight", reads=True),
        _hands("lift TERMINAL [wire=WIRE]", "take the wire off its terminal", 1, "Lifted wire at", WIRING, "hand tools"),
        _hands("land TERMINAL [wire=WIRE]", "put the lifted wire back", 1, "Landed wire at", WIRING, "hand tools"),
        _hands("torque TERMINAL [wire=WIRE]", "tighten to the maker's torque", 1, "Tightened", WIRING, "hand tools"),
        _hands("re-end TERMINAL [wire=WIRE]", "cut back, new end, torque", 8, "New end at", WIRING, "hand tools"),
        _hands("replace PART", "fit a new one from the van", -1, "Replaced", PLANT, "hand tools",
               takes=Takes.PART, risk=Risk.RECLOSING),
        _hands("bridge TERMINAL TERMINAL", "put a jumper across", 1, "Jumper across", WIRING, "jumper", risk=Risk.BRIDGING),
        _hands("unbridge TERMINAL TERMINAL", "take the jumper off", 0.5, "Jumper off", WIRING, "jumper"),
        _act("hose PART", "wash it with water", 10, "Washed", PLANT, TOOL, tool="hose"),
        _act("move-product PART to PART", "move the product of a case; the store decides", 15, "Product moved:", PLANT,
             free=True, where=SITE),
    ),
    "people and paper": (
        Verb("phone PERSON ask|tell TOPIC", "ask or tell somebody by telephone", 1, "said", "Telephone:", PAPER,
             takes=Takes.PERSON, free=True),
        _pad("suspect PART MODE [at=WHERE] [why=REASON]", "put a suspect on the pad", "Suspect:"),
        _pad("cross PART MODE [at=WHERE]", "cross a suspect off", "Crossed off:"),
        _pad("note TEXT", "write on the pad", "Note:"),
        _pad("answer QUESTION NUMBER UNIT", "answer a sum", "Answer:"),
        _pad("cause PART MODE [at=WHERE] [why=REASON]", "name the cause, and what made it fail", "Cause:"),
        _pad("order FIELD TEXT", "fill a field of the work order", "Work order:"),
        _pad("close-out", "end the call", "Closed out", "closed"),
    ),
}  # fmt: skip
"""All verbs, by chapter of the help."""

VERBS: dict[str, Verb] = {verb.name: verb for verbs in TABLE.values() for verb in verbs}
"""All verbs by name."""


def help_steps() -> str:
    """Every step with its form, minutes and meaning, as a page of text."""
    wide = max(len(verb.form) for verb in VERBS.values())
    page = ["A step is one line: a verb, what it acts on, and options as key=value. Text goes in double quotes."]
    for chapter, verbs in TABLE.items():
        page += ["", chapter.upper()]
        page += [f"  {verb.form:<{wide}}  {_minutes(verb):>8}  {verb.says}{_needs(verb)}" for verb in verbs]
    page += ["", "WORDS IN CAPITALS"] + [f"  {kind:<10} {says}" for kind, says in KINDS.items()]
    return "\n".join([*page, "", "A step that was met with a caution is done all the same with anyway=yes at its end."]) + "\n"


def _minutes(verb: Verb) -> str:
    return "free" if verb.minutes == 0 else "it varies" if verb.minutes < 0 else f"{verb.minutes:g} min"


def _needs(verb: Verb) -> str:
    needs = [verb.tool] * bool(verb.tool) + ["cover open"] * verb.cover + ["proven dead"] * verb.dead
    return f" (needs {', '.join(needs)})" if needs else ""

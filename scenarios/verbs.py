"""What a technician can do: one table from which steps are read, checked and explained.

A verb's *form* is its grammar: CAPITALS name what belongs there, small words stand for themselves, ``a|b`` is a choice,
``[...]`` may be left out, ``[key=KIND]`` is an option. Words in capitals are explained in `KINDS`.
"""

from dataclasses import dataclass

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


@dataclass(frozen=True)
class Verb:
    """One thing a technician can do.

    Parameters
    ----------
    form : str
        The grammar, for people and for `scenarios.steps.parse`.
    says : str
        Meaning in one line.
    minutes : float
        Time it takes [min]; -1 where it depends (on the way, the part, or what one says).
    saw : str
        Kind of what is seen: reading, sight, sound, smell, said, act, pad, time or closed.
    tool : str
        Tool it takes: meter, insulation tester, clamps, thermometer, gauges, infrared, lock, hand tools, jumper or hose.
    touch : str
        How near one comes: '' (not at all), look, tool (insulated, rated), hand.
    cover : bool
        Whether the part's cover has to be open.
    dead : bool
        Whether sound work needs the part proven dead first.
    """

    form: str
    says: str
    minutes: float
    saw: str = "act"
    tool: str = ""
    touch: str = ""
    cover: bool = False
    dead: bool = False

    @property
    def name(self) -> str:
        """First word of the form."""
        return self.form.split()[0]


def _probe(form: str, says: str, minutes: float, *, tool: str = "meter", dead: bool = False) -> Verb:
    """Reading with the leads of an insulated instrument, cover open."""
    return Verb(form, says, minutes, "reading", tool, "tool", cover=True, dead=dead)


def _hands(form: str, says: str, minutes: float, tool: str = "", saw: str = "act") -> Verb:
    """Bare hands on a part, cover open, which sound work does only on what is proven dead."""
    return Verb(form, says, minutes, saw, tool, "hand", cover=True, dead=True)


TABLE: dict[str, tuple[Verb, ...]] = {
    "getting about": (
        Verb("go PLACE", "walk there", -1, "time"),
        Verb("wait MINUTES|until-noticed", "let time pass, or until something can be noticed here", -1, "time"),
    ),
    "senses": (
        Verb("look PART", "look at it", 0.5, "sight", touch="look"),
        Verb("listen PART", "listen to it", 0.5, "sound", touch="look"),
        Verb("feel PART", "hold a hand to it", 0.5, "sight", touch="hand", dead=True),
        Verb("smell", "smell the air here", 0.25, "smell", touch="look"),
        Verb("read PART", "read its plate, dial, display or setting", 0.5, "reading", touch="look"),
    ),
    "meter": (
        _probe("volts TERMINAL TERMINAL [TERMINAL] [TERMINAL]", "volts between every pair of up to four points", -1),
        _probe("low-volts TERMINAL TERMINAL", "volts between two points, low-impedance input", 0.5),
        Verb("prove-meter", "hold the leads on your proving unit, which gives 240 V", 0.5, "reading", "meter", "look"),
        _probe("ohms TERMINAL TERMINAL", "ohms between two points of a dead circuit", 0.5, dead=True),
        _probe(
            "insulation TERMINAL TERMINAL",
            "insulation at 500 V between two points, dead and lifted",
            2,
            tool="insulation tester",
            dead=True,
        ),
        _hands("clamp CLAMP TERMINAL [wire=WIRE]", "hang a clamp round the wire at a terminal, dead", 1, "clamps"),
        Verb("unclamp [CLAMP]", "take that clamp off, or all that hang, by the insulated grip", 0.5, "act", "clamps", "tool"),
        Verb("amps [CLAMP]", "read one clamp, or all that hang; door may be shut", 0.25, "reading", "clamps", "look"),
        Verb("clear-max", "clear the MAX hold of all clamps", 0.25, "act", "clamps", "look"),
    ),
    "plant": (
        Verb("temp POINT [how=air|packs|pipe|wick]", "temperature at a point", 1, "reading", "thermometer", "tool"),
        Verb("gauge high|low POINT", "connect that hose and read it", 2, "reading", "gauges", "tool"),
        Verb("ungauge high|low", "take that hose off", 1, "act", "gauges", "tool"),
        Verb("infrared PART", "surface temperature from a distance", 0.5, "reading", "infrared", "look"),
    ),
    "covers and handles": (
        Verb("open PART", "open its cover or door", 0.5, touch="tool"),
        Verb("close PART", "close its cover or door", 0.5, touch="tool"),
        Verb("off PART", "switch off by its handle", 0.25, touch="look"),
        Verb("on PART", "switch on by its handle", 0.25, touch="look"),
        Verb("select PART POSITION", "turn a selector", 0.25, touch="look"),
        Verb("reset PART", "press its reset", 0.5, touch="tool"),
        Verb("push PART", "push its manual reset button", 0.5, touch="tool"),
        Verb("set PART NUMBER [UNIT]", "turn its dial to a value", 1, tool="hand tools", touch="tool"),
        _hands("press PART", "push the armature in by hand", 0.25, "hand tools"),
    ),
    "isolation": (
        Verb("lock PART", "hang your lock and your tag on it", 1.5, tool="lock", touch="look"),
        Verb("unlock PART", "take your lock and tag off", 0.5, tool="lock", touch="look"),
        Verb("try PART", "try to start it, to see that it cannot", 0.5, touch="look"),
    ),
    "dead work": (
        _hands("tug TERMINAL [wire=WIRE]", "pull at the wire", 0.5, saw="sight"),
        _hands("lift TERMINAL [wire=WIRE]", "take the wire off its terminal", 1, "hand tools"),
        _hands("land TERMINAL [wire=WIRE]", "put the lifted wire back", 1, "hand tools"),
        _hands("torque TERMINAL [wire=WIRE]", "tighten to the maker's torque", 1, "hand tools"),
        _hands("re-end TERMINAL [wire=WIRE]", "cut back, new end, torque", 8, "hand tools"),
        _hands("replace PART", "fit a new one from the van", -1, "hand tools"),
        _hands("bridge TERMINAL TERMINAL", "put a jumper across", 1, "jumper"),
        _hands("unbridge TERMINAL TERMINAL", "take the jumper off", 0.5, "jumper"),
        Verb("hose PART", "wash it with water", 10, tool="hose", touch="tool"),
        Verb("move-product PART to PART", "move the product of a case; the store decides", 15, touch="look"),
    ),
    "people and paper": (
        Verb("phone PERSON ask|tell TOPIC", "ask or tell somebody by telephone", 1, "said"),
        Verb("suspect PART MODE [at=WHERE] [why=REASON]", "put a suspect on the pad", 0, "pad"),
        Verb("cross PART MODE [at=WHERE]", "cross a suspect off", 0, "pad"),
        Verb("note TEXT", "write on the pad", 0, "pad"),
        Verb("answer QUESTION NUMBER UNIT", "answer a sum", 0, "pad"),
        Verb("cause PART MODE [at=WHERE] [why=REASON]", "name the cause, and what made it fail", 0, "pad"),
        Verb("order FIELD TEXT", "fill a field of the work order", 0, "pad"),
        Verb("close-out", "end the call", 0, "closed"),
    ),
}
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

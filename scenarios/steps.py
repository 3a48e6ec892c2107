"""Steps: one line of text, the same in the terminal, the notebook, the record and key files.

    volts K5:1 K5:3        temp C4.T1 how=pipe        order why "lug never tightened"

This module reads text and knows nothing of the world: names are checked only against a `Vocabulary` that the caller gives.
"""

import difflib
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from decimal import Decimal

from scenarios.errors import BadRequest
from scenarios.faults.modes import MODES
from scenarios.units import UNITS
from scenarios.verbs import FIELDS, KINDS, VERBS, Changes, Verb, help_steps

__all__ = ["VERBS", "Step", "Vocabulary", "help_steps", "parse"]

LONGEST = 2000
"""Longest step [characters]."""
TOKEN = re.compile(r'\s*((?:"(?:\\.|[^"\\])*"|[^\s"])+)')
OPTION = re.compile(r"([a-z]+)=(.*)", re.DOTALL)
FIGURE = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)")


@dataclass(frozen=True)
class Vocabulary:
    """Names a step may use; a set left empty is not checked."""

    places: Collection[str] = ()
    parts: Collection[str] = ()
    terminals: Collection[str] = ()
    points: Collection[str] = ()
    people: Collection[str] = ("manager", "dispatcher", "second", "utility")
    topics: Collection[str] = ()
    questions: Collection[str] = ()
    wires: Collection[str] = ()


@dataclass(frozen=True)
class Step:
    """A step that is well formed: verb, arguments in order, options by key."""

    verb: str
    args: tuple[str, ...] = ()
    options: dict[str, str] = field(default_factory=dict, hash=False)

    @property
    def line(self) -> str:
        """The step as one canonical line, which `parse` reads back to the same step."""
        texts = "TEXT" in self.about.kinds
        words = [_quoted(word, texts and n == len(self.args) - 1) for n, word in enumerate(self.args)]
        return " ".join([self.verb, *words, *(f"{key}={_quoted(value)}" for key, value in self.options.items())])

    @property
    def about(self) -> Verb:
        """Its row of the table of verbs."""
        return VERBS[self.verb]

    @property
    def names(self) -> tuple[str, ...]:
        """Parts, terminals and points it goes to, in order."""
        if self.about.changes is Changes.PAPER:
            return ()
        named = zip(self.about.kinds, self.args, strict=False)
        return tuple(word for kind, word in named if kind in ("PART", "TERMINAL", "POINT"))

    @property
    def mark(self) -> str:
        """Mark of the part, or name of the point, it goes to first; empty where it goes to none."""
        return self.names[0].split(":")[0] if self.names else ""

    @property
    def subjects(self) -> tuple[str, ...]:
        """What it leaves as another: each part, or the terminals together."""
        return (" ".join(sorted(self.names)),) if "TERMINAL" in self.about.kinds else self.names

    @property
    def anyway(self) -> bool:
        """Whether the person insisted after a caution."""
        return self.options.get("anyway") == "yes"


def parse(line: str, words: Vocabulary | None = None) -> Step:
    """Read one step.

    Parameters
    ----------
    line : str
        The step, as ``volts K5:1 K5:3``.
    words : Vocabulary, optional
        Names of this store and call; without it any well-formed name passes.

    Raises
    ------
    BadRequest
        One sentence: what is wrong, what is allowed, the nearest name.

    >>> parse('order why "lug never tightened"').args
    ('why', 'lug never tightened')
    >>> parse("wait 05.0").line
    'wait 5'
    """
    tokens = _tokens(line)
    if not tokens:
        raise BadRequest("empty step: write a verb and what it acts on, as 'look M5'")
    name = tokens[0]
    if name not in VERBS:
        raise BadRequest(f"unknown step {name!r}{_near(name, VERBS)}; see all steps with --help-steps")
    form = VERBS[name].form
    allowed = {part[1:-1].split("=")[0]: part[1:-1].split("=")[1] for part in form.split() if "=" in part} | {"anyway": "yes"}
    given, options = _split(name, tokens[1:], allowed)
    args = _arguments(name, form, given, words or Vocabulary())
    if name == "bridge" and args[0] == args[1]:
        raise BadRequest(f"bridge: {args[0]} is named twice; a jumper goes between two points")
    kept = {key: _unquoted(options[key]) for key in allowed if key in options}
    return Step(name, args, {key: _check(allowed[key], word, words or Vocabulary(), name) for key, word in kept.items()})


def _tokens(line: str) -> list[str]:
    """Words of a line, quotes still on."""
    if len(line) > LONGEST:
        raise BadRequest(f"step of {len(line)} characters: at most {LONGEST} are read; shorten it")
    if not all(character.isprintable() for character in line.strip()):
        raise BadRequest("step with a line break, tab or control character inside: write it as one plain line")
    found, at, line = [], 0, line.strip()
    while at < len(line):
        token = TOKEN.match(line, at)
        if token is None:
            raise BadRequest(f"quote not closed in {_short(line[at:].strip())}: end the text with another double quote")
        found.append(token[1])
        at = token.end()
    return found


def _split(name: str, tokens: list[str], allowed: dict[str, str]) -> tuple[list[str], dict[str, str]]:
    """Arguments and options apart; a token that begins with a quote is never an option."""
    given: list[str] = []
    options: dict[str, str] = {}
    for token in tokens:
        option = OPTION.fullmatch(token)
        if option is None:
            given.append(token)
        elif option[1] not in allowed:
            raise BadRequest(f"{name} has no option {option[1]!r}; its form is: {VERBS[name].form}")
        elif option[1] in options:
            raise BadRequest(f"{name}: option {option[1]!r} is given twice; give it once")
        else:
            options[option[1]] = option[2]
    return given, options


def _arguments(name: str, form: str, given: list[str], words: Vocabulary) -> tuple[str, ...]:
    """Arguments checked kind by kind against the form."""
    kinds = [part for part in form.split()[1:] if "=" not in part]
    if kinds and kinds[-1] == "TEXT" and len(given) > len(kinds):
        given = [*given[: len(kinds) - 1], " ".join(_unquoted(token) for token in given[len(kinds) - 1 :])]
    else:
        given = [_unquoted(token) for token in given]
    needed = sum(1 for kind in kinds if not kind.startswith("["))
    if not needed <= len(given) <= len(kinds):
        most = len(kinds)
        count = f"{needed}" if needed == most else f"{needed} or {most}" if most == needed + 1 else f"{needed} to {most}"
        raise BadRequest(f"{name} takes {count} word{'s' * (count != '1')} after it, {len(given)} given; its form is: {form}")
    return tuple(_check(kind.strip("[]"), word, words, name) for kind, word in zip(kinds, given, strict=False))


def _check(kind: str, word: str, words: Vocabulary, name: str) -> str:
    """One argument in its canonical spelling."""
    if kind.split("|")[0] == "MINUTES" and word == "until-noticed":
        return word
    if kind in CHECKS:
        return CHECKS[kind](word, words)
    if kind.islower():
        choices = kind.split("|")
        if word not in choices:
            raise BadRequest(f"{name}: {_short(word)} is not {' or '.join(choices)}; its form is: {VERBS[name].form}")
        return word
    if not word or any(character.isspace() for character in word):
        raise BadRequest(f"{name}: {_short(word)} is not a single word; {kind} is {KINDS[kind]}")
    return word


def _name(what: str, collection: str) -> Callable[[str, Vocabulary], str]:
    """Check of a name against one set of the vocabulary; capitals do not matter."""

    def check(word: str, words: Vocabulary) -> str:
        known: Collection[str] = getattr(words, collection)
        if not known and word and not any(character.isspace() for character in word):
            return word
        if word in known:
            return word
        alike = [name for name in known if name.casefold() == word.casefold()]
        if len(alike) == 1:
            return alike[0]
        raise BadRequest(f"unknown {what} {_short(word)}{_near(word, known)}; use a name that the store's sheets show")

    return check


def _figure(word: str, least: float = -1e9, most: float = 1e9) -> str:
    """A number in its shortest spelling."""
    plain = word.replace("\u2212", "-")
    if not FIGURE.fullmatch(plain) or not plain.isascii() or len(plain) > 24:
        raise BadRequest(f"{_short(word)} is not a number; write it with digits and a decimal point, as 4.4")
    value = Decimal(plain)
    if not least <= value <= most:
        raise BadRequest(f"{_short(word)} is outside {least:g} to {most:g}; give a number in that range")
    text = f"{value.normalize():f}"
    return "0" if text == "-0" else text


def _clamp(word: str, _: Vocabulary) -> str:
    if word not in ("1", "2", "3"):
        raise BadRequest(f"{_short(word)} is not a clamp; there are three, 1, 2 and 3")
    return word


def _one_of(what: str, known: Collection[str]) -> Callable[[str, Vocabulary], str]:
    def check(word: str, _: Vocabulary) -> str:
        if word not in known:
            raise BadRequest(f"unknown {what} {_short(word)}{_near(word, known)}; allowed are {' '.join(known)}")
        return word

    return check


def _reason(word: str, words: Vocabulary) -> str:
    """What made the part fail: ``unknown`` or PART:MODE[:WHERE]."""
    if word == "unknown":
        return word
    part, *rest = word.split(":", 2)
    if not rest:
        raise BadRequest(f"{_short(word)} is not a reason; write PART:MODE or PART:MODE:WHERE, as K5:loose_burnt:K5:1, or unknown")
    where = [_where(rest[1], words)] if len(rest) == 2 else []
    return ":".join([CHECKS["PART"](part, words), CHECKS["MODE"](rest[0], words), *where])


def _where(word: str, words: Vocabulary) -> str:
    """A terminal where the word looks like one, any single word else."""
    return CHECKS["TERMINAL"](word, words if ":" in word else Vocabulary())


def _text(word: str, _: Vocabulary) -> str:
    if not word.strip():
        raise BadRequest('empty text: write at least a word, as note "pump hums"')
    return word


CHECKS: dict[str, Callable[[str, Vocabulary], str]] = {
    "PLACE": _name("place", "places"),
    "PART": _name("part", "parts"),
    "TERMINAL": _name("terminal", "terminals"),
    "POINT": _name("test point", "points"),
    "PERSON": _name("person", "people"),
    "TOPIC": _name("topic", "topics"),
    "QUESTION": _name("question", "questions"),
    "WIRE": _name("wire", "wires"),
    "MODE": _one_of("fault word", MODES),
    "FIELD": _one_of("field of the work order", FIELDS),
    "UNIT": _one_of("unit", UNITS),
    "WHERE": _where,
    "REASON": _reason,
    "MINUTES|until-noticed": lambda word, _: _figure(word, 0.25, 240),
    "NUMBER": lambda word, _: _figure(word),
    "CLAMP": _clamp,
    "TEXT": _text,
}


def _near(word: str, known: Collection[str]) -> str:
    """`` (did you mean ...?)`` where something known is spelt alike."""
    plain = {name.casefold(): name for name in known}
    alike = difflib.get_close_matches(word[:60].casefold(), plain, n=2, cutoff=0.5)
    return f" (did you mean {' or '.join(plain[name] for name in alike)}?)" if alike else ""


def _short(word: str) -> str:
    return repr(word if len(word) <= 40 else word[:37] + "...")


def _unquoted(token: str) -> str:
    """A token without its quotes; backslash keeps the next character inside them."""
    return re.sub(r'"((?:\\.|[^"\\])*)"', lambda inside: re.sub(r"\\(.)", r"\1", inside[1]), token)


def _quoted(word: str, always: bool = False) -> str:
    """A word as it must stand in a line: in quotes if bare it would be read otherwise."""
    if not always and word and not re.search(r'[\s"]', word) and not OPTION.fullmatch(word):
        return word
    return '"' + re.sub(r'(["\\])', r"\\\1", word) + '"'

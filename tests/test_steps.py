"""Steps: does every form of the table read, does the canonical line read back, is every bad step refused in one sentence?"""

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from scenarios.errors import BadRequest
from scenarios.faults.modes import MODES
from scenarios.steps import Step, Vocabulary, help_steps, parse
from scenarios.units import UNITS
from scenarios.verbs import FIELDS, KINDS, TABLE, VERBS

STORE = Vocabulary(
    places=["van", "panel", "roof"],
    parts=["K5", "M5", "C4", "C10", "COIL"],
    terminals=["K5:1", "K5:3", "L1", "PE"],
    points=["P4", "C4.T1"],
    topics=["changed"],
    questions=["superheat"],
    wires=["501"],
)

relaxed = settings(suppress_health_check=[HealthCheck.too_slow], deadline=None)

NAME = st.from_regex(r"[A-Za-z][A-Za-z0-9_.]{0,8}", fullmatch=True)
NUMBER = st.decimals(-9999, 9999, places=3).map(str)
TEXT = st.text(st.characters(exclude_categories=["C", "Z"], include_characters=" "), min_size=1).filter(str.strip)
EXAMPLES = {
    "PLACE": NAME,
    "PART": NAME,
    "TERMINAL": st.from_regex(r"[A-Z][A-Z0-9]{0,3}:[A-Z0-9]{1,3}", fullmatch=True),
    "POINT": NAME,
    "PERSON": st.sampled_from(["manager", "utility"]),
    "TOPIC": NAME,
    "QUESTION": NAME,
    "MODE": st.sampled_from(list(MODES)),
    "WHERE": NAME,
    "REASON": st.sampled_from(["unknown", "K5:loose_burnt", "K5:loose_burnt:K5:1"]),
    "WIRE": NAME,
    "POSITION": NAME,
    "FIELD": st.sampled_from(FIELDS),
    "MINUTES|until-noticed": st.sampled_from(["0.25", "5", "240", "until-noticed"]),
    "CLAMP": st.sampled_from("123"),
    "NUMBER": NUMBER,
    "UNIT": st.sampled_from(list(UNITS)),
    "TEXT": TEXT,
}


def example(kind):
    return EXAMPLES[kind] if kind in EXAMPLES else st.sampled_from(kind.split("|"))


@st.composite
def any_step(draw):
    """A well-formed step of any verb, with or without what may be left out."""
    verb = draw(st.sampled_from(sorted(VERBS)))
    parts = VERBS[verb].form.split()[1:]
    args, options = [], {}
    for part in parts:
        optional = part.startswith("[")
        if optional and not draw(st.booleans()):
            continue
        if "=" in part:
            key, kind = part[1:-1].split("=")
            options[key] = draw(example(kind))
        else:
            args.append(draw(example(part.strip("[]"))))
    assume(verb != "bridge" or args[0] != args[1])
    if draw(st.booleans()):
        options["anyway"] = "yes"
    return Step(verb, tuple(args), options)


def outcome(line):
    """The step, or the sentence that refuses it."""
    try:
        return parse(line), ""
    except BadRequest as error:
        return None, str(error)


@relaxed
@given(any_step())
def test_does_every_step_read_back_from_its_line(step):
    once = parse(step.line)
    assert (once.verb, len(once.args), once.options) == (step.verb, len(step.args), step.options)
    assert parse(once.line) == once
    assert parse(once.line).line == once.line


@relaxed
@given(any_step(), st.integers(0, 40), st.characters(codec="utf-8"))
def test_does_a_damaged_step_either_read_or_say_why(step, at, noise):
    """Random damage ends in a step or in one sentence, never in another error."""
    line = step.line[:at] + noise + step.line[at:]
    got, why = outcome(line)
    assert (got is None) == bool(why)
    assert "\n" not in why
    assert got is None or parse(got.line) == got


@given(st.text(max_size=80))
def test_is_any_text_a_step_or_refused(line):
    got, why = outcome(line)
    assert (got is None) == bool(why)
    assert "\n" not in why


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("", "empty step"),
        ("vlts K5:1 K5:3", "unknown step 'vlts' (did you mean volts"),
        ("volts K5:1", "volts takes 2 to 4 words after it, 1 given"),
        ("amps 1 2", "amps takes 0 or 1 words after it, 2 given"),
        ("volts K5:1 K5:4", "unknown terminal 'K5:4' (did you mean K5:"),
        ("look K55", "unknown part 'K55' (did you mean K5"),
        ("go rof", "unknown place 'rof' (did you mean roof?)"),
        ("temp C4.T11", "unknown test point 'C4.T11' (did you mean C4.T1?)"),
        ("wait five", "'five' is not a number"),
        ("wait 0", "outside 0.25 to 240"),
        ("wait 241", "outside 0.25 to 240"),
        ("set K5 1e9", "'1e9' is not a number"),
        ("set K5 nan", "'nan' is not a number"),
        ("answer superheat 12 degF", "unknown unit 'degF'"),
        ("answer superheat twelve F", "'twelve' is not a number"),
        ("gauge middle P4", "'middle' is not high or low"),
        ("clamp 4 K5:1", "'4' is not a clamp"),
        ("temp P4 how=hand", "'hand' is not air or packs or pipe or wick"),
        ("look K5 how=air", "look has no option 'how'"),
        ("temp P4 how=air how=pipe", "option 'how' is given twice"),
        ("suspect K5 does_not_clse", "unknown fault word 'does_not_clse' (did you mean does_not_close"),
        ("cause K5 shorted why=K5", "is not a reason"),
        ("cause K5 shorted why=K5:broken", "unknown fault word 'broken'"),
        ('note "pump hums', "quote not closed"),
        ('note " "', "empty text"),
        ("note a\nlook K5", "line break"),
        ("note " + "a" * 3000, "at most 2000"),
        ("order colour red", "unknown field of the work order 'colour'"),
        ("phone manager sing changed", "'sing' is not ask or tell"),
    ],
)
def test_is_a_bad_step_refused_in_one_sentence(line, says):
    with pytest.raises(BadRequest) as caught:
        parse(line, STORE)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 400


@pytest.mark.parametrize(
    ("line", "canonical"),
    [
        ("  volts   k5:1   pe ", "volts K5:1 PE"),
        ("wait 05.50", "wait 5.5"),
        ("note pump hums", 'note "pump hums"'),
        ('note "a \\"b\\" anyway=yes"', 'note "a \\"b\\" anyway=yes"'),
        ("set K5 \u22120.0", "set K5 0"),
        ("temp C4.T1 anyway=yes how=pipe", "temp C4.T1 how=pipe anyway=yes"),
        ("cause k5 loose_burnt why=m5:stuck_worn at=k5:1", "cause K5 loose_burnt at=K5:1 why=M5:stuck_worn"),
        ("move-product c4 to C10", "move-product C4 to C10"),
    ],
)
def test_is_there_one_canonical_line(line, canonical):
    assert parse(line, STORE).line == canonical


def test_is_quoted_text_never_an_option():
    assert parse('note "anyway=yes"').options == {}
    assert parse("look K5 anyway=yes").anyway


def test_does_the_help_name_every_verb_and_every_word_in_capitals():
    page = help_steps()
    assert all(f"  {verb.form} " in page for verb in VERBS.values())
    assert sum(len(verbs) for verbs in TABLE.values()) == len(VERBS)
    used = {
        word
        for verb in VERBS.values()
        for part in verb.form.split()[1:]
        for word in part.strip("[]").split("=")[-1].split("|")
        if word.isupper()
    }
    assert used == set(KINDS)

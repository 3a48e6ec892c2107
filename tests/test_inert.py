"""A written answer shown again: does any renderer find more in it than text, and is it still what was typed?"""

import html
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from nbconvert.filters import markdown2html

from course.grading import answered
from course.inert import MOST, inert

HOSTILE = [
    "<script>document.title = 'taken'</script>",
    "<img src=x onerror=\"document.title='taken'\">",
    "<iframe src=\"javascript:parent.document.title='taken'\"></iframe>",
    "<style>body { background: red }</style>",
    "![far](http://127.0.0.1:9/picture.png)",
    "[press me](javascript:document.title='taken')",
    "<javascript:document.title='taken'>",
    "[a]: javascript:alert(1)\n[press][a]",
    "http://127.0.0.1:9/bare www.example.org me@example.org",
    "```html\n<script>document.title='taken'</script>\n```",
    "    <script>document.title='taken'</script>",
    "\t<b>x</b>",
    "$\\href{javascript:alert(1)}{x}$ \\(x\\) \\[x\\] \\begin{equation}x\\end{equation} $$x$$",
    "# heading\n> quoted\n\n- one\n1. two\n\n***\n\n| a | b |\n|---|---|\n| 1 | 2 |",
    "a\n===\nb\n---",
    "&lt;script&gt;document.title='taken'&lt;/script&gt; &#60;script&#62;",
    "<!-- --> <![CDATA[x]]> <?x?>",
    "\x1b[2J\u202eevil\x00",
    "[^1]\n\n[^1]: <b>x</b>",
    "&#96;&#96;&#96;",
]


def page(text: str) -> str:
    """A page of the instructor's tool that shows the text of a notebook's cell."""
    return str(markdown2html(text))


@pytest.mark.parametrize("said", HOSTILE)
def test_nothing_but_paragraphs_and_line_ends_is_left(said: str) -> None:
    shown = page(inert(said))
    assert set(re.findall(r"<\s*/?\s*([a-zA-Z!?]\w*)", shown)) <= {"p", "br"}
    assert not re.findall(r"<(?:p|br)\s+[a-z]", shown)


@pytest.mark.parametrize("said", HOSTILE)
def test_it_reads_as_it_was_typed(said: str) -> None:
    shown = html.unescape(re.sub(r"<[^>]*>", "", page(inert(said)))).translate({0x2060: None, 0xFF04: "$"})
    lines = [line.strip() for line in shown.replace("\xa0", "").splitlines()]
    typed = ["".join(c if c.isprintable() else "\ufffd" for c in line.strip()) for line in said.splitlines()]
    assert [line for line in lines if line] == [line for line in typed if line]


@pytest.mark.parametrize("said", HOSTILE)
def test_a_finished_page_holds_no_formula(said: str) -> None:
    """Formulas are looked for in the text of the page, after references have become signs again."""
    shown = html.unescape(re.sub(r"<[^>]*>", "", page(inert(said))))
    assert not re.search(r"\$|\\[(\[]|\\begin|\\href", shown)


@given(said=st.text())
@settings(max_examples=300, deadline=None)
def test_any_text_at_all_is_inert(said: str) -> None:
    assert re.fullmatch(r"([0-9A-Za-z \n]|&#\d+;)*", inert(said))
    assert set(re.findall(r"<\s*/?\s*([a-zA-Z!?]\w*)", page(inert(said)))) <= {"p", "br"}


def test_an_answer_has_an_end() -> None:
    assert len(inert("x" * 10 * MOST)) == MOST


def test_our_own_question_stays_what_it_is_and_only_the_answer_is_made_inert() -> None:
    question = "**For the morning**\n\nWhat would you look at? (Write below this line.)\n"
    assert answered(question, question) == question
    assert answered(question, question + "\nThe <b>coil</b>.") == question.rstrip() + "\n\nThe &#60;b&#62;coil&#60;&#47;b&#62;&#46;"
    assert answered(question, "**Mine** only") == question.rstrip() + "\n\n&#42;&#42;Mine&#42;&#42; only"

"""Text that somebody else wrote, put into a notebook so that no page can find anything in it but text.

Every sign but letters, digits and blanks becomes a character reference *before* the text is filed, so that whatever shows it
later, the feedback page, the instructor's own tool or JupyterLab, meets no tag, link, picture, style, heading or formula. It reads
as it was typed.
"""

import re

MOST = 20_000
"""Longest text that is shown [characters]."""
SIGN = re.compile(r"[^0-9A-Za-z ]")
FORMULA = str.maketrans({"$": "\N{FULLWIDTH DOLLAR SIGN}", "\\": "\\\N{WORD JOINER}"})
"""Formulas are looked for in the finished page, where a reference is a plain sign again: their marks are parted or replaced."""


def inert(text: str) -> str:
    r"""The text as Markdown that says the same and does nothing.

    >>> inert("<b>hot</b>")
    '&#60;b&#62;hot&#60;&#47;b&#62;'
    >>> inert("one\n\n    two")
    'one  \n&#160;  \ntwo'
    """
    lines = text[:MOST].replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return "  \n".join(_line(line) or "&#160;" for line in lines)


def _line(line: str) -> str:
    shown = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in line.strip())
    return SIGN.sub(lambda sign: f"&#{ord(sign[0])};", shown.translate(FORMULA))

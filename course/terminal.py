"""A call in the terminal: steps come in as lines of text, what is seen goes out as text."""

import secrets
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, TextIO

import click

from course.preparing import physics
from scenarios.errors import BadRequest

MOST_SEED = 1_000_000
"""Seeds drawn for a new call lie below this."""


def numbered(source: TextIO) -> Iterator[tuple[int, str]]:
    """Steps of a file with their line numbers; blank lines and lines that begin with # say nothing."""
    for number, line in enumerate(source, 1):
        step = line.strip()
        if step and not step.startswith("#"):
            yield number, step


def asked(session: Any) -> Iterator[tuple[int, str]]:
    """Steps typed at a prompt that shows the clock and the place."""
    from course.screen.view import view as look

    number = 0
    while True:
        view = look(session)
        try:
            step = input(f"{view['clock']['now']} {view['place']}> ").strip()
        except EOFError:
            click.echo()
            return
        number += 1
        if step == "help":
            from scenarios.verbs import help_steps

            click.echo(help_steps())
        elif step and not step.startswith("#"):
            yield number, step


def play(session: Any, steps: Iterable[tuple[int, str]], name: str, *, strict: bool) -> None:
    """Do steps one after the other and show what each one shows.

    Raises
    ------
    BadRequest
        A line is no step, and `strict` (a file cannot ask again).
    """
    for number, step in steps:
        try:
            saw = session.do(step)
        except BadRequest as error:
            if strict:
                raise BadRequest(f"{name}:{number}: {error}") from error
            click.echo(str(error), err=True)
            continue
        click.echo(f"> {step}\n{saw.text}" if strict else saw.text)
        if session.closed:
            return


def ticket_text(view: dict[str, Any]) -> str:
    """The ticket as it is read at the start of a call."""
    ticket = view["ticket"]
    rows = [f"  {label}: {text}" for label, text in ticket.get("rows", ())]
    return "\n".join([f"{view['call']['title']} ({view['clock']['now']})", f"{ticket['who']}: {ticket['says']}", *rows])


def take(call: str, seed: int | None, record: Path, steps: TextIO | None, name: str) -> None:
    """Take a call, or go on with the one in the record.

    Parameters
    ----------
    call : str
        Call id.
    seed : int or None
        Seed of a new call; drawn where none is given.
    record : Path
        The record to write, or to go on with where it is there.
    steps : TextIO or None
        Where steps come from; None asks the person.
    name : str
        How errors name that source.
    """
    physics()
    from course.screen.view import view as look
    from scenarios.call import Session

    fresh = not record.exists()
    record.parent.mkdir(parents=True, exist_ok=True)
    session = Session.open(call, secrets.randbelow(MOST_SEED) if seed is None else seed, record, fresh=fresh)
    view = look(session)
    click.echo(ticket_text(view))
    if view["closed"]:
        raise BadRequest(f"{record}: this call is closed; `halfsplit debrief {record}` shows it, --record FILE starts another")
    if not fresh:
        click.echo(f"Going on with {record}.")
    if steps is None:
        click.echo("One step a line; `help` lists them, `close-out` ends the call.")
    play(session, asked(session) if steps is None else numbered(steps), name, strict=steps is not None)
    click.echo(f"Record: {record}", err=True)


def source_of(steps: str | None) -> tuple[TextIO | None, str]:
    """Open where steps come from: a file, standard input, or None for a person at a terminal.

    Raises
    ------
    BadRequest
        The file cannot be read.
    """
    if steps is None and sys.stdin is not None and sys.stdin.isatty():
        return None, "terminal"
    if steps is None or steps == "-":
        return sys.stdin, "standard input"
    try:
        return Path(steps).open(encoding="utf-8"), steps
    except OSError as error:
        raise BadRequest(f"{steps}: cannot be read ({error.strerror}); give a file with one step a line") from error

"""The `halfsplit` command.

Physics, Jupyter and graders are imported inside the commands that need them, so that a list opens at once.
"""

import json
import os
import sys
from pathlib import Path
from typing import Any

import click

from course.classroom_cli import cohort
from scenarios.errors import BadRequest, FaultFound, HalfsplitError

PLACE = click.Path(path_type=Path, file_okay=False)
FILE = click.Path(path_type=Path, dir_okay=False)
FOLDER = click.option("--folder", type=PLACE, help="Your own folder of calls (default: ~/halfsplit).")
AS_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


def show_json(value: Any) -> None:
    """Print a result as JSON."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2))


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--port", type=click.IntRange(0, 65535), default=8888, show_default=True, help="Port on this machine.")
@click.option("--no-browser", is_flag=True, help="Print the address instead of opening a browser.")
@FOLDER
@click.version_option(package_name="halfsplit", message="%(package)s %(version)s")
@click.pass_context
def cli(context: click.Context, port: int, no_browser: bool, folder: Path | None) -> None:
    """Night calls for refrigeration technicians. With no command, opens the course in your browser."""
    context.obj = folder
    if context.invoked_subcommand is None:
        from course.folder import ready_folder
        from course.jupyter.launch import launch

        place = ready_folder(folder)
        launch(place, port, browser=not no_browser)


@cli.command()
@AS_JSON
def calls(as_json: bool) -> None:
    """List the calls."""
    from course.library import rows

    found = rows()
    if as_json:
        show_json(found)
        return
    wide = max((len(row["id"]) for row in found), default=0)
    for row in found:
        click.echo(f"{row['id']:{wide}}  {row['minutes']:>3} min  {row['level']:5}  {row['title']} ({', '.join(row['skills'])})")


def show_steps(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    """Print every step with its form, and stop."""
    if wanted and not context.resilient_parsing:
        from scenarios.verbs import help_steps

        click.echo(help_steps())
        context.exit()


@cli.command()
@AS_JSON
def stores(as_json: bool) -> None:
    """List the stores that calls may be written for."""
    from course.library import store_rows

    rows = store_rows()
    if as_json:
        show_json(rows)
        return
    for row in rows:
        click.echo(f"{row['id']}  {row['title']}")
        counts = ", ".join(f"{row[what]} {what}" for what in ("racks", "groups", "compressors", "circuits", "nodes"))
        click.echo(f"    {row['supply']}; {counts}; {', '.join(row['refrigerants'])}")


@cli.command()
@click.argument("call")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), help="Seed of a new call: picks its numbers and the meters' noise.")
@click.option("--record", type=FILE, help="Record to write, or to go on with.")
@click.option("--steps", help="File of steps, one a line; - or nothing: standard input.")
@click.option("--help-steps", is_flag=True, is_eager=True, expose_value=False, callback=show_steps, help="List every step.")
@FOLDER
@click.pass_obj
def take(outer: Path | None, call: str, seed: int | None, record: Path | None, steps: str | None, folder: Path | None) -> None:
    """Take a call in the terminal; writes the same record as the notebook."""
    from course import folder as folders
    from course import library, terminal

    library.call_file(call)
    source, name = terminal.source_of(steps)
    place = record or folders.record_of(folders.ready_folder(folder or outer), call)
    terminal.take(call, seed, place, source, name)


@cli.command()
@click.argument("records", nargs=-1, required=True, metavar="RECORD...", type=click.Path(path_type=Path))
@AS_JSON
def grade(records: tuple[Path, ...], as_json: bool) -> None:
    """Score records: the steps are replayed, nothing in them is believed."""
    from course import many
    from course.preparing import physics, progress
    from course.scoring import card_or_error, card_text, fault_of, readable

    for path in records:
        readable(path)
    physics()
    cards: dict[Path, dict[str, Any]] = {}
    texts: list[str] = []
    failed: list[HalfsplitError] = []
    for path, made in zip(records, progress(many.each(card_or_error, records), len(records), "grading"), strict=True):
        if isinstance(made, HalfsplitError):
            failed.append(made)
        else:
            cards[path] = made
            texts.append(card_text(path, made))
    if as_json and cards:
        show_json(list(cards.values()) if len(records) > 1 else next(iter(cards.values())))
    elif cards:
        click.echo("\n\n".join(texts))
    failed += [fault for path, card in cards.items() if (fault := fault_of(path, card))]
    if failed:
        worst = max(failed, key=lambda error: error.exit_code)
        raise type(worst)("\n".join(map(str, failed)))


@cli.command()
@click.argument("record", type=click.Path(path_type=Path))
@click.option("-o", "--output", type=FILE, help="Page to write (default: beside the record).")
def debrief(record: Path, output: Path | None) -> None:
    """Write the debrief of a record as one self-contained page."""
    from course.preparing import physics
    from course.scoring import debrief_page, readable

    readable(record)
    physics()
    page = debrief_page(record)
    path = output or record.with_suffix(".html")
    try:
        path.write_text(page, "utf-8")
    except OSError as error:
        raise BadRequest(f"{path}: cannot be written ({error.strerror}); choose another file with -o") from error
    click.echo(path)


@cli.command()
@click.argument("calls", nargs=-1, metavar="[CALL]...")
@AS_JSON
def prove(calls: tuple[str, ...], as_json: bool) -> None:
    """Re-check every claim that calls make about themselves."""
    from course import library
    from course.preparing import physics

    for call in calls:
        library.call_file(call)
    physics()
    from course.scoring import proofs

    found = []
    for proof in proofs(calls or tuple(library.call_files())):
        found.append(proof)
        if not as_json:
            click.echo(f"{proof['call']}: {'holds' if proof['ok'] else 'FAILS'}")
            for claim in proof["claims"]:
                click.echo(f"  {'ok  ' if claim['ok'] else 'FAIL'} {claim['claim']}: {claim['detail']}")
    if as_json:
        show_json(found)
    failed = [proof["call"] for proof in found if not proof["ok"]]
    if failed:
        raise FaultFound(f"{', '.join(failed)}: some claim does not hold; the lines marked FAIL say which")


@cli.command()
@click.argument("calls", nargs=-1, metavar="[CALL]...")
@click.option("--check", is_flag=True, help="Write nothing; say what would be another.")
def derive(calls: tuple[str, ...], check: bool) -> None:
    """Work out what follows from calls and their keys: suspects, sums, minutes, scores. For authors."""
    from course import library
    from course.preparing import physics

    for call in calls:
        library.call_file(call)
    physics()
    from course import deriving

    failed = []
    for call in calls or tuple(library.call_files()):
        lines = deriving.derived(call, check, lambda line: click.echo(line, err=True))
        said = ("other than its file says" if check else "derived anew") if lines else "as its file says"
        click.echo("\n".join([f"{call}: {said}", *lines]))
        failed += [call] * bool(lines)
    if check and failed:
        raise FaultFound(f"{', '.join(failed)}: not what stands in scenarios/derived; run `halfsplit derive {' '.join(failed)}`")


@cli.command()
@AS_JSON
def bench(as_json: bool) -> None:
    """Measure the promised times on this machine, each beside a peer where there is one."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # a peer that quarrels with itself over two cores is no peer
    from course.preparing import physics

    physics()
    from course.bench import measure, table

    result = measure(lambda line: click.echo(line, err=True))
    if as_json:
        show_json(result)
    else:
        click.echo(table(result))
    slow = [row["what"] for row in result["rows"] if row["ok"] is False]
    if slow:
        raise FaultFound(f"over budget on this machine: {'; '.join(slow)}; run again on an idle machine, then look at what changed")


cli.add_command(cohort)


def sentence(error: click.ClickException, words: list[str]) -> str:
    """A usage error as one sentence that says what to do."""
    context = getattr(error, "ctx", None)
    command = context.command_path if context else "halfsplit"
    what = error.format_message().strip().replace("\n", " ").rstrip(".")
    return f"{' '.join(['halfsplit', *words])}: {what}; `{command} --help` shows what is allowed"


def main(words: list[str] | None = None) -> None:
    """Run the command; 0 done, 1 the work found a fault, 2 the request was wrong."""
    words = sys.argv[1:] if words is None else words
    try:
        status = cli.main(args=words, prog_name="halfsplit", standalone_mode=False)
    except HalfsplitError as error:
        click.echo(str(error), err=True)
        status = error.exit_code
    except click.ClickException as error:
        click.echo(sentence(error, words), err=True)
        status = 2
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped; what was recorded is kept.", err=True)
        status = 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    sys.exit(status if isinstance(status, int) else 0)

"""`halfsplit cohort`: what an instructor does for a class."""

import json
from pathlib import Path

import click

from course import library
from scenarios.errors import FaultFound

CLASS = click.Path(path_type=Path, file_okay=False)
IN = click.option("--in", "folder", type=CLASS, default=Path(), help="The class's folder (default: here).")


@click.group()
def cohort() -> None:
    """Make a class, release calls, grade what was handed in."""


@cohort.command()
@click.argument("folder", type=CLASS)
@click.argument("calls", nargs=-1, metavar="[CALL]...")
def make(folder: Path, calls: tuple[str, ...]) -> None:
    """Make a class's folder with the notebooks of all or some calls; nothing that is there is changed."""
    from course import classroom

    for call in calls:
        library.call_file(call)
    for path in classroom.make(folder, calls or library.listed()):
        click.echo(path)


@cohort.command()
@click.argument("call")
@IN
def release(folder: Path, call: str) -> None:
    """Make the notebook that trainees get (nbgrader generate_assignment)."""
    from course import classroom

    classroom.release(classroom.class_folder(folder), call)


@cohort.command()
@click.argument("call")
@click.option("--again", is_flag=True, help="Grade anew what was graded before.")
@IN
def grade(folder: Path, call: str, again: bool) -> None:
    """Grade all submissions of a call from their records (nbgrader autograde)."""
    from course import classroom
    from course.preparing import physics

    library.call_file(call)
    place = classroom.class_folder(folder)
    physics()
    taken = classroom.grade(place, call, again=again)
    for trainee in taken.no_notebook:
        click.echo(f"{trainee}: handed in no notebook; the record was graded", err=True)
    for row in classroom.scores(place, call):
        score = "to be marked by hand" if row["score"] is None else f"{row['score']:g} of {row['of']:g}"
        click.echo(f"{row['trainee']}: {score}")
    if wrong := taken.lines():
        raise FaultFound("\n".join(wrong))


@cohort.command()
@click.argument("call")
@IN
def feedback(folder: Path, call: str) -> None:
    """Write each trainee's feedback page (nbgrader generate_feedback)."""
    from course import classroom

    classroom.feedback(classroom.class_folder(folder), call)


@cohort.command()
@click.argument("calls", nargs=-1, metavar="[CALL]...")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@IN
def report(folder: Path, calls: tuple[str, ...], as_json: bool) -> None:
    """Say who guessed, who worked unsafely, and which mistake is common."""
    from course import classroom
    from course import report as reports
    from course.preparing import physics

    for call in calls:
        library.call_file(call)
    place = classroom.class_folder(folder)
    physics()
    result = reports.report(place, calls or tuple(library.listed()), lambda line: click.echo(line, err=True))
    click.echo(json.dumps(result, ensure_ascii=False, indent=2) if as_json else reports.text(result))


@cohort.command()
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), default=Path("scores.csv"), help="File to write.")
@IN
def export(folder: Path, to: Path) -> None:
    """Write all scores of the gradebook as CSV (nbgrader export)."""
    from course import classroom

    classroom.tool(classroom.class_folder(folder), "export", f"--to={to.resolve()}")
    click.echo(to)

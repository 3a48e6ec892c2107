"""Is what pip installed whole? Compares the installed packages with this folder, then takes the command for a walk outside it."""

import os
import subprocess
import sys
from pathlib import Path

PACKAGES = ("course", "graders", "scenarios")


def main(python: str, elsewhere: str) -> None:
    """Stop with a sentence at the first thing that is missing."""
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(subprocess.run([python, "-c", ask], check=True, text=True, capture_output=True, cwd=elsewhere).stdout.strip())
    files = [path for name in PACKAGES for path in Path(name).rglob("*") if path.is_file() and path.suffix != ".pyc"]
    missing = [str(path) for path in files if not (site / path).is_file()]
    if missing or not files:
        sys.exit(f"not installed: {', '.join(missing) or 'everything'}")
    command = str(Path(python).with_name("halfsplit"))
    for words in (["calls"], ["calls", "--json"], ["--version"], ["--help"]):
        shown = subprocess.run([command, *words], check=True, text=True, capture_output=True, cwd=elsewhere)
        if not shown.stdout or shown.stderr:
            sys.exit(f"halfsplit {' '.join(words)}: said {shown.stdout!r} and, on standard error, {shown.stderr!r}")
    print(f"{len(files)} files installed; the command runs outside the folder")
    prepared_once(command, elsewhere)


def prepared_once(command: str, elsewhere: str) -> None:
    """Started here, in a checkout, as the README says, the simulator is prepared; a call opened elsewhere must find it so."""
    steps = "go panel\nopen DOOR\nvolts Q5:1 Q5:3\n"
    made = []
    for n, place in enumerate((".", elsewhere)):
        words = [
            command,
            "take",
            "walk_in_warm",
            "--seed",
            "1",
            "--steps",
            "-",
            "--record",
            str(Path(elsewhere) / f"whole-{n}.jsonl"),
        ]
        subprocess.run(words, check=True, text=True, input=steps, cwd=place, stdout=subprocess.DEVNULL)
        made.append({str(path) for path in Path(os.environ["HALFSPLIT_CACHE"]).rglob("*.nbc")})
    if made[0] != made[1] or not made[0]:
        sys.exit(f"a call compiled {len(made[1] - made[0])} functions that preparation should have ({len(made[0])} were there)")
    print(f"{len(made[0])} compiled functions, and a call needs no more")


if __name__ == "__main__":
    main(*sys.argv[1:])

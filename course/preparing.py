"""Getting the simulator ready, with a word of explanation: its physics is compiled once, on first use."""

import contextlib
import importlib
import io
import subprocess
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar

import scenarios
from scenarios.compiling.progress import LINES
from scenarios.errors import FaultFound

T = TypeVar("T")
WHY = (
    "Preparing the simulator, once for this computer: its physics is being compiled so that every later call opens at once. "
    "This takes about twenty seconds on two cores."
)


class Progress(io.TextIOBase):
    """Takes the preparation's lines and shows the latest; silent until there is one, because mostly nothing needs doing."""

    def __init__(self) -> None:
        from rich.console import Console

        self.console = Console(file=sys.stderr)
        self.status = self.console.status("starting")
        self.begun = False

    def write(self, text: str) -> int:
        """Show one line of the preparation."""
        line = text.strip()
        if line and not self.begun:
            self.begun = True
            self.console.print(WHY)
            self.status.start()
        if line:
            self.status.update(line)
            if not self.console.is_terminal:
                self.console.print(f"  {line}")
        return len(text)

    def done(self) -> None:
        """Take the last line away again."""
        if self.begun:
            self.status.stop()
            self.console.print("Ready.")


class Beside:
    """The simulator made ready by a process of its own, so that whoever serves pages need not wait; how far it is can be asked.

    Parameters
    ----------
    command : sequence of str
        What makes it ready; a line on its error output is a part begun.
    """

    LOAD = (sys.executable, "-c", "import scenarios.compiling.kernel")

    def __init__(self, command: Sequence[str] = LOAD) -> None:
        self.lines: list[str] = []
        self.status: int | None = None
        # where the package lies: a person's folder may hold something of the same name
        place = Path(scenarios.__file__).resolve().parents[1]
        self._child = subprocess.Popen(
            command, cwd=place, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
        )
        self._reader = Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        """Take the child's lines, and pass them on to whoever watches the terminal."""
        for line in self._child.stderr or ():
            if not self.lines:
                print(WHY, file=sys.stderr)
            self.lines.append(line.strip())
            print(f"  {line.strip()}", file=sys.stderr, flush=True)
        self.status = self._child.wait()

    @property
    def state(self) -> dict[str, Any]:
        """Whether it is ready, how many parts of how many are begun and which is the latest, and what to do where it failed."""
        failed = "Preparing the simulator failed. Start halfsplit again; the last lines in its window say where it stops."
        begun = [LINES[line] for line in self.lines if line in LINES]
        return {
            "ready": self.status == 0,
            "begun": len(begun),
            "of": len(LINES),
            "part": begun[-1] if begun and self.status is None else "",
            "failed": failed if self.status else "",
        }

    def wait(self) -> None:
        """Wait until it has ended."""
        self._reader.join()


@contextlib.contextmanager
def explained() -> Iterator[None]:
    """Within this, a preparation shows its progress and says why it runs."""
    progress = Progress()
    with contextlib.redirect_stderr(progress):
        try:
            yield
        finally:
            progress.done()


def progress(found: Iterable[T], count: int, title: str) -> Iterator[T]:
    """The same things one by one, with a bar where somebody watches and there are more than a few."""
    from rich.console import Console
    from rich.progress import track

    quiet = count < 4 or not sys.stderr.isatty()
    yield from track(found, title, count, console=Console(stderr=True), transient=True, disable=quiet)


def physics() -> None:
    """Load the compiled physics, preparing it first where this computer has not seen this version.

    Raises
    ------
    FaultFound
        Preparing failed.
    """
    if "scenarios.compiling.kernel" not in sys.modules:
        try:
            with explained():
                importlib.import_module("scenarios.compiling.kernel")
        except RuntimeError as error:
            raise FaultFound(f"{error}; HALFSPLIT_PREPARE=0 works without preparing, more slowly at first") from error

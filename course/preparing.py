"""Getting the simulator ready, with a word of explanation: its physics is compiled once, on first use."""

import contextlib
import importlib
import io
import sys
from collections.abc import Iterable, Iterator
from typing import TypeVar

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

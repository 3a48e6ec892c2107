"""Server side of the course: the page of calls, opening a call, and messages that do not wait for more.

The page lies at ``/halfsplit/calls``, its data at ``/halfsplit/api/calls``. It opens at once: what has to be compiled is compiled
beside, and ``/halfsplit/api/preparing`` says how far that is; ``/halfsplit/open/<call>`` lays the notebook into the
person's folder and goes there. All of it needs the server's token.
"""

import json
from pathlib import Path
from typing import Any

from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.utils import url_path_join
from tornado.web import HTTPError, authenticated

from course import folder as folders
from course import library
from course.preparing import Beside
from scenarios.errors import BadRequest

DESK = Path(__file__).resolve().parent.parent / "desk"
"""Where the page of calls and what it shows lie."""
KINDS = {"html": "text/html", "css": "text/css", "js": "text/javascript"}
SAFE = "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; frame-ancestors 'self'"
"""What the page may load: nothing from anywhere else."""


PREPARATION = "halfsplit_preparation"
"""Name of the simulator's preparation among the server's settings."""


def quick_messages() -> bool:
    """Send each message to the browser at once instead of waiting for more, where this version of Jupyter Server allows it.

    Takes about 40 ms off every click. The server's own handler is extended, so a version without it is left as it is.
    """
    try:
        from jupyter_server.services.kernels.websocket import KernelWebsocketHandler as Handler

        opened = Handler.open
    except (ImportError, AttributeError):
        return False
    if getattr(opened, "quick", False):
        return True

    async def quick_open(self: Any, *args: Any, **options: Any) -> Any:
        set_nodelay = getattr(self, "set_nodelay", None)
        if set_nodelay is not None:
            set_nodelay(True)
        result = opened(self, *args, **options)
        return await result if hasattr(result, "__await__") else result

    quick_open.quick = True  # type: ignore[attr-defined]
    Handler.open = quick_open
    return True


class CourseHandler(JupyterHandler):  # type: ignore[misc]
    """What the handlers share: the person's folder."""

    def place(self) -> Path:
        """The folder that this server shows."""
        return Path(self.settings["server_root_dir"]).expanduser()

    def notebook_url(self, call: str) -> str:
        """Address of a call's notebook, alone on the page."""
        return str(url_path_join(self.base_url, "doc", "tree", call, f"{call}.ipynb"))


class PageHandler(CourseHandler):
    """The page of calls and its two helpers."""

    @authenticated  # type: ignore[untyped-decorator]
    def get(self, kind: str | None = None) -> None:
        """Answer with calls.html, calls.css or calls.js."""
        suffix = kind or "html"
        path = DESK / f"calls.{suffix}"
        if not path.is_file():
            raise HTTPError(404, f"{path.name} is not part of this installation; install the package again")
        self.set_header("Content-Type", f"{KINDS[suffix]}; charset=utf-8")
        self.set_header("Content-Security-Policy", SAFE)
        self.set_header("Cache-Control", "no-cache")
        self.finish(path.read_text("utf-8"))


class CallsHandler(CourseHandler):
    """The list of calls as data."""

    @authenticated  # type: ignore[untyped-decorator]
    def get(self) -> None:
        """Answer with one entry a call: what `halfsplit calls --json` says, the ticket's words, state and address."""
        from course.marks import state_of
        from course.screen.words import SCORED
        from graders.gate import RULE

        entries = []
        for row in library.rows():
            address = url_path_join(self.base_url, "halfsplit", "open", row["id"])
            entry = {**row, "ticket": library.ticket(row["id"]), "url": address}
            entries.append({**entry, **state_of(self.place(), row["id"])})
        self.set_header("Content-Type", "application/json")
        self.finish(json.dumps({"calls": entries, "gate": RULE, "scored": SCORED, "folder": str(self.place())}, ensure_ascii=False))


class PreparingHandler(CourseHandler):
    """How far the simulator is."""

    @authenticated  # type: ignore[untyped-decorator]
    def get(self) -> None:
        """Answer with `preparing.Beside.state`."""
        self.set_header("Content-Type", "application/json")
        self.set_header("Cache-Control", "no-store")
        self.finish(json.dumps(self.settings[PREPARATION].state))


class OpenHandler(CourseHandler):
    """The way into a call."""

    @authenticated  # type: ignore[untyped-decorator]
    def get(self, call: str) -> None:
        """Lay the call's notebook into the person's folder unless it is there, and go to it."""
        try:
            library.call_file(call)
        except BadRequest as error:
            raise HTTPError(404, str(error)) from error
        folders.lay_out(self.place(), call)
        self.redirect(self.notebook_url(call))


def _load_jupyter_server_extension(server: Any) -> None:
    """Add the course's addresses to a running server."""
    base = server.web_app.settings["base_url"]

    def at(*parts: str) -> str:
        return str(url_path_join(base, "halfsplit", *parts))

    server.web_app.settings[PREPARATION] = Beside()
    server.web_app.add_handlers(
        ".*$",
        [
            (at("calls"), PageHandler),
            (at(r"calls\.(css|js)"), PageHandler),
            (at("api", "calls"), CallsHandler),
            (at("api", "preparing"), PreparingHandler),
            (at("open", r"([a-z0-9_]+)"), OpenHandler),
        ],
    )
    if not quick_messages():
        server.log.info("this version of Jupyter Server cannot send messages at once; readings may take a little longer")

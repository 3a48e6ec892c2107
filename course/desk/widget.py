"""The desk as one widget: custom messages in, custom messages out; nothing of a call is kept in its traits.

The page says ``hello`` and gets everything; it sends a ``step`` and gets what changed; it asks for the ``geometry`` of a sheet and
for the ``debrief``. Two windows on one kernel share one desk; a second kernel is refused by the record's lock.
"""

import logging
import os
import secrets
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget

from course.desk import bundle, model
from scenarios.errors import BadRequest, FaultFound

MOST_SEED = 1_000_000
"""Seeds drawn for a new call lie below this."""
MOST_LINE = 2000
"""Longest step the desk passes on [characters]."""
SENTENCE = "The desk of this call is not open here. Choose Run, then Run All Cells, and it opens as it was left."
"""What stands in place of the desk where no widget can be shown."""
log = logging.getLogger(__name__)

_open: dict[str, "Desk"] = {}


class Desk(anywidget.AnyWidget):  # type: ignore[misc]
    """The desk of one call.

    Parameters
    ----------
    session : Call
        The call being taken.
    drawings : Drawings
        Drawings of its store.
    record : Path, optional
        Where its record lies, for the debrief.
    debrief : callable, optional
        Record -> the debrief as one HTML page; the graders' own page by default.
    """

    _esm = bundle.joined()
    _css = bundle.style()

    def __init__(
        self,
        session: model.Call,
        drawings: model.Drawings,
        record: Path | None = None,
        debrief: Callable[[Path], str] | None = None,
        **options: Any,
    ) -> None:
        super().__init__(**options)
        self.session, self.drawings, self.record = session, drawings, record
        self._page = debrief or graded_page
        self._view: model.View = {}
        self._judging: threading.Thread | None = None
        self.on_msg(self._message)

    def _message(self, _: Any, content: dict[str, Any], __: Any) -> None:
        """Answer one message of the page; an error becomes a sentence on the desk."""
        answers: dict[str, Callable[[dict[str, Any]], dict[str, Any] | None]] = {
            "hello": self._hello,
            "step": self._step,
            "geometry": self._geometry,
            "debrief": self._debrief,
        }
        answer = answers.get(str(content.get("kind")))
        if answer is None:
            return
        try:
            made = answer(content)
            if made is not None:
                self.send(made)
        except (BadRequest, FaultFound) as error:
            self.send({"kind": "refused", "text": _sentence(str(error))})
        except Exception:
            log.exception("the desk could not answer %r", content)
            self.send({"kind": "refused", "text": "The engine could not do that. Nothing you had is lost; try another way."})

    def _hello(self, _: dict[str, Any]) -> dict[str, Any]:
        message = model.full(self.session, self.drawings)
        self._view = message["view"]
        return message

    def _step(self, content: dict[str, Any]) -> dict[str, Any]:
        line = str(content.get("line", ""))[:MOST_LINE]
        before = self._view or self.session.view()
        saw = self.session.do(line)
        self._view = self.session.view()
        return model.changed(before, self._view, saw, line)

    def _geometry(self, content: dict[str, Any]) -> dict[str, Any]:
        sheet, viewport, circuit = str(content.get("sheet")), str(content.get("viewport")), content.get("circuit")
        name = sheet if circuit is None else f"{sheet}/{circuit}"
        return {
            "kind": "geometry",
            "sheet": sheet,
            "viewport": viewport,
            "circuit": circuit,
            "data": self.drawings.geometry(name, viewport),
        }

    def _debrief(self, _: dict[str, Any]) -> None:
        if self.record is None:
            raise BadRequest("this desk keeps no record, so there is no debrief; open the call with a record")
        if not self.session.view()["closed"]:
            raise BadRequest("the debrief comes after close-out; close the call out on the work order first")
        if self._judging is None or not self._judging.is_alive():
            self.send({"kind": "judging"})  # before the thread begins: it may be quick
            self._judging = threading.Thread(target=self._judge, args=(self.record,), daemon=True)
            self._judging.start()

    def _judge(self, record: Path) -> None:
        """Work the debrief out beside the kernel's own loop, so that the desk goes on answering."""
        try:
            self.send({"kind": "debrief", "html": self._page(record)})
        except (BadRequest, FaultFound) as error:
            self.send({"kind": "refused", "text": _sentence(str(error))})
        except Exception:
            log.exception("the debrief of %s could not be made", record)
            self.send(
                {"kind": "refused", "text": "The debrief could not be worked out. Your record is whole; try again from the menu."}
            )

    def close(self) -> None:
        """Give the record free and take the desk off the page."""
        done = getattr(self.session, "close", None)
        if callable(done):
            done()
        for path in [path for path, desk in _open.items() if desk is self]:
            del _open[path]
        super().close()

    def _repr_mimebundle_(self, **options: Any) -> Any:
        """The widget, with a plain sentence for pages that cannot show it."""
        made = super()._repr_mimebundle_(**options)
        data = made[0] if isinstance(made, tuple) else made
        if data:
            data["text/plain"] = SENTENCE
        return made


class Closed:
    """What stands in a notebook's output where no desk opens: a sentence that says why and what to do."""

    def __init__(self, why: str = SENTENCE) -> None:
        self.why = why

    def __repr__(self) -> str:
        return self.why


def _sentence(text: str) -> str:
    """With a full stop, and a capital unless it begins with the name of a file."""
    text = text.strip()
    first = text.split(" ", 1)[0]
    begun = text if "." in first or "/" in first else text[:1].upper() + text[1:]
    return begun + ("" if text.endswith((".", "!", "?")) else ".")


def graded_page(record: Path) -> str:
    """The graders' debrief of a record; its mark is noted beside it for the person's own list."""
    from course import marks
    from course.debrief.page import page
    from graders.scorecard import as_json, judged_record

    judged = judged_record(record)
    try:
        marks.note_mark(record, as_json(judged))
    except OSError:
        log.warning("%s: the mark could not be noted beside it", record)
    return page(judged)


def under_grading() -> bool:
    """Whether a notebook is being run by the instructor's tool, not by a person."""
    return bool(os.environ.get("NBGRADER_EXECUTION") or os.environ.get("NBGRADER_VALIDATING"))


def open_desk(call: str, record: Path | str = "record.jsonl", seed: int | None = None, *, open: bool = True) -> "Desk | Closed":
    """The desk of a call; the live one where its record is open in this kernel.

    Parameters
    ----------
    call : str
        Call id.
    record : Path
        The record to begin, or to go on with.
    seed : int, optional
        Seed of a new call; drawn where none is given.
    open : bool
        False gives a sentence only.

    Returns
    -------
    Desk or Closed
        A sentence in place of the desk while a class is being graded, and where the call cannot be opened: an unknown call, a
        record that another window has open, or one that belongs to another call. A person who sees it knows no Python.
    """
    if not open or under_grading():
        return Closed()
    path = Path(record).resolve()
    alive = _open.get(str(path))
    if alive is not None:
        return alive
    from scenarios.call import Session

    try:
        session = Session.open(call, secrets.randbelow(MOST_SEED) if seed is None else seed, path, fresh=not path.exists())
    except (BadRequest, FaultFound) as error:
        return Closed(_sentence(str(error)))
    threading.Thread(target=warm_up, args=(session.world.fork(),), daemon=True).start()
    _open[str(path)] = made = Desk(model.Shown(session), model.StoreDrawings(session.world.store), path)
    return made


def warm_up(world: Any) -> None:
    """Bring the meter's code in from the disk while the person reads the ticket, so that the first click does not wait for it."""
    a, b = list(world.wiring.terminals)[:2]
    world.volts(a, b)
    world.ohms(a, b)

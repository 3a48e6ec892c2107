"""The course inside Jupyter: its addresses, its token, and what it leaves alone."""

import json
import os
import re
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from course_process import started

from course import library, notebooks
from course.folder import RECORD
from course.jupyter import launch
from course.jupyter.server import quick_messages
from graders import gate, rubric
from scenarios.compiling.progress import LINES

CALL = next(iter(library.call_files()))
pytestmark = pytest.mark.notebook


class Stay(urllib.request.HTTPRedirectHandler):
    """Do not follow a redirect: where it goes is what is asked."""

    def redirect_request(self, *_: Any) -> None:
        return None


class Server:
    """A running course."""

    def __init__(self, address: str, folder: Path) -> None:
        self.base, _, self.token = address.partition("/halfsplit/calls?token=")
        self.folder = folder

    def get(self, path: str, *, token: bool = True) -> tuple[int, dict[str, str], str]:
        """Status, headers and text of an answer."""
        headers = {"Authorization": f"token {self.token}"} if token else {}
        request = urllib.request.Request(self.base + path, headers=headers)
        try:
            with urllib.request.build_opener(Stay).open(request, timeout=20) as answer:
                return answer.status, dict(answer.headers), answer.read().decode("utf-8")
        except urllib.error.HTTPError as error:
            return error.code, dict(error.headers), error.read().decode("utf-8")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Started by the command itself, in a folder of its own."""
    home = tmp_path_factory.mktemp("home")
    environ = {**os.environ, "HALFSPLIT_FOLDER": str(home / "calls"), "XDG_CONFIG_HOME": str(home / "config")}
    with started(home, environ) as (address, _):
        yield Server(address, home / "calls")


def test_list_says_what_the_command_says_and_more(server: Server) -> None:
    status, _, text = server.get("/halfsplit/api/calls")
    entries = json.loads(text)["calls"]
    assert status == 200
    assert json.loads(text)["gate"] == gate.RULE
    assert [float(points) for points, _ in json.loads(text)["scored"]] == list(rubric.DEFAULT.weights.values())
    assert [{key: entry[key] for key in library.ROW} for entry in entries] == library.rows()
    assert all(entry["ticket"]["says"] and entry["ticket"]["who"] for entry in entries)
    assert all(entry["state"] in {"new", "open", "closed"} and "best" in entry for entry in entries)


@pytest.mark.parametrize("path", ["calls", "calls.js", "calls.css", "api/calls", f"open/{CALL}"])
def test_nothing_without_the_token(server: Server, path: str) -> None:
    status, headers, _ = server.get(f"/halfsplit/{path}", token=False)
    assert status in {302, 403}
    assert "login" in headers.get("Location", "login")


@pytest.mark.parametrize(("path", "kind"), [("calls", "text/html"), ("calls.css", "text/css"), ("calls.js", "text/javascript")])
def test_page_and_its_helpers_load_nothing_from_elsewhere(server: Server, path: str, kind: str) -> None:
    status, headers, text = server.get(f"/halfsplit/{path}")
    assert status == 200
    assert headers["Content-Type"].startswith(kind)
    assert headers["Content-Security-Policy"].startswith("default-src 'self'")
    assert not re.search(r"https?://(?!www\.w3\.org/)", text)


def test_opening_a_call_lays_its_notebook_out_once(server: Server) -> None:
    path = server.folder / CALL / f"{CALL}.ipynb"
    status, headers, _ = server.get(f"/halfsplit/open/{CALL}")
    assert (status, headers["Location"]) == (302, f"/doc/tree/{CALL}/{CALL}.ipynb")
    assert path.read_text("utf-8") == notebooks.text_of(CALL)
    path.write_text("{}", "utf-8")
    assert server.get(f"/halfsplit/open/{CALL}")[0] == 302
    assert path.read_text("utf-8") == "{}"


@pytest.mark.parametrize("path", ["/halfsplit/open/nowhere", "/halfsplit/open/..%2f..%2fx", "/halfsplit/calls.py"])
def test_no_address_leads_elsewhere(server: Server, path: str) -> None:
    before = {found for found in server.folder.rglob("*")}
    assert server.get(path)[0] == 404
    assert {found for found in server.folder.rglob("*")} == before


def test_state_of_a_call_comes_from_its_record(server: Server) -> None:
    record = server.folder / CALL / RECORD
    record.parent.mkdir(exist_ok=True)
    states = []
    steps = [f'{{"n": 1, "saw": {{"kind": "{kind}"}}}}' for kind in ("sight", "closed")]
    for lines in ("", *('{"schema": 1}\n' + step + "\n" for step in steps)):
        record.write_text(lines, "utf-8")
        entries = json.loads(server.get("/halfsplit/api/calls")[2])["calls"]
        states.append(next(entry["state"] for entry in entries if entry["id"] == CALL))
    record.unlink()
    assert states == ["open", "open", "closed"]


def test_lab_page_knows_the_course_and_hides_the_instructors_plugins(server: Server) -> None:
    _, _, text = server.get("/doc/tree/none.ipynb")
    config = re.search(r'<script id="jupyter-config-data" type="application/json">(.*?)</script>', text, re.DOTALL)
    assert config
    page = json.loads(config[1])
    assert "halfsplit-course" in {found["name"] for found in page["federated_extensions"]}
    assert {"@jupyter/nbgrader:formgrader", "@jupyterlab/apputils-extension:announcements"} <= set(page["disabledExtensions"])
    status, _, script = server.get("/lab/extensions/halfsplit-course/static/remoteEntry.js")
    assert status == 200
    assert "__esModule: true" in script


def test_nothing_is_written_into_the_persons_own_jupyter(server: Server) -> None:
    assert (server.folder.parent / "config" / "halfsplit" / "jupyter").is_dir()
    assert launch.own_settings()["JUPYTER_CONFIG_DIR"].endswith("halfsplit/jupyter")


def test_messages_are_sent_at_once_and_only_once_patched() -> None:
    from jupyter_server.services.kernels.websocket import KernelWebsocketHandler as Handler

    assert quick_messages()
    patched = Handler.open
    assert quick_messages()
    assert Handler.open is patched


def ready_within(server: Server, seconds: float) -> list[dict[str, Any]]:
    """What the server says of the preparation, until it is ready."""
    told: list[dict[str, Any]] = []
    end = time.monotonic() + seconds
    while not (told and told[-1]["ready"]):
        assert time.monotonic() < end, told[-3:]
        status, _, text = server.get("/halfsplit/api/preparing")
        assert status == 200
        told.append(json.loads(text))
        assert told[-1]["failed"] == ""
        time.sleep(0.3)
    return told


def test_is_the_simulator_said_to_be_ready(server: Server) -> None:
    assert ready_within(server, 120.0)[-1]["part"] == ""
    assert server.get("/halfsplit/api/preparing", token=False)[0] in (302, 403)


@pytest.mark.slow
def test_the_page_opens_and_tickets_can_be_read_while_the_simulator_is_prepared(tmp_path: Path) -> None:
    """On a computer that has never seen this version: the page first, then part after part."""
    environ = {**os.environ, "HALFSPLIT_FOLDER": str(tmp_path / "calls"), "XDG_CONFIG_HOME": str(tmp_path / "config")}
    with started(tmp_path, {**environ, "HALFSPLIT_CACHE": str(tmp_path / "cache"), "HALFSPLIT_PREPARE": "1"}) as (address, _):
        fresh = Server(address, tmp_path / "calls")
        assert fresh.get("/halfsplit/calls")[0] == 200
        entries = json.loads(fresh.get("/halfsplit/api/calls")[2])["calls"]
        assert all(entry["ticket"]["says"] for entry in entries)
        told = ready_within(fresh, 600.0)
    assert not told[0]["ready"]
    begun = [one["begun"] for one in told]
    assert begun == sorted(begun)
    assert set(range(2, len(LINES) + 1)) & set(begun)
    assert begun[-1] == len(LINES)

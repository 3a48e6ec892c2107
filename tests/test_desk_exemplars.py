"""Can everything that a call's own exemplars do be done on the desk by mouse?"""

import json
from pathlib import Path

import pytest
from desk_browser import browser, picture
from desk_driver import SEED, desk_of

from graders import replaying
from scenarios.files import yamlfile
from scenarios.steps import parse

__all__ = ["browser"]
pytestmark = pytest.mark.browser
EXEMPLARS = [
    (path.stem, entry["id"], entry["steps"])
    for path in sorted(yamlfile.FOLDERS["key"].glob("*.yaml"))
    for entry in replaying.key(path.stem, SEED)["exemplars"]
]


@pytest.mark.parametrize(("call", "id", "steps"), EXEMPLARS, ids=[f"{call}-{id}" for call, id, _ in EXEMPLARS])
def test_every_step_of_an_exemplar_is_done_by_mouse(browser, tmp_path: Path, call: str, id: str, steps: list[str]) -> None:
    page, session, mouse = desk_of(browser, call, tmp_path)
    wanted = [parse(line).line for line in steps]
    for n, line in enumerate(wanted):
        mouse.take(line)
        picture(page, f"{call}-{id}-{n:02d}-{line.split()[0]}")
        done = [moment.step for moment in session.moments]
        assert done == wanted[: n + 1], f"{line!r} became {done[n:]}"
        assert session.moments[-1].saw.kind not in ("refused", "caution", "incident"), session.moments[-1].saw.text
    assert page.problems == []
    page.close()
    session.writer.close()
    record = (tmp_path / "record.jsonl").read_text("utf-8").splitlines()
    assert [json.loads(line)["step"] for line in record[1:]] == wanted
    assert session.closed

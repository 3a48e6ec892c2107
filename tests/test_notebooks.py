"""Notebooks of calls: made from the call files, the same in the package as from the script, and with nothing in them to find."""

import json
from pathlib import Path

import nbformat
import pytest
from nbgrader.nbgraderformat import MetadataValidator

from course import folder, library, notebooks
from scenarios.errors import BadRequest

CALLS = list(library.call_files())


@pytest.mark.parametrize("call", CALLS)
def test_assignment_in_the_package_is_what_the_script_writes(call: str) -> None:
    """If this fails: run `python -m course.notebooks`."""
    assert notebooks.source_of(call).read_text("utf-8") == notebooks.text_of(call)


def test_every_assignment_in_the_package_belongs_to_a_call() -> None:
    assert sorted(path.name for path in notebooks.SOURCE.iterdir()) == sorted(CALLS)


@pytest.mark.parametrize("call", CALLS)
def test_notebook_is_valid_for_jupyter_and_for_the_instructors_tool(call: str) -> None:
    node = nbformat.from_dict(notebooks.notebook(call))
    nbformat.validate(node)
    MetadataValidator().validate_nb(node)
    assert node.metadata.course == {"autorun": True, "call": call}


@pytest.mark.parametrize("call", CALLS)
def test_notebook_scores_a_hundred_points_and_holds_no_grading_code(call: str) -> None:
    cells = notebooks.notebook(call)["cells"]
    scored = [cell for cell in cells if cell["cell_type"] == "code" and cell["metadata"]["nbgrader"]["grade"]]
    assert sum(cell["metadata"]["nbgrader"]["points"] for cell in scored) == 100
    assert all(line.startswith("#") for cell in scored for line in cell["source"])
    assert all(cell["outputs"] == [] for cell in cells if cell["cell_type"] == "code")


def test_ids_of_cells_differ_and_stay(tmp_path: Path) -> None:
    ids = [cell["id"] for call in CALLS for cell in notebooks.notebook(call)["cells"]]
    assert len(set(ids)) == len(ids)
    assert notebooks.text_of(CALLS[0]) == notebooks.text_of(CALLS[0])


def test_points_agree_with_the_graders_weights() -> None:
    from graders.rubric import Rubric

    assert Rubric().weights == {part: float(points) for part, _, points in notebooks.PARTS}


def test_laying_out_never_overwrites(tmp_path: Path) -> None:
    path = folder.lay_out(tmp_path, CALLS[0])
    assert json.loads(path.read_text("utf-8")) == notebooks.notebook(CALLS[0])
    path.write_text("my own words", "utf-8")
    assert folder.lay_out(tmp_path, CALLS[0]) == path
    assert path.read_text("utf-8") == "my own words"


def test_no_notebook_for_an_unknown_call(tmp_path: Path) -> None:
    with pytest.raises(BadRequest, match=r"^nowhere: no call of that name; `halfsplit calls` lists them: "):
        folder.lay_out(tmp_path, "nowhere")
    assert not (tmp_path / "nowhere" / "nowhere.ipynb").exists()

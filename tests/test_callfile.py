"""Call, key and store files: is every problem named at once, with file, line, path, what is wrong and what is allowed?"""

import subprocess
import sys
from pathlib import Path

import pytest

from scenarios.errors import BadRequest
from scenarios.files import callfile, yamlfile

CORPUS = Path(__file__).parent / "files"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("HALFSPLIT_CACHE", str(tmp_path / "cache"))


@pytest.mark.parametrize("path", sorted(CORPUS.glob("good/*/*.yaml")), ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_is_a_good_file_loaded(path):
    assert callfile.load(path, path.parent.name)["id"] == path.stem


@pytest.mark.parametrize("path", sorted(CORPUS.glob("bad/*/*.yaml")), ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_is_a_bad_file_refused_line_by_line(path):
    with pytest.raises(BadRequest) as caught:
        callfile.load(path, path.parent.name)
    expected = path.with_suffix(".expect").read_text("utf-8").splitlines()
    got = str(caught.value).splitlines()
    for line in expected:
        assert any(path.name in row and line in row for row in got), got
    assert len(got) == len(expected), got


@pytest.mark.parametrize(("kind", "name"), [(kind, name) for kind in yamlfile.FOLDERS for name in callfile.names(kind)])
def test_is_every_file_of_the_course_in_order(kind, name):
    data, problems = callfile.examined(callfile.path_of(kind, name), kind)
    assert problems == []
    assert data["schema"] == callfile.schema(kind)["properties"]["schema"]["const"]


def test_does_an_unknown_call_name_its_neighbours():
    with pytest.raises(BadRequest, match=r"no call 'dairy_and_meet' \(did you mean dairy_and_meat\?\); there are"):
        callfile.load_call("dairy_and_meet")
    with pytest.raises(BadRequest, match="cannot be read"):
        callfile.load(Path("nowhere.yaml"), "call")


def test_are_schemas_themselves_sound():
    import jsonschema

    for kind in yamlfile.FOLDERS:
        jsonschema.Draft202012Validator.check_schema(callfile.schema(kind))
        assert callfile.schema(kind)["additionalProperties"] is False


def test_is_a_changed_file_examined_again(tmp_path):
    """A file that passed is not examined twice, a changed one is."""
    good = (CORPUS / "good" / "call" / "short_night.yaml").read_text("utf-8")
    path = tmp_path / "short_night.yaml"
    path.write_text(good)
    assert callfile.load(path, "call") == callfile.load(path, "call")
    path.write_text(good.replace("level: first", "level: easy"))
    with pytest.raises(BadRequest, match="'easy' is not allowed"):
        callfile.load(path, "call")


def test_does_a_read_only_home_not_matter(monkeypatch):
    monkeypatch.setenv("HALFSPLIT_CACHE", "/dev/null/nowhere")
    path = CORPUS / "good" / "call" / "short_night.yaml"
    assert callfile.load(path, "call")["id"] == "short_night"


def test_are_names_listed_without_physics_or_schema_library():
    code = (
        "import sys; from scenarios.files import callfile; assert callfile.names('call');"
        "print(sorted({'numba', 'jsonschema', 'numpy', 'CoolProp'} & set(sys.modules)))"
    )
    got = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert got.stdout.strip() == "[]"

"""House rules that a program can check: which room may know which, what lies where, which words have no place here."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("scenarios", "graders", "course")
MAY_KNOW = {"scenarios": {"scenarios"}, "graders": {"scenarios", "graders"}, "course": {"scenarios", "graders", "course"}}
TOP = {".ci", ".git", ".gitignore", "DEVELOPERS.md", "README.md", "binder", "pyproject.toml", "tests", *PACKAGES}
SCREENS = {"anywidget", "ipywidgets"}
WIDE = {"pandas", "polars", "scipy", "requests", "httpx", "aiohttp", "pickle", "dill", "torch", "sklearn", "plotly", "bokeh"}
"""Libraries that nothing here needs, or that must not read a file that somebody handed in."""
NETWORK = {"socket", "urllib", "http", "ssl", "ftplib", "smtplib"}
LONGEST_MODULE, LONGEST_FUNCTION = 400, 60


def modules(*packages: str) -> list[Path]:
    """All Python files of some packages."""
    return [path for name in packages or PACKAGES for path in sorted((ROOT / name).rglob("*.py"))]


def names_imported(path: Path) -> Iterator[str]:
    """Full dotted names that a file imports, wherever in it the import stands."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full"
            yield str(node.module)


def of(path: Path) -> str:
    """Name of a file inside the project."""
    return path.relative_to(ROOT).as_posix()


def offenders(paths: list[Path], forbidden: set[str], allowed: str = "-") -> list[str]:
    """Imports of forbidden libraries outside the files that may have them."""
    return [
        f"{of(path)} imports {name}"
        for path in paths
        for name in names_imported(path)
        if name.partition(".")[0] in forbidden and not re.match(allowed, of(path))
    ]


def test_arrows_between_rooms_point_one_way() -> None:
    wrong = [
        f"{of(path)} imports {name}"
        for room in PACKAGES
        for path in modules(room)
        for name in names_imported(path)
        if name.partition(".")[0] in PACKAGES and name.partition(".")[0] not in MAY_KNOW[room]
    ]
    assert wrong == []


def test_only_the_kernel_names_the_compiler() -> None:
    assert offenders(modules(), {"numba", "llvmlite"}, r"scenarios/compiling/(kernel|doors|headers)\.py") == []


def test_widgets_are_met_only_at_the_desk() -> None:
    assert offenders(modules(), SCREENS, r"course/(desk|lessons)/") == []


def test_jupyter_is_met_only_in_the_course() -> None:
    tools = {"jupyter_server", "jupyterlab", "nbformat", "nbconvert", "IPython", "tornado"}
    assert offenders(modules("scenarios", "graders"), tools) == []
    assert offenders(modules("scenarios", "graders"), {"nbgrader"}, r"graders/gradebook\.py") == []


def test_property_library_is_met_only_where_tables_are_built_or_compared() -> None:
    assert offenders(modules(), {"CoolProp"}, r"scenarios/refrigeration/build_\w+\.py|course/bench\w*\.py") == []


def test_nothing_wide_and_nothing_that_runs_what_it_reads() -> None:
    assert offenders(modules(), WIDE) == []
    assert offenders(modules("scenarios", "graders"), NETWORK) == []


def test_physics_knows_no_chance_and_no_clock() -> None:
    inside = re.compile(r"scenarios/(refrigeration|electrical|controls)/(?!build_)")
    rooms = [path for path in modules("scenarios") if inside.match(of(path))]
    assert rooms
    assert offenders(rooms, {"random", "secrets", "time", "datetime"}) == []


@pytest.mark.parametrize("path", modules(), ids=of)
def test_modules_and_functions_stay_short(path: Path) -> None:
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= LONGEST_MODULE
    functions = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
    lengths = {node.name: (node.end_lineno or node.lineno) - node.lineno + 1 for node in functions}
    assert {name: length for name, length in lengths.items() if length > LONGEST_FUNCTION} == {}


def test_nothing_lies_at_the_top_that_is_not_named_here() -> None:
    ignored = {line.strip().strip("/") for line in (ROOT / ".gitignore").read_text().splitlines()}
    found = {path.name for path in ROOT.iterdir()} - ignored
    assert found - TOP - {name for name in found if name.endswith(".egg-info")} == set()


def test_tests_are_no_package_and_their_names_differ() -> None:
    names = [path.name for path in (ROOT / "tests").rglob("test_*.py")]
    assert len(set(names)) == len(names)
    assert not (ROOT / "tests" / "__init__.py").exists()


def ours() -> Iterator[Path]:
    """Every text file of the project."""
    skip = {"__pycache__", ".venv", ".git", ".hypothesis", ".mypy_cache", ".ruff_cache", ".ipynb_checkpoints"}
    for path in ROOT.rglob("*"):
        binary = path.suffix in {".npz", ".png", ".pyc", ".jsonl"} or ".egg-info" in str(path)
        if path.is_file() and not binary and not skip & set(path.parts):
            yield path


def test_no_file_points_at_a_place_outside_the_project() -> None:
    """A path of somebody's machine means nothing to whoever reads it next; put together here so as not to find themselves."""
    words = ["/" + "work/", "shared" + "/", "/" + "root/", "brief" + "/"]
    found = [f"{of(path)}: {word}" for path in ours() for word in words if word in path.read_text("utf-8", errors="replace")]
    assert found == []


def test_text_is_unix_text_without_trailing_blanks() -> None:
    wrong = []
    for path in ours():
        text = path.read_bytes().decode("utf-8")
        if "\r" in text or (text and not text.endswith("\n")) or re.search(r"[ \t]+$", text, re.M):
            wrong.append(of(path))
    assert wrong == []


def test_every_package_says_that_it_is_typed() -> None:
    assert all((ROOT / name / "py.typed").is_file() for name in PACKAGES)

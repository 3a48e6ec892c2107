"""Three digests: of all that decides compiled code, of all that decides a built night, of all that decides a record's replay.

Each is taken over the files that a walk of the imports finds, and the data those files name beside themselves; nothing is listed
by hand but where each walk begins. *Compiled* begins at every module with a compiled function, and takes the folder that compiles
whole. *Night* begins where a store is read and where nights are built, *replay* where a call is taken and where its
readings are worked out; each holds the one before. What stands in stores, calls and keys is sealed by content elsewhere.

The walk takes most of a second; its result is kept under a digest of all files, so it is taken once after an update.
"""

import ast
import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from scenarios.compiling.caches import home

PACKAGE = Path(__file__).resolve().parents[1]
KINDS = ("compiled", "night", "replay")
ROOTS = {"night": ("nights.py", "store/read.py"), "replay": ("call.py", "truths.py", "instruments/reading.py")}
"""Where a walk begins, beside what the digest before it covers."""
COMPILING = "compiling/"
"""What compiles, and what it compiles first: part of the compiled digest, though nothing that it imports need be."""
Files = Mapping[str, bytes]
"""Content of files by their names within the package."""
DATA = (".npz", ".yaml")
"""Endings of data that a module may name beside itself."""
BESIDE = re.compile(r"[\w-]+(\.npz|\.yaml)?")
"""How such a name, or that of a folder of tables, looks."""


class Module(NamedTuple):
    """What the walk wants to know of one module."""

    names: tuple[str, ...]
    """Dotted names it imports, at its top or inside a function: both decide."""
    compiles: bool
    """Whether it has a compiled function."""
    data: tuple[str, ...]
    """Data files, and folders of tables, that it may name."""
    looks: bool
    """Whether it looks for modules: then it stands on all of its folder."""


@cache
def module(text: bytes) -> Module:
    """Read one module by its text."""
    names: list[str] = []
    data: list[str] = []
    compiles = False
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names += [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
        elif isinstance(node, ast.FunctionDef):
            compiles = compiles or any(isinstance(mark, ast.Name) and mark.id == "compiled" for mark in node.decorator_list)
        elif isinstance(node, ast.Call):
            compiles = compiles or (isinstance(node.func, ast.Name) and node.func.id == "compiled")
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and BESIDE.fullmatch(node.value):
            data.append(node.value)
    return Module(tuple(names), compiles, tuple(data), any(name.split(".")[0] == "pkgutil" for name in names))


def files_in(top: Path = PACKAGE) -> Files:
    """Everything below a folder that can be under a digest, by its name from there."""
    found = (path for path in sorted(top.rglob("*")) if path.suffix in (".py", *DATA))
    return {path.relative_to(top).as_posix(): path.read_bytes() for path in found}


def named(dotted: str) -> Iterator[str]:
    """Files that a dotted name may be, and those of every folder on its way; a last word may be a name within one."""
    first, *rest = dotted.split(".")
    if first == PACKAGE.name:
        yield "__init__.py"
        for n in range(1, len(rest) + 1):
            place = "/".join(rest[:n])
            yield from (f"{place}.py", f"{place}/__init__.py")


def reached(roots: Iterable[str], files: Files) -> set[str]:
    """Modules and all that they stand on."""
    found: set[str] = set()
    todo = list(roots)
    while todo:
        here = todo.pop()
        if here not in found:
            found.add(here)
            todo += [name for dotted in module(files[here]).names for name in named(dotted) if name in files]
            if module(files[here]).looks:
                folder = PurePosixPath(here).parent
                todo += [name for name in files if PurePosixPath(name).parent == folder and name.endswith(".py")]
    return found


def covered(files: Files) -> dict[str, set[str]]:
    """Names of files by digest; each later one holds the earlier."""
    modules = [name for name in files if name.endswith(".py")]
    last = reached((name for name in modules if module(files[name]).compiles), files)
    found = {"compiled": last | {name for name in modules if name.startswith(COMPILING)}}
    for kind, roots in ROOTS.items():
        last = last | reached(roots, files)
        beside = {str(PurePosixPath(name).with_name(data)) for name in last for data in module(files[name]).data}
        tables = {name for name in files if name.endswith(".npz") and str(PurePosixPath(name).parent) in beside}
        found[kind] = found["compiled"] | last | tables | (beside & set(files))
    return found


def digest(names: Iterable[str], files: Files) -> str:
    """Sixteen hex digits over names and content."""
    seal = hashlib.sha256()
    for name in sorted(names):
        seal.update(name.encode() + b"\0" + files[name] + b"\0")
    return seal.hexdigest()[:16]


def digests(files: Files) -> dict[str, str]:
    """The three digests of a package of these files."""
    return {kind: digest(names, files) for kind, names in covered(files).items()}


@cache
def _present() -> dict[str, str]:
    """The digests of this package, walked once for these files."""
    files = files_in()
    kept = home() / "seals" / f"{digest(files, files)}.json"
    try:
        found: dict[str, str] = json.loads(kept.read_text())
        if sorted(found) == sorted(KINDS):
            return found
    except (OSError, ValueError):
        pass
    found = digests(files)
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_text(json.dumps(found))
    except OSError:
        pass  # walked again next time
    return found


def of(kind: str) -> str:
    """Digest of this version: ``compiled``, ``night`` or ``replay``. It is that of the files as this process first saw them."""
    return _present()[kind]

"""How physics is compiled, and where the compiled code is kept.

The only module that names the compiler. Compiled code lives in a folder whose name is a digest of every physics source,
because the compiler itself looks only at the file a function is written in, not at the files of what it calls. The folder is
built aside, sealed with checksums and renamed into place, so it is whole or absent; a damaged one is made again.

Environment: ``HALFSPLIT_CACHE`` names another cache folder; ``HALFSPLIT_PREPARE=0`` compiles on demand (for developers);
``NUMBA_DISABLE_JIT=1`` runs everything in plain Python (for tests and debuggers).
"""

import glob
import hashlib
import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from types import FunctionType
from typing import Any, ParamSpec, TypeVar

import platformdirs

HERE = Path(__file__).resolve().parent
PHYSICS = ("kernel.py", "records.py", "exact.py", "loop.py", "warm.py", "refrigeration", "electrical", "controls")
"""The sources and tables whose change makes compiled code stale."""
SEAL = "prepared.json"
COMPILING = os.environ.get("NUMBA_DISABLE_JIT", "0") == "0"
"""False where the environment asks for plain Python."""

P = ParamSpec("P")
R = TypeVar("R")


def sources() -> list[Path]:
    """Every file that decides what the physics computes, in a fixed order."""
    found: list[Path] = []
    for name in PHYSICS:
        place = HERE / name
        found += sorted(p for p in place.rglob("*") if p.suffix in {".py", ".npz"}) if place.is_dir() else [place] * place.exists()
    return found


def digest() -> str:
    """Sixteen hex digits that change with any physics source or table; part of every record and cache key."""
    seal = hashlib.sha256()
    for source in sources():
        seal.update(source.relative_to(HERE).as_posix().encode() + b"\0" + source.read_bytes())
    return seal.hexdigest()[:16]


def home() -> Path:
    """A folder for caches that can be written: HALFSPLIT_CACHE, the user's cache folder, or else a temporary one."""
    for place in (os.environ.get("HALFSPLIT_CACHE"), platformdirs.user_cache_dir("halfsplit")):
        if place:
            folder = Path(place)
            try:
                folder.mkdir(parents=True, exist_ok=True)
                with tempfile.TemporaryFile(dir=folder):
                    return folder
            except OSError:
                continue
    return Path(tempfile.mkdtemp(prefix="halfsplit-"))


def sums(folder: Path) -> dict[str, str]:
    """SHA-256 of every compiled file below a folder."""
    files = sorted(folder.rglob("*.nb?"))
    return {f.relative_to(folder).as_posix(): hashlib.sha256(f.read_bytes()).hexdigest() for f in files}


def is_prepared(folder: Path) -> bool:
    """Whether a folder still holds, byte for byte, what `prepare` put there."""
    try:
        sealed: dict[str, str] = json.loads((folder / SEAL).read_text())
        found = sums(folder)
    except (OSError, ValueError):
        return False
    return all(found.get(name) == seal for name, seal in sealed.items())


def prepare(folder: Path, report: Callable[[str], None]) -> None:
    """Compile everything once, aside, and move it to `folder` when it is whole; `report` gets a line per part.

    Plant and wiring are compiled at the same time by two processes, each into a folder of its own, because two that write one
    index could mix up their entries. Joined, the two are what a third process builds the rest upon.
    """
    shutil.rmtree(folder, ignore_errors=True)
    draft = Path(tempfile.mkdtemp(prefix="draft-", dir=folder.parent))
    aside = Path(tempfile.mkdtemp(prefix="draft-", dir=folder.parent))
    try:
        _compile({"wiring": draft, "plant": aside}, report)
        merge(aside, draft)
        _compile({"rest": draft}, report)
        (draft / SEAL).write_text(json.dumps(sums(draft)))
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    try:
        draft.rename(folder)
    except OSError:  # another process was first: its folder is as good as ours
        shutil.rmtree(draft, ignore_errors=True)


def _compile(groups: dict[str, Path], report: Callable[[str], None]) -> None:
    """Compile groups of entry points, each in a process and into a folder of its own, all at the same time."""
    environ = {**os.environ, "HALFSPLIT_PREPARING": "1", "PYTHONUNBUFFERED": "1"}
    children = [
        subprocess.Popen([sys.executable, "-m", "scenarios.warm", group], env={**environ, "NUMBA_CACHE_DIR": str(place)},
                         stdout=subprocess.PIPE, text=True)
        for group, place in groups.items()
    ]  # fmt: skip
    readers = [Thread(target=_pass_on, args=(child, report)) for child in children]
    for reader in readers:
        reader.start()
    for reader in readers:
        reader.join()
    failed = [str(child.returncode) for child in children if child.returncode]
    if failed:
        for place in groups.values():
            shutil.rmtree(place, ignore_errors=True)
        raise RuntimeError(f"preparing the simulator failed with status {', '.join(failed)}; the lines above say where")


def _pass_on(child: subprocess.Popen[str], report: Callable[[str], None]) -> None:
    with child:
        for line in child.stdout or ():
            report(line.rstrip())


def merge(given: Path, into: Path) -> None:
    """Move to a folder the compiled functions of another that it does not have; the index and code of a function stay together."""
    had = {index.relative_to(into) for index in into.rglob("*.nbi")}
    for index in sorted(given.rglob("*.nbi")):
        if index.relative_to(given) in had:
            continue
        target = into / index.relative_to(given).parent
        target.mkdir(parents=True, exist_ok=True)
        for file in [*index.parent.glob(f"{glob.escape(index.stem)}.*.nbc"), index]:
            shutil.move(file, target / file.name)


def folder_of_this_version() -> Path:
    """Where compiled code of these sources, this interpreter and this processor family belongs.

    The place of the sources is part of the name, because the compiler files its results by path: a second install of the same
    version would find the folder whole and still compile everything anew.
    """
    place = hashlib.sha256(str(HERE).encode()).hexdigest()[:8]
    return home() / f"kernel-{digest()}-{place}-{sys.implementation.cache_tag}-{platform.machine()}"


def ready(report: Callable[[str], None]) -> Path:
    """The prepared folder of this version, made or mended if need be."""
    folder = folder_of_this_version()
    if not is_prepared(folder):
        prepare(folder, report)
    return folder


def to_stderr(line: str) -> None:
    """Report a line of progress where it does not mix with results."""
    print(line, file=sys.stderr, flush=True)


if COMPILING and "HALFSPLIT_PREPARING" not in os.environ:
    if os.environ.get("HALFSPLIT_PREPARE", "1") == "0":
        os.environ["NUMBA_CACHE_DIR"] = str(home() / f"on-demand-{digest()}")
    else:
        os.environ["NUMBA_CACHE_DIR"] = str(ready(to_stderr))
os.environ["NUMBA_DISABLE_INTEL_SVML"] = "1"  # another vector library, another last digit

from numba import njit, typeof  # noqa: E402  (reads its environment when imported)


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a physics function with the project's one set of options: no fast-math, x / 0 is inf, kept on disk."""
    result: Any = njit(cache=True, error_model="numpy", nogil=True)(function)
    typed: Callable[P, R] = result
    return typed


def inner(function: Callable[P, R]) -> Callable[P, R]:
    """Like `compiled`, for what only compiled code calls: leaves out the door from Python, a third of the compile time."""
    result: Any = njit(cache=True, error_model="numpy", nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True)(function)
    typed: Callable[P, R] = result
    return typed


def build(function: Any, *arguments: Any) -> None:
    """Compile a function for arguments like these without calling it."""
    function.compile(tuple(typeof(argument) for argument in arguments))


def plain(function: Any, made: dict[Any, Any] | None = None) -> Any:
    """The same function, and everything it calls by a global name, in plain Python: for tests and debuggers."""
    made = {} if made is None else made
    code = getattr(function, "py_func", None)
    if code is None:
        return function
    if code not in made:  # a field may be called like the function that reads it, so names can go round in a circle
        scope = dict(code.__globals__)
        made[code] = FunctionType(code.__code__, scope, code.__name__, code.__defaults__)
        scope.update({name: plain(scope[name], made) for name in code.__code__.co_names if name in scope})
    return made[code]

"""How physics is compiled, and where the compiled code is kept.

With `doors` and `blocks` the only module that names the compiler. Compiled code lives in a folder whose name is a digest of every
source that it is made of (`seals`), because the compiler itself looks only at the file a function is written in, not at the files
of what it calls. The folder is built aside, sealed with checksums and renamed into place, so it is whole or absent; a damaged one
is made again.

Environment: ``HALFSPLIT_CACHE`` names another cache folder; ``HALFSPLIT_PREPARE=0`` compiles on demand (for developers);
``HALFSPLIT_DOORS=0`` compiles in the compiler's own way, as with a version of it that is not `KNOWN` (for tests);
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
from contextlib import suppress
from importlib.metadata import version
from pathlib import Path
from threading import Event, Thread
from types import FunctionType
from typing import Any, ParamSpec, TypeVar

from filelock import FileLock

from scenarios.compiling import seals
from scenarios.compiling.caches import home
from scenarios.compiling.progress import HALF_WAY, PARTS

PACKAGE = Path(__file__).resolve().parents[1]
SEAL = "prepared.json"
COMPILING = os.environ.get("NUMBA_DISABLE_JIT", "0") == "0"
"""False where the environment asks for plain Python."""
KNOWN = "0.68."
"""Versions of the compiler whose inside `doors` was tried with."""
DOORS = COMPILING and version("numba").startswith(KNOWN) and os.environ.get("HALFSPLIT_DOORS", "1") != "0"
"""Whether compiled functions are `scenarios.compiling.doors.Physics`: half the wait at the first start, the same results."""

P = ParamSpec("P")
R = TypeVar("R")


def sums(folder: Path) -> dict[str, tuple[str, int]]:
    """SHA-256 and length of every compiled file below a folder."""
    files = sorted(folder.rglob("*.nb?"))
    return {f.relative_to(folder).as_posix(): (hashlib.sha256(f.read_bytes()).hexdigest(), f.stat().st_size) for f in files}


def is_prepared(folder: Path) -> bool:
    """Whether a folder still holds what `prepare` put there: code byte for byte, and indexes whole.

    An index may have grown since: a store of another shape, or a test, adds its own code to a function's.
    """
    try:
        sealed: dict[str, list[Any]] = json.loads((folder / SEAL).read_text())
        return all(_is_whole(folder / name, *seal) for name, seal in sealed.items())
    except (OSError, ValueError, TypeError):
        return False


def _is_whole(file: Path, seal: str, size: int) -> bool:
    data = file.read_bytes()
    if hashlib.sha256(data).hexdigest() == seal:
        return True
    return file.suffix == ".nbi" and len(data) >= size and data.endswith(b".")  # how a whole one ends


def prepare(folder: Path, report: Callable[[str], None]) -> None:
    """Compile everything once, aside, and move it to `folder` when it is whole; `report` gets a line per part.

    Wiring and plant are compiled at the same time by two processes (`warm`), each into a folder of its own, because two
    that write one index could mix up their entries. When both are half way the plant's takes over what the wiring's has made, and
    compiles what stands on both.
    """
    shutil.rmtree(folder, ignore_errors=True)
    drafts = [Path(tempfile.mkdtemp(prefix="draft-", dir=folder.parent)) for _ in PARTS]
    try:
        children = [_start(group, place) for group, place in zip(PARTS, drafts, strict=True)]
        half_way = [Event(), Event()]
        readers = [Thread(target=_pass_on, args=each) for each in zip(children, half_way, [report, report], strict=True)]
        for reader in readers:
            reader.start()
        for event in half_way:
            event.wait()
        merge(drafts[0], drafts[1])
        for child in children:
            if child.stdin:
                with suppress(OSError):  # it has failed, and its status says so
                    child.stdin.close()
        for child, reader in zip(children, readers, strict=True):
            reader.join()
            child.wait()
        failed = [str(child.returncode) for child in children if child.returncode]
        if failed:
            raise RuntimeError(f"preparing the simulator failed with status {', '.join(failed)}; the lines above say where")
        merge(drafts[1], drafts[0])
        (drafts[0] / SEAL).write_text(json.dumps(sums(drafts[0])))
        try:
            drafts[0].rename(folder)
        except OSError:  # another process was first: its folder is as good as ours
            if not is_prepared(folder):
                raise
    finally:
        for place in drafts:
            shutil.rmtree(place, ignore_errors=True)


def _start(group: str, place: Path) -> subprocess.Popen[str]:
    """Compile a group of entry points in a process of its own, into a folder of its own.

    It runs where this very package lies: started in a checkout of the same name it would compile that one, and file it by its path.
    """
    environ = {**os.environ, "HALFSPLIT_PREPARING": "1", "PYTHONUNBUFFERED": "1", "NUMBA_CACHE_DIR": str(place)}
    command = [sys.executable, "-m", "scenarios.compiling.warm", group]
    return subprocess.Popen(command, cwd=PACKAGE.parent, env=environ, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


def _pass_on(child: subprocess.Popen[str], half_way: Event, report: Callable[[str], None]) -> None:
    """Pass on a process's lines; note when it is half way, or ended before."""
    for line in child.stdout or ():
        if line.rstrip() == HALF_WAY:
            half_way.set()
        else:
            report(line.rstrip())
    half_way.set()


def merge(given: Path, into: Path) -> None:
    """Copy to a folder the compiled functions of another that it does not have; index and code of a function stay together."""
    had = {index.relative_to(into) for index in into.rglob("*.nbi")}
    for index in sorted(given.rglob("*.nbi")):
        if index.relative_to(given) in had:
            continue
        target = into / index.relative_to(given).parent
        target.mkdir(parents=True, exist_ok=True)
        for file in [*index.parent.glob(f"{glob.escape(index.stem)}.*.nbc"), index]:
            shutil.copy(file, target / file.name)


def folder_of_this_version() -> Path:
    """Where compiled code of these sources, this interpreter and this processor family belongs.

    The place of the sources is part of the name, because the compiler files its results by path: a second install of the same
    version would find the folder whole and still compile everything anew. So would another version of the compiler.
    """
    place = hashlib.sha256(str(PACKAGE).encode()).hexdigest()[:8]
    compiler = version("numba") + ("" if DOORS else "-plain")
    return home() / f"kernel-{seals.of('compiled')}-{place}-{sys.implementation.cache_tag}-{compiler}-{platform.machine()}"


def ready(report: Callable[[str], None]) -> Path:
    """The prepared folder of this version, made or mended if need be; of several processes that need it one makes it."""
    folder = folder_of_this_version()
    if not is_prepared(folder):
        with FileLock(folder.with_name(f"{folder.name}.lock")):
            if not is_prepared(folder):
                prepare(folder, report)
    return folder


def to_stderr(line: str) -> None:
    """Report a line of progress where it does not mix with results."""
    print(line, file=sys.stderr, flush=True)


if COMPILING and "HALFSPLIT_PREPARING" not in os.environ:
    if os.environ.get("HALFSPLIT_PREPARE", "1") == "0":
        os.environ["NUMBA_CACHE_DIR"] = str(home() / f"on-demand-{seals.of('compiled')}")
    else:
        os.environ["NUMBA_CACHE_DIR"] = str(ready(to_stderr))
os.environ["NUMBA_DISABLE_INTEL_SVML"] = "1"  # another vector library, another last digit
os.environ |= {
    "NUMBA_OPT": "2",
    "NUMBA_LOOP_VECTORIZE": "0",
}  # a seventh less to wait at the first start, one in thirty more per step

from numba import njit, typeof  # noqa: E402  (reads its environment when imported)

OPTIONS = {"error_model": "numpy", "nogil": True}
"""The project's one set: no fast-math, x / 0 is inf, other threads may run."""


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a physics function with the project's one set of options; in plain Python where the environment asks for that."""
    result: Any = njit(cache=True, **OPTIONS)(function)
    if DOORS:
        from scenarios.compiling.doors import Physics

        result = Physics(function, OPTIONS)
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

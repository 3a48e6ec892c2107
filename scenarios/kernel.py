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
from contextlib import suppress
from pathlib import Path
from threading import Event, Thread
from types import FunctionType
from typing import Any, ParamSpec, TypeVar

import platformdirs

HERE = Path(__file__).resolve().parent
PHYSICS = ("kernel.py", "records.py", "exact.py", "loop.py", "warm.py", "refrigeration", "electrical", "controls")
"""The sources and tables whose change makes compiled code stale."""
SEAL = "prepared.json"
HALF_WAY = "half way"
"""Line of a preparing process that what stands on plant and wiring may now be compiled."""
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

    Wiring and plant are compiled at the same time by two processes (`scenarios.warm`), each into a folder of its own, because two
    that write one index could mix up their entries. When both are half way the wiring's takes over what the plant's has made, and
    compiles what stands on both.
    """
    shutil.rmtree(folder, ignore_errors=True)
    drafts = [Path(tempfile.mkdtemp(prefix="draft-", dir=folder.parent)) for _ in ("wiring", "plant")]
    try:
        children = [_start(group, place) for group, place in zip(("wiring", "plant"), drafts, strict=True)]
        half_way = [Event(), Event()]
        readers = [Thread(target=_pass_on, args=each) for each in zip(children, half_way, [report, report], strict=True)]
        for reader in readers:
            reader.start()
        for event in half_way:
            event.wait()
        merge(drafts[1], drafts[0])
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
    command = [sys.executable, "-m", "scenarios.warm", group]
    return subprocess.Popen(command, cwd=HERE.parent, env=environ, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


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
os.environ |= {
    "NUMBA_OPT": "2",
    "NUMBA_LOOP_VECTORIZE": "0",
}  # a seventh less to wait at the first start, one in thirty more per step

from numba import typeof  # noqa: E402  (reads its environment when imported)
from numba.core import caching, codegen, compiler, compiler_machinery, dispatcher, registry, typed_passes, types, typing  # noqa: E402

OPTIONS = {"nopython": True, "error_model": "numpy", "nogil": True, "boundscheck": None, "_nrt": False}
"""The project's one set: no fast-math, x / 0 is inf, other threads may run; physics makes no arrays, so none are counted."""


class PartLibrary(codegen.JITCodeLibrary):  # type: ignore[misc]
    """Translated code that is only ever part of other code: not optimised and not turned into machine code by itself."""

    def finalize(self) -> None:
        """Nothing is done here; whoever takes the part in optimises the whole."""
        self._finalized = True


class DoorLibrary(codegen.JITCodeLibrary):  # type: ignore[misc]
    """Code that Python calls, with all its parts."""

    def finalize(self) -> None:
        """Take the parts in, each after all that ask for it: what nobody has asked for yet would be left out."""
        self._linking_libraries = list(dict.fromkeys(reversed(self._linking_libraries)))[::-1]  # type: ignore[has-type]
        super().finalize()

    def _optimize_final_module(self) -> None:
        """Parts are for this door alone: told so, the optimiser melts those with one caller into it, and drops idle arguments."""
        for function in self._final_module.functions:
            if function.linkage.name == "linkonce_odr" and not function.is_declaration:
                function.linkage = "internal"
        super()._optimize_final_module()


@compiler_machinery.register_pass(mutates_CFG=True, analysis_only=False)
class DoorLowering(typed_passes.NativeLowering):  # type: ignore[misc]
    """Last pass over a door: into a `DoorLibrary`."""

    _name = "lowering_of_a_door"

    def run_pass(self, state: Any) -> bool:
        """Translate, optimise, make machine code."""
        state.library = DoorLibrary(state.targetctx.codegen(), state.func_id.func_qualname)
        state.library.enable_object_caching()
        super().run_pass(state)
        return True


@compiler_machinery.register_pass(mutates_CFG=True, analysis_only=False)
class PartLowering(typed_passes.NativeLowering):  # type: ignore[misc]
    """Last pass over a part: into a `PartLibrary`, known to the compiler by a token where a door has an address."""

    _name = "lowering_of_a_part"

    def run_pass(self, state: Any) -> bool:
        """Translate, and let callers find it with all that it asks for itself."""
        state.library = PartLibrary(state.targetctx.codegen(), state.func_id.func_qualname)
        state.flags.no_compile = True
        super().run_pass(state)
        token = object()
        state["cr"] = state["cr"]._replace(cfunc=token)
        state.targetctx.insert_user_function(token, state["cr"].fndesc, [state.library, *state.library._linking_libraries])
        return True


class DoorCompiler(compiler.CompilerBase):  # type: ignore[misc]
    """The compiler's usual passes, the last one as above."""

    last: Any = DoorLowering

    def define_pipelines(self) -> list[Any]:
        """One pipeline."""
        passes = compiler.DefaultPassBuilder.define_nopython_pipeline(self.state)
        passes.passes = [(self.last if each is typed_passes.NativeLowering else each, why) for each, why in passes.passes]
        passes.finalize()
        return [passes]


class PartCompiler(DoorCompiler):
    """The same for a part."""

    last = PartLowering


class Shelf(caching.FunctionCache):  # type: ignore[misc]
    """A function's place on disk. Processes that write its index at the same time wait for each other, or would mix up entries."""

    def save_overload(self, sig: Any, data: Any) -> None:
        """Put the code for one signature there."""
        from filelock import FileLock

        os.makedirs(self.cache_path, exist_ok=True)
        with FileLock(os.path.join(self.cache_path, "writing.lock")):
            super().save_overload(sig, data)


class Physics(registry.CPUDispatcher):  # type: ignore[misc]
    """A compiled function with two sides.

    Called from Python it is a *door*: optimised with all it calls, turned into machine code, kept on disk. Called by compiled code
    it is a *part* of the caller, for which a translation is enough; only where its door stands open already is that taken.
    The compiler alone would build a door for each of two hundred functions, and optimise the innermost ten times over.
    """

    def __init__(self, function: Any) -> None:
        super().__init__(function, targetoptions=dict(OPTIONS), pipeline_class=DoorCompiler)
        self._cache = Shelf(function)
        self.parts: dict[Any, Any] = {}
        options = {**OPTIONS, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
        self.translator = dispatcher._FunctionCompiler(function, self.targetdescr, options, {}, PartCompiler)  # type: ignore[attr-defined]

    def made_for(self, given: Any) -> Any:
        """What a caller in compiled code takes for arguments of these types; literal values make no version of their own."""
        kinds = tuple(types.unliteral(kind) for kind in given)  # type: ignore[attr-defined]
        if kinds in self.overloads:
            return self.overloads[kinds]
        if kinds not in self.parts:
            self.parts[kinds] = self.translator.compile(kinds, None)
        return self.parts[kinds]

    def get_call_template(self, args: Any, kws: Any) -> Any:
        """The compiler asks: what does a call with these types give?"""
        described, given = self._compiler.fold_argument_types(args, kws)
        name = self.py_func.__name__
        return typing.make_concrete_template(name, name, [self.made_for(given).signature]), described, given, {}

    def get_overload(self, sig: Any) -> Any:
        """The compiler asks: which code is that?"""
        return self.made_for(sig).entry_point


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a physics function with the project's one set of options; in plain Python where the environment asks for that."""
    result: Any = Physics(function) if COMPILING else function
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

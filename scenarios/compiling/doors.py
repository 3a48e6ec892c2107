"""A compiled function with two sides: `Physics`.

This leans on the inside of the compiler, so `kernel` takes it only with the versions it calls `KNOWN`; any other gets
the compiler's own way, which computes the same and takes about twice as long to prepare.
"""

import os
from collections.abc import Mapping
from typing import Any

from filelock import FileLock
from numba.core import caching, codegen, compiler, compiler_machinery, dispatcher, registry, typed_passes, types, typing


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
        os.makedirs(self.cache_path, exist_ok=True)
        with FileLock(os.path.join(self.cache_path, "writing.lock")):
            super().save_overload(sig, data)


class Physics(registry.CPUDispatcher):  # type: ignore[misc]
    """A compiled function with two sides.

    Called from Python it is a *door*: optimised with all it calls, turned into machine code, kept on disk. Called by compiled code
    it is a *part* of the caller, for which a translation is enough; only where its door stands open already is that taken.
    The compiler alone would build a door for each of two hundred functions, and optimise the innermost ten times over.
    """

    def __init__(self, function: Any, options: Mapping[str, Any]) -> None:
        every = {**options, "nopython": True, "boundscheck": None, "_nrt": False}  # physics makes no arrays, so none are counted
        super().__init__(function, targetoptions=dict(every), pipeline_class=DoorCompiler)
        self._cache = Shelf(function)
        self.parts: dict[Any, Any] = {}
        inside = {**every, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
        self.translator = dispatcher._FunctionCompiler(function, self.targetdescr, inside, {}, PartCompiler)  # type: ignore[attr-defined]

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

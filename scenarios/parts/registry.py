"""Every kind of part by its name: the modules of this folder, found by looking, so that a new kind is one file and nothing else."""

from importlib import import_module
from pkgutil import iter_modules

from scenarios import parts
from scenarios.parts.kind import KINDS, Kind

for found in iter_modules(parts.__path__):
    if found.name != "registry":
        import_module(f"{parts.__name__}.{found.name}")

WIRED: dict[str, Kind] = {name: kind for name, kind in KINDS.items() if kind.wired}
"""Kinds that a wiring list may name."""

__all__ = ["KINDS", "WIRED"]

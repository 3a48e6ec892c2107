"""Refrigerants there are tables of: reading the committed files.

A file per refrigerant under `fluids/` holds three tables, the record `Refrigerant` and the measured errors of the tables; it is
written by `build_tables` from CoolProp, of which nothing is imported here. A new refrigerant is one more file.
"""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from scenarios.errors import BadRequest
from scenarios.refrigeration.refrigerants import Errors, Fluid, Fluids, pick

TABLES = Path(__file__).with_name("fluids")
"""A file per refrigerant, named as the trade writes it: ``R-448A.npz``."""


def known() -> tuple[str, ...]:
    """Refrigerants that there are tables of."""
    return tuple(sorted(place.stem for place in TABLES.glob("*.npz")))


def load_all(names: Sequence[str]) -> Fluids:
    """Read the committed tables of some refrigerants.

    Raises
    ------
    BadRequest
        There is no table of one of them.
    """
    for name in names:
        if name not in known():
            raise BadRequest(f"refrigerant {name}: there is no table of it; there are {', '.join(known())}")
    kept = [np.load(TABLES / f"{name}.npz") for name in names]
    tables = (np.ascontiguousarray(np.stack([one[field] for one in kept])) for field in Fluids._fields)
    by_pressure, by_temperature, by_enthalpy, about = tables
    return Fluids(by_pressure, by_temperature, by_enthalpy, about.view(np.recarray))


def load(name: str) -> Fluid:
    """One refrigerant."""
    return pick(load_all([name]), 0)


def errors(name: str) -> Errors:
    """How far the tables of a refrigerant lie from their source."""
    with np.load(TABLES / f"{name}.npz") as kept:
        return Errors(*(float(value) for value in kept["errors"].tolist()))

"""Records: one declaration is the nomenclature, the store file's schema, the type annotation and the memory layout.

A class marked `record` lists its fields once, each with unit and meaning. From that list come the numpy layout that compiled
functions read by name, the keys a store file may use and the nomenclature table. In plain Python an instance of the class
stands in for the record, so a formula can be tried with ``Compressor(swept_flow=0.0225)``.
"""

from dataclasses import MISSING, dataclass, field, fields
from difflib import get_close_matches
from typing import Any, TypeVar, dataclass_transform

import numpy as np

from scenarios.compiling.kernel import COMPILING

T = TypeVar("T")

FIELD_UNITS: dict[str, dict[str, tuple[float, float]]] = {
    "m3/s": {"m3h": (1 / 3600, 0.0), "l_s": (1e-3, 0.0)},
    "m3": {"l": (1e-3, 0.0)},
    "Pa": {"bar": (1e5, 0.0), "kPa": (1e3, 0.0), "psig": (6894.757293168, 101325.0), "psi": (6894.757293168, 0.0)},
    "W": {"kW": (1e3, 0.0), "hp": (745.6998715823, 0.0)},
    "J/K": {"kJ_K": (1e3, 0.0)},
    "W/K": {"kW_K": (1e3, 0.0)},
    "s": {"min": (60.0, 0.0), "h": (3600.0, 0.0)},
    "K": {"F": (5 / 9, 0.0)},
    "C": {"F": (5 / 9, -160 / 9)},
    "-": {"percent": (0.01, 0.0)},
}
"""Field units a store file may say in its key, ``swept_flow_m3h: 81``: SI value = factor · given + offset."""

ROW = "row"
"""Unit of a field that is a row of another table."""


def quantity(unit: str, meaning: str, *, default: Any = MISSING, least: float = -np.inf, most: float = np.inf) -> Any:
    """Declare one field of a record: SI unit, meaning, default and allowed range."""
    return field(default=default, metadata={"unit": unit, "meaning": meaning, "least": least, "most": most})


def row(meaning: str, *, default: int) -> Any:
    """Declare a field that is a row of another table; the reader of a store gives it, never its file."""
    return field(default=default, metadata={"unit": ROW, "meaning": meaning, "least": -np.inf, "most": np.inf})


@dataclass_transform(field_specifiers=(quantity, row))
def record(cls: type[T]) -> type[T]:
    """Make a class a record; refuse field names that numpy's own attributes would hide."""
    made = dataclass(slots=True)(cls)
    for item in fields(made):  # type: ignore[arg-type]
        if hasattr(np.recarray, item.name):
            raise TypeError(f"{cls.__name__}.{item.name}: numpy arrays have an attribute of that name; choose another")
    return made


def layout(cls: type) -> np.dtype[Any]:
    """Memory layout of a record: float, int, bool or three ints per field, in order of declaration."""
    kinds: dict[Any, Any] = {float: np.float64, int: np.int64, bool: np.bool_, tuple[int, int, int]: (np.int64, (3,))}
    return np.dtype([(item.name, kinds[item.type]) for item in fields(cls)], align=True)


def table(items: list[Any], cls: type | None = None) -> np.recarray[Any, Any]:
    """Records of several components of one kind: ``machines[2].swept_flow`` compiled, ``machines.swept_flow`` in numpy.

    Where there may be none of them, `cls` says of what kind.
    """
    rows = [tuple(getattr(item, f.name) for f in fields(item)) for item in items]
    return np.array(rows, layout(cls or type(items[0]))).view(np.recarray)


def one(item: T) -> T:
    """What a compiled function takes for one component; the component itself where compiling is switched off."""
    if not COMPILING:
        return item
    taken: T = table([item])[0]
    return taken


def keys_of(cls: type) -> dict[str, tuple[str, float, float]]:
    """Every key a store file may use for a record: key -> (field, factor, offset)."""
    keys = {}
    for item in fields(cls):
        if item.metadata["unit"] == ROW:
            continue
        keys[item.name] = (item.name, 1.0, 0.0)
        for suffix, (factor, offset) in FIELD_UNITS.get(item.metadata["unit"], {}).items():
            keys[f"{item.name}_{suffix}"] = (item.name, factor, offset)
    return keys


def from_yaml(cls: type[T], entry: dict[str, Any], where: str) -> T:
    """Build a record from one component of a store file.

    Raises
    ------
    ValueError
        One line per mistake, all at once: ``where.key: what is wrong, what is allowed``.
    """
    known = {f.name: f for f in fields(cls)}  # type: ignore[arg-type]
    keys = keys_of(cls)
    values: dict[str, Any] = {}
    wrong: list[str] = []
    for key, value in entry.items():
        if key not in keys:
            meant = "".join(f" (did you mean {name}?)" for name in get_close_matches(str(key), keys, n=1))
            wrong.append(f"{where}.{key}: unknown{meant}; allowed are {', '.join(sorted(keys))}")
            continue
        name, factor, offset = keys[key]
        about = known[name].metadata
        if known[name].type in (bool, "bool"):
            if isinstance(value, bool):
                values[name] = value
            else:
                wrong.append(f"{where}.{key}: {value!r} is not true or false")
        elif isinstance(value, bool) or not isinstance(value, int | float):
            wrong.append(f"{where}.{key}: {value!r} is not a number")
        elif not about["least"] <= value * factor + offset <= about["most"]:
            least, most = ((about[end] - offset) / factor for end in ("least", "most"))
            unit = key.removeprefix(name).lstrip("_") or about["unit"]  # in the unit that the file says it in
            wrong.append(f"{where}.{key}: {value:g} {unit} is outside {least:.4g} to {most:.4g}")
        else:
            values[name] = value * factor + offset
    given = {keys[key][0] for key in entry if key in keys}
    wrong += [
        f"{where}.{n}: missing ({i.metadata['meaning']}, {i.metadata['unit']})"
        for n, i in known.items()
        if n not in given and i.default is MISSING
    ]
    if wrong:
        raise ValueError("\n".join(wrong))
    return cls(**values)

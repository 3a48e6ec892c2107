"""One block of memory per world and purpose.

Compiled functions take a whole world's parameters or state as one record whose fields are tables: a single pointer, where a
tuple of fifty arrays would take three hundred arguments through every call and minutes to compile. Python keeps views of the
same memory, and hands a record over as an array of one: a bare record costs ten microseconds a call.
"""

from typing import Any, TypeVar

import numpy as np

T = TypeVar("T")


def block_of(arrays: Any) -> Any:
    """Move arrays into one block.

    Parameters
    ----------
    arrays : NamedTuple
        Arrays, tables of records, or further tuples of arrays.

    Returns
    -------
    array, (1,)
        The record that compiled functions take; `views_of` gives Python its tables.

    Raises
    ------
    TypeError
        A field has a name that records keep for themselves.
    """
    taken = [name for name in arrays._fields if hasattr(np.record, name)]
    if taken:
        raise TypeError(f"{type(arrays).__name__}: records have attributes named {', '.join(taken)}; choose other names")
    whole = np.zeros(1, np.dtype((np.record, _layout(arrays))))
    _fill(whole[0], arrays)
    return whole


def views_of(block: Any, kind: type[T]) -> T:
    """Views of a block's tables, by the names of a tuple class."""
    found = {}
    for name in kind._fields:  # type: ignore[attr-defined]
        held = block[name][0]
        found[name] = held.view(np.recarray) if isinstance(held, np.ndarray) and held.dtype.names else held
    return kind(**found)


def copy_of(block: Any, without: tuple[str, ...] = ()) -> Any:
    """An independent copy of a block; fields `without` which it can do are left at zero, and no memory is fetched for them."""
    whole = np.zeros(1, block.dtype)  # not empty: what lies between fields is the same in every copy
    if not without:
        whole[:] = block
        return whole
    for name in whole.dtype.names:
        if name not in without:
            whole[name] = block[name]
    return whole


def _layout(arrays: Any) -> np.dtype[Any]:
    fields: list[Any] = []
    for name, held in zip(arrays._fields, arrays, strict=True):
        fields.append((name, _layout(held)) if hasattr(held, "_fields") else (name, np.asarray(held).dtype, held.shape))
    return np.dtype(fields, align=True)


def _fill(record: Any, arrays: Any) -> None:
    for name, held in zip(arrays._fields, arrays, strict=True):
        if hasattr(held, "_fields"):
            _fill(record[name], held)
        else:
            record[name][...] = held

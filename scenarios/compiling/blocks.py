"""One block of memory per world and purpose.

Compiled functions take a whole world's indices, parameters or state as one thing with tables in it: a tuple of fifty arrays would
take three hundred arguments through every call and minutes to compile. They see of a block the names of its tables, the layout of
their rows and how many dimensions each has, and no length (`headers`): a store of any other size, or a jumper that makes a table
longer, is of the same type and compiles nothing. Where the compiler is not one whose inside is known they see a numpy record, whose
shape is the store's; that gives the same results and is compiled anew for every shape.
"""

from typing import Any

import numpy as np

from scenarios.compiling.kernel import COMPILING, DOORS

OWN = ("title", "taken", "copy")
"""Names that a block keeps for itself."""


class Block:
    """Tables in one piece of memory, by name. It must live as long as anybody computes with it.

    Parameters
    ----------
    arrays : NamedTuple
        Arrays, tables of records, or further tuples of arrays; what they hold is copied.

    Raises
    ------
    TypeError
        A table has a name that blocks, or numpy's records, keep for themselves.
    """

    def __init__(self, arrays: Any) -> None:
        self._lay(type(arrays).__name__, np.zeros(1, np.dtype((np.record, _layout(arrays)))))
        _fill(self._whole[0], arrays)

    def _lay(self, title: str, whole: Any) -> None:
        """Lay a block over memory: one record whose fields are the tables."""
        self.title, self._whole, self._fields = title, whole, whole.dtype.names
        for name in self._fields:
            if whole.dtype[name].subdtype is None:
                inner: Block = object.__new__(Block)
                inner._lay(name, whole[name])
                self.__dict__[name] = inner
        if DOORS:
            from scenarios.compiling import headers

            self._header, self._numba_type_ = headers.over(self)
            self._address = self._header.ctypes.data

    def __getattr__(self, name: str) -> Any:
        """A table, looked up once."""
        if name not in self.__dict__.get("_fields", ()):
            raise AttributeError(name)
        held = self._whole[name][0]
        self.__dict__[name] = view = held.view(np.recarray) if held.dtype.names else held
        return view

    @property
    def taken(self) -> Any:
        """What compiled functions take for it."""
        return self if DOORS or not COMPILING else self._whole[0]

    def copy(self, without: tuple[str, ...] = ()) -> "Block":
        """An independent block; tables `without` which it can do are left at zero, and no memory is fetched for them."""
        whole = np.zeros(1, self._whole.dtype)  # not empty: what lies between fields is the same in every copy
        for name in self._fields:
            if name not in without:
                whole[name] = self._whole[name]
        twin: Block = object.__new__(Block)
        twin._lay(self.title, whole)
        return twin


def _layout(arrays: Any) -> np.dtype[Any]:
    kept = [name for name in arrays._fields if name in OWN or hasattr(np.record, name)]
    if kept:
        raise TypeError(f"{type(arrays).__name__}: blocks have attributes named {', '.join(kept)}; choose other names")
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

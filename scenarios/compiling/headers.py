"""A block as compiled code sees it: a pointer to a header of addresses and lengths.

The type of a block is made of names, row layouts and dimensions alone, so two blocks of different lengths are of one type. This
leans on the inside of the compiler, so it is met only with the versions that `kernel` calls `KNOWN`.
"""

from functools import cache
from typing import Any

import numpy as np
from llvmlite import ir
from numba.core import cgutils, types
from numba.core.datamodel import models
from numba.core.extending import NativeValue, register_model, unbox
from numba.core.imputils import lower_getattr_generic
from numba.core.typing.templates import AttributeTemplate, infer_getattr
from numba.np.arrayobj import populate_array
from numba.np.numpy_support import from_dtype

WORD, SHORT = ir.IntType(64), ir.IntType(32)


class BlockType(types.Type):
    """Tables by name. The type's own name is all that the compiler compares and files by, so every field is spelled out in it."""

    def __init__(self, title: str, fields: tuple[tuple[str, Any], ...]) -> None:
        self.of, self.at, place = dict(fields), {}, 0
        for name, kind in fields:
            self.at[name] = place
            place += 1 + (kind.ndim if isinstance(kind, types.Array) else 0)
        super().__init__(f"Block[{title}]({', '.join(f'{name}: {kind}' for name, kind in fields)})")


@register_model(BlockType)
class BlockModel(models.PrimitiveModel):  # type: ignore[misc]
    """A pointer to the header."""

    def __init__(self, manager: Any, kind: Any) -> None:
        super().__init__(manager, kind, WORD.as_pointer())


@infer_getattr
class BlockFields(AttributeTemplate):  # type: ignore[misc]
    """What ``block.name`` is."""

    key = BlockType

    def generic_resolve(self, typ: Any, attr: str) -> Any:
        """Kind of the field; None where there is none."""
        return typ.of.get(attr)


def fixed(builder: Any, header: Any, index: int) -> Any:
    """A word of the header. It cannot change while compiled code runs; told so, the optimiser reads it once."""
    word = builder.load(builder.gep(header, [ir.Constant(SHORT, index)]))
    word.set_metadata("invariant.load", builder.module.add_metadata([]))
    return word


@lower_getattr_generic(BlockType)  # type: ignore[untyped-decorator]
def field_of(context: Any, builder: Any, typ: Any, header: Any, attr: str) -> Any:
    """An array over the table, or the header of a block within."""
    kind, at = typ.of[attr], typ.at[attr]
    address = fixed(builder, header, at)
    if isinstance(kind, BlockType):
        return builder.inttoptr(address, WORD.as_pointer())
    made = context.make_array(kind)(context, builder)
    row = context.get_data_type(kind.dtype)
    size = ir.Constant(WORD, context.get_abi_sizeof(row))
    shape = [fixed(builder, header, at + 1 + n) for n in range(kind.ndim)]
    strides: list[Any] = []
    step = size
    for length in reversed(shape):
        strides.insert(0, step)
        step = builder.mul(step, length)
    populate_array(
        made,
        data=builder.inttoptr(address, row.as_pointer()),
        shape=cgutils.pack_array(builder, shape),
        strides=cgutils.pack_array(builder, strides),
        itemsize=size,
        meminfo=None,
    )
    return made._getvalue()


@unbox(BlockType)  # type: ignore[untyped-decorator]
def pointer_of(typ: Any, block: Any, c: Any) -> Any:
    """From Python."""
    address = c.pyapi.object_getattr_string(block, "_address")
    word = c.pyapi.long_as_longlong(address)
    c.pyapi.decref(address)
    return NativeValue(c.builder.inttoptr(word, WORD.as_pointer()))


@cache
def type_of(title: str, fields: tuple[tuple[str, Any], ...]) -> BlockType:
    """The one type of blocks with these fields."""
    return BlockType(title, fields)


@cache
def plan(title: str, dtype: np.dtype[Any], inner: tuple[tuple[str, BlockType], ...]) -> tuple[BlockType, Any, Any]:
    """Type of the blocks laid out so, their header but for the address of the memory, and the words that this is added to."""
    within = dict(inner)
    fields: list[tuple[str, Any]] = []
    words: list[int] = []
    based = []
    places: Any = dtype.fields
    for name in dtype.names or ():
        if name in within:
            fields.append((name, within[name]))
            words.append(0)
            continue
        table, shape = dtype[name].subdtype or (dtype[name], ())
        fields.append((name, types.Array(from_dtype(table), len(shape), "C")))
        based.append(len(words))
        words += [places[name][1], *shape]
    return type_of(title, tuple(fields)), np.array(words, np.int64), np.array(based, np.int64)


def over(block: Any) -> tuple[Any, BlockType]:
    """Header of a block and its type."""
    inner = {name: held for name in block._fields if hasattr(held := block.__dict__.get(name), "_address")}
    kinds = tuple((name, held._numba_type_) for name, held in inner.items())
    made, words, based = plan(block.title, block._whole.dtype, kinds)
    header = words.copy()
    header[based] += block._whole.ctypes.data
    for name, held in inner.items():
        header[made.at[name]] = held._address
    return header, made

"""Tables of refrigerants, a file each, named as the trade writes it: ``R-448A.npz``. Written by `build_tables`."""

from pathlib import Path

FILES = "*.npz"
"""All of them, beside this module."""


def place_of(name: str) -> Path:
    """The file of a refrigerant, whether it is there or not."""
    return Path(__file__).with_name(name + FILES.lstrip("*"))


def known() -> tuple[str, ...]:
    """Refrigerants that there are tables of."""
    return tuple(sorted(place.stem for place in Path(__file__).parent.glob(FILES)))

"""A store from its file, checked: apart from `read`, so that what checks call and key files decides no night."""

from pathlib import Path

from scenarios.files import callfile
from scenarios.store.model import Store
from scenarios.store.read import read


def load(name: str) -> Store:
    """A store by its id, checked.

    Raises
    ------
    BadRequest
        There is no such store, or its file has problems: one line each.
    """
    return read(callfile.load_store(name))


def load_file(path: Path) -> Store:
    """A store by its file, checked."""
    return read(callfile.load(path, "store"))

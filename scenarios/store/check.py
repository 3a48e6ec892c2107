"""What a store file may not say although every word of it is known: records out of range.

Needs the records of the physics, which are slow to import; so only whoever checks a file for the first time asks for it.
"""

from collections.abc import Iterator

from scenarios.store.entries import Entries
from scenarios.store.model import Store
from scenarios.store.problems import Problem


def problems(store: Store) -> Iterator[Problem]:
    """Problems of a store that reads."""
    yield from Entries(store).problems

"""What a store file may not say although every word of it is known: records out of range, gear that does not go together."""

from collections.abc import Iterator

from scenarios.store import entries
from scenarios.store.model import Store
from scenarios.store.problems import Problem


def problems(store: Store) -> Iterator[Problem]:
    """Problems of a store that reads."""
    _, found = entries.examined(store)
    yield from found

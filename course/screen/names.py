"""What parts, terminals, points and circuits are called on a screen: told here, so that no screen takes a name apart."""

from scenarios.store.model import Circuit, Store


def owner(store: Store, name: str) -> str:
    """Mark of what a terminal or a point belongs to; a rail, a part and a point of a rack stand for themselves."""
    if name in store.points:
        point = store.points[name]
        own = next((circuit.mark for circuit in store.circuits if name.startswith(f"{circuit.mark}.")), "")
        return own if own and point.row == store.circuit(own).part.row else name
    return store.wiring.part(name) if name in store.wiring.node else name


def short(store: Store, name: str) -> str:
    """A terminal or a point without what it belongs to: A1 of K5, T1 of a case; others as they are."""
    mark = owner(store, name)
    return name[len(mark) + 1 :] if name != mark else name


def says(store: Store, mark: str) -> str:
    """What a part is called, with its mark where it is wired; empty for one that has no name."""
    part = store.parts.get(mark)
    if part is None:
        return store.points[mark].title if mark in store.points else ""
    return f"{mark} {part.title}" if part.kind.wired else capital(part.title)


def circuit(of: Circuit) -> str:
    """A circuit by what it keeps: Case 4 dairy, Dairy walk-in."""
    kind = of.part.kind.title
    return capital(of.title if kind in of.title else f"{of.part.title} {of.title}".strip())


def capital(text: str) -> str:
    """With a capital in front.

    >>> capital("case 4")
    'Case 4'
    """
    return text[:1].upper() + text[1:]

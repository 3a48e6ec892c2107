"""The parts of a store: one instance each, with its row and what it belongs to, from the tree of the plant in the store file."""

from collections.abc import Iterator, Mapping
from typing import Any

from scenarios.electrical.wiring import Device
from scenarios.parts.kind import Part, Role
from scenarios.parts.registry import KINDS
from scenarios.store.model import Place
from scenarios.store.problems import Path, Problems, dotted, near

WITH_SETTINGS = ("high", "low", "heater")
"""Roles that come with settings of a record of the plant."""
ABOUT = ("mark", "kind", "says", "place")
"""Keys of every part of the plant that are not fields of its physical record."""


class Parts:
    """Makes instances while the tree is walked, and keeps every problem that shows."""

    def __init__(self, devices: Mapping[str, Device], places: Mapping[str, Place]) -> None:
        self.devices, self.places = devices, places
        self.made: dict[str, Part] = {}
        self.where: dict[str, Path] = {}
        self.problems = Problems()

    def plant(self, path: Path, kind: str, mark: str, entry: Mapping[str, Any], **belongs: Any) -> Part:
        """A part that only the tree names; place and spoken name from its entry or from what it belongs to."""
        owner: Part | None = belongs.get("owner")
        place = str(entry.get("place") or (owner.place if owner else belongs.pop("place", "")))
        belongs.pop("place", None)
        if place not in self.places:
            self.problems.add((*path, "place"), f"{place!r} is no place, allowed are {' '.join(self.places)}")
        says = str(entry.get("says") or KINDS[kind].title)
        return self._keep(path, Part(mark, KINDS[kind], says, place, **belongs))

    def roles(self, path: Path, owner: Part, entry: Mapping[str, Any]) -> tuple[dict[str, Part], dict[str, Mapping[str, Any]]]:
        """Parts that belong to one, by role, and the settings that stand with them in the file."""
        has: dict[str, Part] = {}
        settings: dict[str, Mapping[str, Any]] = {}
        for name, role in owner.kind.roles.items():
            told = entry.get(name)
            more = told if isinstance(told, Mapping) else {}
            if more:
                settings[name] = {key: value for key, value in more.items() if key not in ("part", "says")}
                told = more.get("part")
                for key in settings[name] if name not in WITH_SETTINGS else ():
                    self.problems.add((*path, name, key), f"unknown key{near(key, ('part', 'says'))}, allowed are part says")
            if told is not None:
                part = self._filled((*path, name), str(told), role, owner, more)
                if part is not None:
                    has[name] = part
            elif role.needed:
                self.problems.add(path, f"{name} is missing, a {owner.kind.title} needs one ({', '.join(role.kinds)})")
        return has, settings

    def _filled(self, path: Path, mark: str, role: Role, owner: Part, entry: Mapping[str, Any]) -> Part | None:
        """The part that fills a role: one of the wiring list, or one that only the tree names."""
        about: dict[str, Any] = {"row": self._row_of(owner, role), "owner": owner, "rack": owner.rack, "group": owner.group}
        device = self.devices.get(mark)
        if device is None and not KINDS[role.kinds[0]].wired:
            says = f"{owner.title} {KINDS[role.kinds[0]].title}"
            return self.plant(path, role.kinds[0], mark, {"says": says, **entry}, **about)
        if device is None:
            self.problems.add(
                path, f"{mark} is not in the wiring list{near(mark, self.devices)}; name a {' or '.join(role.kinds)} of it"
            )
        elif device.kind not in role.kinds:
            self.problems.add(path, f"{mark} is a {device.kind}, must be a {' or '.join(role.kinds)}")
        else:
            return self._keep(path, Part(mark, KINDS[device.kind], device.says, device.place, **about))
        return None

    @staticmethod
    def _row_of(owner: Part, role: Role) -> int:
        """Row of what belongs to a part: its owner's, or the owner's in the tables of its own kind."""
        tables = KINDS[role.kinds[0]].tables
        return next((owner.rows[table] for table in tables if table in owner.rows), owner.row)

    def _keep(self, path: Path, part: Part) -> Part:
        if part.mark in self.devices and not part.kind.wired:
            self.problems.add(path, f"{part.mark} is a part of the wiring list; the plant's own parts have marks of their own")
        if part.mark in self.made:
            at = dotted(self.where[part.mark])
            self.problems.add(path, f"{part.mark} is {at} already; a part is named once")
        self.where.setdefault(part.mark, path)
        return self.made.setdefault(part.mark, part)

    def all(self) -> dict[str, Part]:
        """Every part by its mark: those of the wiring list first, in its order, then the plant's in that of the tree."""
        loose = {mark: Part(mark, KINDS[device.kind], device.says, device.place) for mark, device in self.devices.items()}
        return {mark: self.made.get(mark, part) for mark, part in loose.items()} | {
            mark: part for mark, part in self.made.items() if mark not in loose
        }


def items(entry: Mapping[str, Any], key: str, path: Path) -> Iterator[tuple[Path, Mapping[str, Any]]]:
    """Entries of a list in the file, each with its place there."""
    for n, item in enumerate(entry.get(key, ())):
        yield (*path, key, n), item

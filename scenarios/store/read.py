"""The reader of store files: from the raw file to typed records. Beyond it there is no raw dictionary.

`problems` lists everything that is wrong at once, each with its place in the file; `read` refuses a file that has any.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from scenarios.content import seal_of
from scenarios.electrical.wiring import Wiring
from scenarios.errors import BadRequest
from scenarios.parts.kind import Part
from scenarios.parts.registry import KINDS
from scenarios.refrigeration import points
from scenarios.store import wiring as wiring_list
from scenarios.store.instances import ABOUT, Parts, items
from scenarios.store.model import Circuit, Place, Point, Rack, Store, SuctionGroup, Unit
from scenarios.store.problems import Path, Problem, Problems, dotted, near

SECTIONS = {
    "rack": ("liquid", "discharge", "controller", "fan_loop", "alarms"),
    "group": ("suction", "staging", "alarms"),
}
"""Settings of records that a rack and a group may give."""
EARTH = "PE"
"""Name of the earth rail in every store: steps and records say it."""
CIRCUIT_SETTINGS = ("thermostat", "defrost")


def read(data: Mapping[str, Any]) -> Store:
    """A store from the content of its file, which has the form of the schema.

    Raises
    ------
    BadRequest
        One line per problem, all at once: ``place: what is wrong, what is allowed``.
    """
    store, found = examined(data)
    if found or store is None:
        raise BadRequest("\n".join(f"{dotted(path)}: {text}" for path, text in found))
    return store


def examined(data: Mapping[str, Any]) -> tuple[Store | None, list[Problem]]:
    """A store from the content of its file, None where it cannot be read at all, and everything that is wrong with it."""
    reader = _Reader(data)
    return reader.store(), reader.problems.found


class _Reader:
    """One reading of one store file."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        self.data = data
        self.problems = Problems()
        self.places = {name: Place(name, **about) for name, about in data["places"].items()}
        self.points: dict[str, Point] = {}
        self.rows = dict.fromkeys(("racks", "groups", "compressors", "circuits", "fans", "sprays", "defrosts"), 0)

    def store(self) -> Store | None:
        """The store; None where its wiring list cannot be read."""
        wiring, found = wiring_list.examined(self.data)
        self.problems.found += found
        if wiring is None:
            return None
        if EARTH not in wiring.rail_kinds or wiring.rail_kinds[EARTH].kind != "earth":
            self.problems.add(("rails",), f"none of them is the earth, needed is {EARTH}: {{kind: earth}}")
        services = [mark for mark, device in wiring.devices.items() if device.kind == "service"]
        if len(services) != 1:
            text = f"{' '.join(services) or 'no part'} is the service entrance, needed is one part of kind service"
            self.problems.add(("devices",), text)
        for kind in ("van", "panel"):
            if kind not in {place.kind for place in self.places.values()}:
                self.problems.add(("places",), f"none is of kind {kind}, every store needs one")
        self.parts = Parts(wiring.devices, self.places)
        racks = tuple(self._rack(path, entry) for path, entry in items(self.data, "racks", ()))
        for place in self.places.values():
            if place.door:
                self.parts.plant(("places", place.name, "door"), "panel_door", place.door, {}, place=place.name)
        self._circuit_points(racks)
        self._untied(wiring)
        self.problems.found += self.parts.problems.found
        made = self.parts.all()
        for mark, device in wiring.devices.items():
            owner = made[mark].owner
            if device.kind == "motor3" and owner is not None:
                wiring.devices[mark] = replace(device, torque=owner.kind.torque)
        named = str(self.data["id"]), str(self.data["title"])
        return Store(*named, wiring, self.places, racks, made, self.points, seal_of(self.data))

    def _untied(self, wiring: Wiring) -> None:
        """Parts of the wiring list that only the plant can move or load, and that no part of the plant names."""
        roles: dict[str, list[str]] = {}
        for kind in KINDS.values():
            for name, role in kind.roles.items():
                for wired in role.kinds if role.ties else ():
                    roles.setdefault(wired, []).append(f"{name} of a {kind.title}")
        for mark, device in wiring.devices.items():
            if mark not in self.parts.made and (device.kind in roles or device.follows):
                allowed = ", ".join(dict.fromkeys(roles.get(device.kind, ()))) or "no part of the plant"
                text = f"nothing in the plant moves or loads {mark}; let a part of the plant name it ({allowed}) or take it off"
                self.problems.add(device.at(), text)

    def _row(self, table: str) -> int:
        self.rows[table] += 1
        return self.rows[table] - 1

    def _unit(self, path: Path, kind: str, entry: Mapping[str, Any], **belongs: Any) -> Unit:
        """One part of the plant with what belongs to it."""
        part = self.parts.plant(path, kind, str(entry["mark"]), entry, **belongs)
        has, settings = self.parts.roles(path, part, entry)
        kept = {key: value for key, value in entry.items() if key not in (*ABOUT, *part.kind.roles)}
        return Unit(part, has, kept, settings, path)

    # ---- racks ------------------------------------------------------------------------------------------------------

    def _rack(self, path: Path, entry: Mapping[str, Any]) -> Rack:
        row, place = self._row("racks"), str(entry["place"])
        part = self.parts.plant(path, "rack_controller", str(entry["mark"]), entry, row=row, rack=row, group=self.rows["groups"])
        belongs: dict[str, Any] = {"row": row, "rack": row, "place": place}
        receiver = self._unit((*path, "receiver"), "receiver", entry["receiver"], **belongs)
        condenser, fans, pump = self._condenser((*path, "condenser"), entry["condenser"], belongs)
        self._points(path, entry, {"rack": (row, place), "condenser": (row, condenser.part.place)})
        self._gauges(path, entry, part)
        groups = tuple(self._group(at, told, row, place) for at, told in items(entry, "groups", path))
        settings = {name: entry[name] for name in SECTIONS["rack"] if name in entry}
        return Rack(
            part,
            str(entry["title"]),
            row,
            place,
            str(entry["refrigerant"]),
            float(entry["charge_kg"]),
            receiver,
            condenser,
            fans,
            pump,
            groups,
            settings,
            path,
        )

    def _condenser(
        self, path: Path, entry: Mapping[str, Any], belongs: dict[str, Any]
    ) -> tuple[Unit, tuple[Unit, ...], Unit | None]:
        """A condenser, its fans and its pump."""
        own = {key: value for key, value in entry.items() if key not in ("fans", "pump")}
        sprays = {}
        if "pump" in entry:
            row = self._row("sprays")
            sprays = {"sprays": row, "spray_states": row}
        elif entry["kind"] == "evaporative":
            self.problems.add(path, "pump is missing, an evaporative condenser needs one")
        condenser = self._unit(path, f"condenser_{entry['kind']}", own, **belongs, rows=sprays)
        at = {"rack": belongs["rack"], "owner": condenser.part}
        fans = tuple(
            self._unit(where, "condenser_fan", told, row=self._row("fans"), **at) for where, told in items(entry, "fans", path)
        )
        pump = self._unit((*path, "pump"), "spray_pump", entry["pump"], row=sprays["sprays"], **at) if "pump" in entry else None
        return condenser, fans, pump

    def _group(self, path: Path, entry: Mapping[str, Any], rack: int, place: str) -> SuctionGroup:
        row = self._row("groups")
        at = {"rack": rack, "group": row}
        compressors = tuple(
            self._unit(where, "compressor", told, row=self._row("compressors"), place=place, **at)
            for where, told in items(entry, "compressors", path)
        )
        circuits = tuple(self._circuit(where, told, at) for where, told in items(entry, "circuits", path))
        self._points(path, entry, {"group": (row, place)})
        return SuctionGroup(
            str(entry["mark"]),
            str(entry.get("title", entry["mark"])),
            row,
            rack,
            self._suction_dew(path, entry),
            compressors,
            circuits,
            {name: entry[name] for name in SECTIONS["group"] if name in entry},
            path,
        )

    def _suction_dew(self, path: Path, entry: Mapping[str, Any]) -> float:
        """Design suction of a group, as dew temperature [C]."""
        if ("suction_dew" in entry) == ("suction_dew_F" in entry):
            self.problems.add(path, "suction_dew [C] or suction_dew_F, one of them, is needed")
            return 0.0
        return float(entry["suction_dew"]) if "suction_dew" in entry else (float(entry["suction_dew_F"]) - 32.0) * 5.0 / 9.0

    def _circuit(self, path: Path, entry: Mapping[str, Any], at: dict[str, Any]) -> Circuit:
        told = {key: value for key, value in entry.items() if key not in ("title", "limit_F", "length_ft", *CIRCUIT_SETTINGS)}
        unit = self._unit(path, str(entry["kind"]), told, row=self._row("circuits"), **at)
        settings = {name: entry[name] for name in CIRCUIT_SETTINGS if name in entry}
        limit = float(entry["limit_F"])
        return Circuit(
            unit.part,
            unit.has,
            unit.fields,
            {**settings, **unit.settings},
            path,
            str(entry["title"]),
            (limit - 32.0) * (5.0 / 9.0),
            entry["limit_F"],
            float(entry.get("length_ft", 0.0)),
        )

    # ---- test points ------------------------------------------------------------------------------------------------

    def _points(self, path: Path, entry: Mapping[str, Any], of: dict[str, tuple[int, str]]) -> None:
        """Points that a rack or a group names."""
        allowed = [name for name, role in points.ROLES.items() if role.scope in of]
        for name, told in entry.get("points", {}).items():
            about = told if isinstance(told, Mapping) else {"shows": told}
            shows = str(about["shows"])
            if shows not in allowed:
                text = f"{shows!r} is no word for a point here{near(shows, allowed)}, allowed are {' '.join(allowed)}"
                self.problems.add((*path, "points", name), text)
                continue
            row, place = of[points.ROLES[shows].scope]
            role = points.ROLES[shows]
            title, at = str(about.get("title", role.says)), str(about.get("place", place))
            self._point((*path, "points", name), Point(name, title, at, role.quantity, shows, row))

    def _gauges(self, path: Path, entry: Mapping[str, Any], rack: Part) -> None:
        """Gauges are parts and points in one."""
        for what, mark in entry.get("gauges", {}).items():
            shows, title = points.GAUGES[what]
            at = (*path, "gauges", what)
            self.parts.plant(at, "gauge", str(mark), {"says": title}, row=rack.row, rack=rack.rack, owner=rack)
            row = self.rows["groups"] if points.ROLES[shows].scope == "group" else rack.row
            self._point(at, Point(str(mark), title, rack.place, "pressure", shows, row))

    def _circuit_points(self, racks: tuple[Rack, ...]) -> None:
        """Points that every circuit has; they stand after those of the racks."""
        for circuit in (circuit for rack in racks for group in rack.groups for circuit in group.circuits):
            for name, shows in points.CIRCUIT.items():
                role = points.ROLES[shows]
                title = f"circuit {circuit.number} {circuit.title}: {role.says}"
                point = Point(f"{circuit.mark}.{name}", title, circuit.part.place, role.quantity, shows, circuit.part.row)
                self._point((), point)

    def _point(self, path: Path, point: Point) -> None:
        if point.name in self.points:
            self.problems.add(path, f"{point.name} is a point already; a point is named once")
        if point.place not in self.places:
            self.problems.add(path, f"{point.place!r} is no place, allowed are {' '.join(self.places)}")
        self.points.setdefault(point.name, point)

"""Entries of a store with one rack and one suction group, from the plant sections of its file.

Sections: `compressors` (a list), `cutouts` (one for each), `circuits` (a list with titles and limits), `circuit_defaults`,
`condenser`, `receiver`, `charge_kg`. Keys are the fields of the records, units in the key.
"""

from dataclasses import replace
from typing import Any

from scenarios.controls.case import CaseControl
from scenarios.controls.cutouts import Cutout
from scenarios.errors import BadRequest
from scenarios.records import from_yaml
from scenarios.refrigeration.circuit import Circuit
from scenarios.refrigeration.compressor import Compressor
from scenarios.refrigeration.condenser import Condenser
from scenarios.refrigeration.plant import PlaceAir
from scenarios.refrigeration.receiver import Receiver
from scenarios.refrigeration.store import CircuitEntry, CompressorEntry, GroupEntry, RackEntry

ABOUT = ("title", "kind", "limit_F", "length_ft", "defrost", "thermostat")
"""Keys of a circuit that are not fields of its physical record."""
USUAL_LENGTH = 12.0
"""Length of the case that the defaults describe [ft]."""
WITH_LENGTH = (
    "valve_area",
    "coil_ua",
    "dry_ua",
    "coil_full",
    "airflow",
    "fan_heat",
    "lights",
    "infiltration",
    "moisture",
    "air_capacity",
    "product_capacity",
    "product_ua",
    "core_ua",
    "frost_half",
)
"""Fields that grow with the length of a case."""
PLACES = (PlaceAir(temperature=24.0), PlaceAir(temperature=22.0))
"""Air of motor room and sales floor."""


class Problems:
    """Collects every mistake of a store file, to be told at once."""

    def __init__(self) -> None:
        self.found: list[str] = []

    def take(self, cls: type[Any], entry: dict[str, Any], where: str) -> Any:
        """One record from one entry; its mistakes are kept and a stand-in of None is given."""
        try:
            return from_yaml(cls, entry, where)
        except ValueError as error:
            self.found += str(error).splitlines()
            return None

    def raise_all(self) -> None:
        """Tell all of them, if there are any."""
        if self.found:
            raise BadRequest("store file, plant sections: " + "; ".join(self.found) + "; correct these keys")


def sized(circuit: Circuit | None, length: float) -> Circuit | None:
    """A circuit of another length than the usual one, everything in proportion; branch and feed pressures stay.

    Parameters
    ----------
    circuit : Circuit | None
        What it works with.
    length : float
        Of the case. [ft]
    """
    if circuit is None:
        return None
    times = length / USUAL_LENGTH
    changed = {name: getattr(circuit, name) * times for name in WITH_LENGTH}
    return replace(circuit, **changed, branch_resistance=circuit.branch_resistance / times / times)


def machines(store: dict[str, Any], problems: Problems) -> list[CompressorEntry]:
    """Compressors with their cut-outs."""
    found = []
    for n, (entry, cut) in enumerate(zip(store["compressors"], store["cutouts"], strict=True), 1):
        machine = problems.take(Compressor, dict(entry), f"compressors[{n}]")
        high = problems.take(Cutout, dict(cut.get("high", {})), f"cutouts[{n}].high")
        low = problems.take(Cutout, dict(cut.get("low", {})), f"cutouts[{n}].low")
        found.append(CompressorEntry(f"compressor {n}", machine, high, low))
    return found


def circuits(store: dict[str, Any], problems: Problems) -> list[CircuitEntry]:
    """Cases and walk-ins."""
    found = []
    for n, entry in enumerate(store["circuits"], 1):
        where, short = f"circuits[{n}]", f"circuit {n}"
        own = {key: value for key, value in entry.items() if key not in ABOUT}
        made = problems.take(Circuit, {**store.get("circuit_defaults", {}), **own}, where)
        control = problems.take(CaseControl, {**entry.get("thermostat", {}), **entry.get("defrost", {})}, where)
        limit = (entry.get("limit_F", 41.0) - 32.0) * (5.0 / 9.0)
        circuit: Any = sized(made, float(entry.get("length_ft", USUAL_LENGTH)))
        door = entry.get("kind") == "walk-in"
        found.append(CircuitEntry(f"{short} {entry['title']}", short, circuit, control, limit, place=1, door=door))
    return found


def one_each(store: dict[str, Any], problems: Problems) -> tuple[Any, Any]:
    """Condenser and receiver."""
    condenser = problems.take(Condenser, store.get("condenser", {}), "condenser")
    return condenser, problems.take(Receiver, store.get("receiver", {}), "receiver")


def entries(store: dict[str, Any]) -> list[RackEntry]:
    """The one rack of a store file.

    Parameters
    ----------
    store : dict
        A store file as loaded.

    Raises
    ------
    BadRequest
        Unknown keys, missing or out-of-range values, all at once.
    """
    problems = Problems()
    group = GroupEntry("medium temperature", -6.0, machines(store, problems), circuits(store, problems))
    condenser, receiver = one_each(store, problems)
    problems.raise_all()
    charge = float(store.get("charge_kg", 150.0))
    return [RackEntry("Rack", "R-448A", charge, [group], room=0, store=1, condenser=condenser, receiver=receiver)]

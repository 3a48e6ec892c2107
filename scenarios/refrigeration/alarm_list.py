"""Alarms that a store's controllers have: ids, titles and rows, from the entries of its racks."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from scenarios.compiling.quantities import quantity, record
from scenarios.controls.alarms import KINDS, Alarm

if TYPE_CHECKING:
    from scenarios.refrigeration.store import CircuitEntry, GroupEntry, RackEntry

PSIG, ATMOSPHERE = 6894.757293168, 101325.0
"""Of gauge pressures in the defaults below [Pa]."""


@record
class RackAlarms:
    """When a rack's controller speaks of its discharge."""

    discharge_limit: float = quantity("Pa", "discharge pressure high at and above", default=280.0 * PSIG + ATMOSPHERE, least=1e5)
    discharge_returns: float = quantity("Pa", "returned at and below", default=250.0 * PSIG + ATMOSPHERE, least=1e5)


@record
class GroupAlarms:
    """When a rack's controller speaks of a suction group."""

    suction_limit: float = quantity("Pa", "suction pressure high at and above", default=75.0 * PSIG + ATMOSPHERE, least=0.5e5)
    suction_returns: float = quantity("Pa", "returned at and below", default=62.0 * PSIG + ATMOSPHERE, least=0.5e5)


class NamedAlarm(NamedTuple):
    """One row of the alarm table, and how it is spoken of."""

    id: str
    title: str
    rack: int
    """Row of the rack whose controller has it."""
    alarm: Alarm


def row(kind: str, which: int, limit: float, returns: float, delay: float, calm: float = 0.0) -> Alarm:
    """One alarm: row `which` of what its kind watches, delay and calm in seconds."""
    return Alarm(kind=KINDS.index(kind), which=which, limit=limit, returns=returns, delay=delay, calm=calm)


def of_group(group: "GroupEntry", g: int) -> Iterator[tuple[str, str, Alarm]]:
    """Suction of one group."""
    limits = group.alarms
    yield "suction_high", "suction pressure high", row("suction", g, limits.suction_limit, limits.suction_returns, 600.0)
    yield "liquid_back", "liquid return to compressors", row("liquid_back", g, 0.5, 0.5, 300.0)


def of_machine(title: str, n: int) -> Iterator[tuple[str, str, Alarm]]:
    """One machine."""
    yield f"high_pressure_{n + 1}", f"{title} high pressure", row("high_pressure", n, 0.5, 0.5, 0.0, 360.0)
    yield f"low_pressure_{n + 1}", f"{title} low pressure", row("low_pressure", n, 0.5, 0.5, 60.0, 300.0)
    yield f"no_proof_{n + 1}", f"{title} called, no proof", row("no_proof", n, 0.5, 0.5, 0.0, 600.0)


def of_circuit(each: "CircuitEntry", n: int) -> Iterator[tuple[str, str, Alarm]]:
    """One case or walk-in."""
    yield f"air_{n + 1}", f"{each.title} air over limit", row("case_air", n, each.limit, each.limit - 0.6, 1800.0)
    yield f"defrost_{n + 1}", f"{each.short} defrost ended by time", row("defrost_by_time", n, 0.5, 0.5, 0.0)
    if each.door:
        yield f"door_{n + 1}", f"{each.title} door open", row("door", n, 0.5, 0.2, 300.0)


def alarm_list(racks: "Sequence[RackEntry]") -> list[NamedAlarm]:
    """Every row of the alarm table, in its order.

    What there is one of in a rack or group carries the rack's or group's title where there are several.
    """
    found: list[NamedAlarm] = []
    g = m = c = 0
    for r, rack in enumerate(racks):
        of, suffix = (f"{rack.title} ", f"_{r + 1}") if len(racks) > 1 else ("", "")
        limits = rack.alarms
        high = row("discharge", r, limits.discharge_limit, limits.discharge_returns, 30.0, 360.0)
        first = [
            (f"fan_full{suffix}", f"{of}condenser fan at full speed", row("fan_full", r, 0.995, 0.9, 60.0, 300.0)),
            (f"discharge_high{suffix}", f"{of}discharge pressure high", high),
        ]
        supply = [(f"controller_supply{suffix}", f"{of}rack controller restarted", row("supply", r, 0.5, 0.5, 0.0))]
        suctions: list[tuple[str, str, Alarm]] = []
        backs: list[tuple[str, str, Alarm]] = []
        others: list[tuple[str, str, Alarm]] = []
        for group in rack.groups:
            several = len(racks) > 1 or len(rack.groups) > 1
            named = [
                (f"{name}_{g + 1}", f"{group.title} {title}", alarm) if several else (name, title, alarm)
                for name, title, alarm in of_group(group, g)
            ]
            suctions, backs, g = [*suctions, named[0]], [*backs, named[1]], g + 1
            for machine in group.compressors:
                others += of_machine(machine.title, m)
                m += 1
        for group in rack.groups:
            for circuit in group.circuits:
                others += of_circuit(circuit, c)
                c += 1
        found += [NamedAlarm(name, title, r, alarm) for name, title, alarm in [*first, *suctions, *supply, *backs, *others]]
    return found

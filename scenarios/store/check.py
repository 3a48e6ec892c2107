"""What a store file may not say although every word of it is known: records out of range, gear that does not go together.

Needs the records of the physics, which are slow to import; so only whoever checks a file for the first time asks for it. What gear
is asked for is worked out at one common design point with the formulas of the plant itself.
"""

from collections.abc import Callable, Iterator

from scenarios.compiling.kernel import plain
from scenarios.refrigeration import compressor, fluid, property_tables
from scenarios.refrigeration import store as plant_store
from scenarios.refrigeration.store import GroupEntry, RackEntry
from scenarios.store import gear
from scenarios.store.entries import Entries
from scenarios.store.model import Rack, Store, SuctionGroup
from scenarios.store.problems import Problem

CONDENSING = 46.0
"""Condensing dew at which machines and condensers are chosen [C]: 115 F, common practice."""
OVER = 10.0
"""Suction gas over its dew at that point [K]; common practice."""
HORSEPOWER = 745.7
"""[W]"""
MOST_SPLIT = {"condenser_evaporative": 14.0, "condenser_air": 20.0}
"""Most that a condenser may need from refrigerant to coil, or to the air, for all its machines at once [K]; common practice."""
LEAST_KEPT = 1.0
"""Least liquid in a receiver while the store stands [kg]."""
FULL = 0.95
"""Most of a receiver that liquid may fill then [-]; common practice."""


def problems(store: Store) -> Iterator[Problem]:
    """Problems of a store that reads, all of them."""
    made = Entries(store)
    yield from made.problems
    yield from gear.problems(store)
    yield from _thermostats(store)
    if made.problems:
        return
    sound = True
    for rack, entry in zip(store.racks, made.racks, strict=True):
        for problem in (*_pressures(rack, entry), *_machines(store, rack, entry)):
            sound = False
            yield problem
    if sound:
        yield from _charges(store, made)


def _thermostats(store: Store) -> Iterator[Problem]:
    """A thermostat that closes below where it opens."""
    for circuit in store.circuits:
        told = circuit.settings.get("thermostat", {})
        cut_in, cut_out = (float(told.get(name, usual)) for name, usual in (("cut_in", 1.5), ("cut_out", -0.5)))
        if cut_in <= cut_out:
            text = f"{circuit.mark} cuts in at {cut_in:g} and out at {cut_out:g} C, allowed is to cut in above where it cuts out"
            yield (*circuit.path, "thermostat"), text


def _pressures(rack: Rack, entry: RackEntry) -> Iterator[Problem]:
    """Pressures of the design point against what the refrigerant's tables and the cut-outs are good for."""
    tables = property_tables.load(rack.refrigerant)
    about = tables.about[0]
    high = plain(fluid.dew_pressure)(tables, CONDENSING)
    if high > about.most_good:
        text = f"{rack.refrigerant} condenses at {CONDENSING:g} C beyond what its table is good for, allowed is another"
        yield (*rack.path, "refrigerant"), text
    for group, told in zip(rack.groups, entry.groups, strict=True):
        low = plain(fluid.dew_pressure)(tables, group.suction_dew)
        if low < about.least_good:
            text = f"suction at {group.suction_dew:.1f} C dew is below what the table of {rack.refrigerant} is good for"
            yield (*group.path, "suction_dew"), text
        for unit, machine in zip(group.compressors, told.compressors, strict=True):
            mark = unit.part.mark
            if machine.low.opens >= low:
                text = f"the low-pressure cut-out of {mark} opens above its group's design suction, allowed is below it"
                yield (*unit.path, "low"), text
            if machine.high.opens <= high:
                text = f"the high-pressure cut-out of {mark} opens below {CONDENSING:g} C condensing, allowed is above it"
                yield (*unit.path, "high"), text


def _machines(store: Store, rack: Rack, entry: RackEntry) -> Iterator[Problem]:
    """Machines against their motors, and all of them against the condenser."""
    rejected = 0.0
    for group, told in zip(rack.groups, entry.groups, strict=True):
        for n, (shaft, heat) in enumerate(_asked(rack, group, told)):
            unit, rejected = group.compressors[n], rejected + heat
            if "motor" not in unit.has:
                continue
            motor = store.wiring.devices[unit.has["motor"].mark]
            allowed = motor.ratings["hp"] * motor.ratings["service_factor"]
            if shaft > allowed * HORSEPOWER:
                asked = f"{unit.part.mark} asks {shaft / HORSEPOWER:.1f} hp at {CONDENSING:g} C condensing"
                yield unit.path, f"{asked}, its motor {motor.mark} gives {allowed:.1f}; choose a larger motor or a smaller machine"
    kind, coil = rack.condenser.part.kind.name, entry.condenser
    per_watt = 1.0 / coil.inside_ua + (1.0 / coil.dry_ua if kind == "condenser_air" else 0.0)
    if rejected * per_watt > MOST_SPLIT[kind]:
        asked = f"{rack.condenser.part.mark} needs {rejected * per_watt:.0f} K for the {rejected / 1e3:.0f} kW of all its machines"
        yield rack.condenser.path, f"{asked}, allowed are {MOST_SPLIT[kind]:g}; give it more inside_ua or dry_ua, or fewer machines"


def _asked(rack: Rack, group: SuctionGroup, told: GroupEntry) -> Iterator[tuple[float, float]]:
    """Shaft power and heat to reject of every machine of a group at the design point [W]."""
    tables = property_tables.load(rack.refrigerant)
    about = tables.about[0]
    dew: Callable[..., float] = plain(fluid.dew_pressure)
    suction, discharge = dew(tables, group.suction_dew), dew(tables, CONDENSING)
    at, hot = (plain(fluid.saturation)(tables, pressure) for pressure in (suction, discharge))
    gas = at.h_gas + plain(fluid.rise)(at, OVER)
    density = 1.0 / plain(fluid.volume)(tables, at, gas)
    ratio = plain(compressor.compression)(suction, discharge, about.exponent)
    for each in told.compressors:
        stroke = plain(compressor.compress)(each.machine, 1.0, suction, density, ratio, about.most_lift)
        yield stroke.shaft, stroke.flow * (gas + stroke.enthalpy_rise - hot.h_liq)


def _charges(store: Store, made: Entries) -> Iterator[Problem]:
    """What is left for the receiver once lines, coils and condenser are filled."""
    plant = plant_store.build(made.racks, made.places)
    for rack in store.racks:
        held, about = float(plant.receiver_state[rack.row].liquid), property_tables.load(rack.refrigerant).about[0]
        most = FULL * float(plant.receiver[rack.row].space) / about.tank_volume
        where = (*rack.path, "charge_kg")
        if held < LEAST_KEPT:
            yield where, f"{rack.charge:g} kg is too small, lines, coils and condenser hold all of it; allowed is more"
        elif held > most:
            yield where, f"{rack.charge:g} kg is too large, {held - most:.0f} kg more than the receiver takes; allowed is less"

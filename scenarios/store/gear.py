"""Gear of a wiring list that does not go together: volts, dials and breakers against the motors they serve."""

from collections.abc import Iterator

from scenarios.electrical.topology import driven_motor
from scenarios.electrical.wiring import Device
from scenarios.store.model import Store
from scenarios.store.problems import Problem

OFF = 0.1
"""Most that rated volts may be off what they are fed with [-]; NEMA MG 1 (2016) 12.44, from memory: a motor runs within 10 %."""
DIAL = (0.98, 1.25)
"""Overload setting over motor amps [-]; NEC (2017) 430.32, from memory, ends at 125 %; set lower, it trips at rated load."""
CONTROL_OFF = 0.15
"""Most that a coil's or lamp's volts may be off its rail's [-]; common practice: coils pull in at 85 %."""


def problems(store: Store) -> Iterator[Problem]:
    """Everything of that sort."""
    for device in store.wiring.devices.values():
        yield from _volts(store, device)
    yield from _served(store)
    yield from _driven(store)
    yield from _control(store)


def _volts(store: Store, device: Device) -> Iterator[Problem]:
    """Motors and transformers against the supply."""
    line, phase, ratings = store.supply.line_volts, store.supply.phase_volts, device.ratings
    if device.kind == "motor3" and abs(ratings["volts"] / line - 1.0) > OFF:
        yield device.at("volts"), f"{device.mark} is for {ratings['volts']:g} V, the supply has {line:g} V"
    if device.kind == "transformer" and min(abs(ratings["primary"] / volts - 1.0) for volts in (line, phase)) > OFF:
        yield device.at("primary"), f"{device.mark} is for {ratings['primary']:g} V, the supply has {line:g} V"


def _served(store: Store) -> Iterator[Problem]:
    """Overload relays and breakers against the motor at the end of their bundle."""
    devices = store.wiring.devices
    for run in store.wiring.runs:
        marks = [part for part in run.parts if part in devices]
        motor = devices[marks[-1]] if run.kind == "bundle" and marks else None
        if motor is None or motor.kind != "motor3":
            continue
        amps = motor.ratings["amps"]
        for mark in marks[:-1]:
            device = devices[mark]
            if device.kind == "overload3" and not DIAL[0] * amps <= device.ratings["dial"] <= DIAL[1] * amps:
                allowed = f"allowed are {DIAL[0] * amps:.1f} to {DIAL[1] * amps:.1f} A"
                text = f"{mark} is set to {device.ratings['dial']:g} A, {motor.mark} takes {amps:g}; {allowed}"
                yield device.at("dial"), text
            if "magnetic" in device.ratings and device.ratings["amps"] < amps:
                text = f"{mark} carries {device.ratings['amps']:g} A, {motor.mark} takes {amps:g}; choose a larger one"
                yield device.at("amps"), text


def _driven(store: Store) -> Iterator[Problem]:
    """A drive against the motor that its output leads to."""
    for fan in store.fans:
        if {"drive", "motor"} <= set(fan.has):
            drive, motor = fan.has["drive"].mark, fan.has["motor"].mark
            reached, _ = driven_motor(store.wiring, drive)
            if reached != motor:
                text = f"{drive} leads to {reached or 'no motor'}, {fan.part.mark} is turned by {motor}; name the drive of {motor}"
                yield fan.path, text


def _control(store: Store) -> Iterator[Problem]:
    """Coils, lamps and heaters against the rail that feeds them."""
    devices, rails = store.wiring.devices, store.wiring.rail_kinds
    for run in store.wiring.runs:
        rail = rails.get(run.parts[0])
        if run.kind != "string" or rail is None or not rail.volts:
            continue
        for mark in dict.fromkeys(part for part in run.parts if part in devices):
            device = devices[mark]
            volts = device.ratings.get("coil_volts", device.ratings.get("volts", 0.0))
            fed = any(f"{mark}:{end}" in stop for stop in run.stops for pair in device.loads for end in pair.split("-"))
            if volts and fed and abs(volts / rail.volts - 1.0) > CONTROL_OFF:
                yield device.at(), f"{mark} is for {volts:g} V, its rail {rail.name} has {rail.volts:g} V"

"""Arrays of one electrical world, filled for a store: parameters that faults edit, and a state at rest."""

from typing import Any

import numpy as np

from scenarios.compiling.quantities import table
from scenarios.electrical import conductors, parts, protection
from scenarios.electrical.layouts import EVENTS, FOREIGNERS, JUMPERS, REMEMBER, STALE, Net, Parameters, State
from scenarios.electrical.nameplate import fit
from scenarios.electrical.topology import all_wires, bonds, of_kind
from scenarios.electrical.wiring import Element, Wiring

EARTH = 1e4
"""Admittance that ties the earth rail to zero volts [S]."""
MOTOR_LEAK = 2e-10
"""Leakage of each lead of a sound motor to its frame [S]: 1.7 gigaohm for the three. Common practice."""


def parameters(wiring: Wiring) -> Parameters:
    """Healthy parameters of a store."""
    switches = [e for e in wiring.elements if e.role != "load"]
    loads = [e for e in wiring.elements if e.role == "load"]
    hertz = wiring.supply.hertz
    devices = [parts.Part() for _ in wiring.devices]
    return Parameters(
        table([_conductor(wiring, n, hertz) for n in range(len(all_wires(wiring)))]),
        table([_switch(wiring, e) for e in switches], parts.Switch),
        table(devices),
        table([_load(wiring, e) for e in loads], parts.Load),
        table([_motor(wiring, mark, hertz) for mark in of_kind(wiring, "motor3")], parts.Motor),
        table([_protector(wiring, e) for e in switches if e.symbol in ("breaker", "heater", "fuse")], parts.Protector),
        table([_transformer(wiring, mark) for mark in of_kind(wiring, "transformer")], parts.Transformer),
        table([_drive(wiring, mark) for mark in of_kind(wiring, "drive3")], parts.Drive),
        table(_phases(wiring)),
        table([parts.Foreign() for _ in range(FOREIGNERS)]),
        table([_node(wiring, name) for name in wiring.terminals]),
        table([parts.Jumper() for _ in range(JUMPERS)]),
    )


def _conductor(wiring: Wiring, n: int, hertz: float) -> parts.Conductor:
    if n >= len(wiring.wires):
        return parts.Conductor(1e-3, 1e-4)
    wire = wiring.wires[n]
    metres = max(wire.metres, 0.05)
    return parts.Conductor(
        conductors.ohms_per_metre(wire.awg, 40.0) * metres,
        conductors.reactance_per_metre(wire.awg, hertz) * metres,
        conductors.STRAY * metres,
        conductors.LEAK * metres,
        joint_a=conductors.SOUND_JOINT,
        joint_b=conductors.SOUND_JOINT,
    )


def _node(wiring: Wiring, name: str) -> parts.Node:
    rail = wiring.rail_kinds.get(name)
    if rail is not None and rail.kind == "earth":
        return parts.Node(leak=EARTH)
    motor = wiring.devices.get(wiring.part(name))
    return parts.Node(leak=MOTOR_LEAK if motor and motor.kind == "motor3" else 1e-11)


def _switch(wiring: Wiring, e: Element) -> parts.Switch:
    ratings = wiring.devices[e.device].ratings
    ohms = {
        "breaker": lambda: 0.1 / ratings["amps"],
        "contactor": lambda: 1e-3,
        "heater": lambda: 2.0 / ratings["dial"] ** 2,
        "fuse": lambda: 0.15 / ratings["amps"],
    }.get(e.symbol, lambda: 0.02)()
    return parts.Switch(max(ohms, 1e-4))


def _load(wiring: Wiring, e: Element) -> parts.Load:
    ratings = wiring.devices[e.device].ratings
    volts = ratings.get("coil_volts", ratings.get("volts", 120.0))
    whole = volts * volts / max(ratings.get("VA", 0.3), 0.1)
    if e.symbol != "coil":
        return parts.Load(volts, whole, 0.0, whole)
    rush = 6.0 if wiring.devices[e.device].coil else 1.0
    return parts.Load(volts, 0.35 * whole, 0.93675 * whole, 0.12 * whole, rush)


def _motor(wiring: Wiring, mark: str, hertz: float) -> parts.Motor:
    device = wiring.devices[mark]
    r = device.ratings
    poles = max(2, 2 * round(60.0 * hertz / r["rpm"]))
    motor = fit(
        r["hp"], r["volts"], r["amps"], r["locked_amps"], 1.0 - r["rpm"] * poles / (120.0 * hertz), r.get("efficiency", 0.0)
    )
    motor.law, motor.run_up = device.torque
    return motor


def _protector(wiring: Wiring, e: Element) -> parts.Protector:
    r = wiring.devices[e.device].ratings
    if e.symbol == "heater":
        return protection.overload(r["dial"], r["class"])
    return protection.breaker(r["amps"], r["magnetic"]) if e.symbol == "breaker" else protection.fuse(r["amps"])


def _transformer(wiring: Wiring, mark: str) -> parts.Transformer:
    r = wiring.devices[mark].ratings
    base = r["secondary"] ** 2 / r["VA"]
    base_primary = r["primary"] ** 2 / r["VA"]
    return parts.Transformer(r["secondary"] / r["primary"], 0.03 * base, 0.025 * base, base_primary / 0.06, base_primary / 0.015)


def _drive(wiring: Wiring, mark: str) -> parts.Drive:
    group = wiring.devices[mark].group
    motor = next(d for d in wiring.devices.values() if d.kind == "motor3" and d.group == group)
    return parts.Drive(
        wiring.supply.line_volts,
        wiring.devices[mark].ratings["amps"] or 1.1 * motor.ratings["amps"],
        wiring.supply.hertz,
    )


def _phases(wiring: Wiring) -> list[parts.Phase]:
    line, angle = wiring.supply.line_volts, wiring.supply.x_over_r
    whole = line * line / wiring.supply.short_circuit
    ohms = whole / (1.0 + angle * angle) ** 0.5
    phase = wiring.supply.phase_volts
    return [
        parts.Phase(phase * re, phase * im, ohms, ohms * angle, wiring.supply.hertz)
        for re, im in ((1.0, 0.0), (-0.5, -(3.0**0.5) / 2), (-0.5, 3.0**0.5 / 2))
    ]


def lengths(wiring: Wiring, net: Net) -> tuple[int, int]:
    """Length of the key and of a solution row."""
    devices, motors, drives = len(wiring.devices), len(net.motors), len(net.drives)
    key = devices + len(net.protectors) + 2 * motors + 4 * drives
    row = 2 * len(net.wires) + 2 * len(net.protectors) + 5 * motors + len(net.loads) + devices + 3 * drives
    return key, row


def fresh_state(wiring: Wiring, net: Net, slots: int) -> State:
    """State of a store at rest: handles on, contacts as the plant leaves them off, motors standing, everything cold."""
    nodes, entries = len(wiring.terminals), len(net.program.later)
    key, row = lengths(wiring, net)
    devices = [parts.PartState(spot=d.positions.index(d.stands) if d.stands in d.positions else 0) for d in wiring.devices.values()]
    tally = np.zeros(9, np.int64)
    tally[STALE] = tally[REMEMBER] = 1
    motors, drives = len(net.motors), len(net.drives)
    return State(
        table([parts.ConductorState() for _ in net.wires]),
        table([parts.SwitchState() for _ in net.switches], parts.SwitchState),
        table(devices),
        table([parts.LoadState() for _ in net.loads], parts.LoadState),
        table([parts.MotorState() for _ in net.motors], parts.MotorState),
        table([parts.ProtectorState() for _ in net.protectors], parts.ProtectorState),
        table([parts.DriveState() for _ in net.drives], parts.DriveState),
        np.zeros(1),
        tally,
        np.zeros((EVENTS, 3)),
        np.zeros(nodes),
        np.zeros(key, np.uint8),
        np.zeros(row),
        np.zeros(key, np.uint8),
        np.zeros((slots, key), np.uint8),
        np.zeros((slots, row)),
        np.zeros(slots, np.uint8),
        _phasors(nodes),
        _phasors(entries),
        _phasors(entries),
        _phasors(nodes),
        _phasors(nodes),
        _phasors(entries),
        _phasors(entries),
        _phasors(nodes),
        _phasors(nodes),
        _phasors(nodes),
        np.zeros((max(motors, 1), 3, 3), np.complex128),
        np.zeros(max(motors, 1)),
        np.zeros(max(drives, 1)),
        _phasors(len(net.wires)),
        _phasors(len(net.switches)),
        _phasors(len(net.loads)),
        np.zeros(1, np.uint8),
        _phasors(nodes),
        np.zeros((3, 3), np.complex128),
        np.zeros(motors),
        np.zeros(motors),
        np.zeros(max(drives, 1)),
        np.zeros(max(drives, 1)),
        np.zeros(nodes),
        np.zeros(len(net.protectors) + 1),
        np.zeros(2 * len(net.wires), np.int64),
        np.zeros(len(wiring.devices), np.int64),
        np.zeros(max(motors, 1), np.uint8),
    )


def _phasors(count: int) -> Any:
    return np.zeros(count, np.complex128)


def bond_count(wiring: Wiring) -> int:
    """Number of bonding conductors behind the list's wires."""
    return len(bonds(wiring))

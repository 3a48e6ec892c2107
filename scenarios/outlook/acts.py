"""What hands can do to each kind of part, tempting acts included and unmarked: the list belongs to the kind, never to the fault."""

from typing import Any

from scenarios.call import Session
from scenarios.steps import Step
from scenarios.verbs import VERBS
from scenarios.visit import handling, limits

SENSES = ["look {p}:Look", "listen {p}:Listen", "feel {p}:Feel, by hand"]
HANDLE = [
    "off {p}:Switch off",
    "on {p}:Switch on",
    "lock {p}:Hang my lock and tag",
    "try {p}:Try to start",
    "unlock {p}:Take my lock off",
]
ACTS: dict[str, list[str]] = {
    "breaker3": ["look {p}:Look", *HANDLE, "infrared {p}:Infrared"],
    "breaker2": ["look {p}:Look", *HANDLE, "infrared {p}:Infrared"],
    "contactor3": [
        *SENSES,
        "open {p}:Take chute off",
        "close {p}:Put chute on",
        "press {p}:Push it in",
        "try {p}:Try to start",
        "infrared {p}:Infrared",
        "replace {p}:Replace",
    ],
    "overload3": [
        "look {p}:Look",
        "read {p}:Read the dial",
        "reset {p}:Reset",
        "set {p} ?:Turn the dial",
        "infrared {p}:Infrared",
        "replace {p}:Replace",
    ],
    "motor3": [
        *SENSES,
        "read {p}:Read nameplate",
        "open {p}:Cover off",
        "close {p}:Cover on",
        "infrared {p}:Infrared",
        "replace {p}:Replace",
    ],
    "high_pressure": [
        "look {p}:Look",
        "read {p}:Read setting",
        "push {p}:Push button",
        "set {p} ? psig:Turn setting",
        "open {p}:Cover off",
        "close {p}:Cover on",
        "bridge {p}:1 {p}:2:Bridge contact",
        "replace {p}:Replace",
    ],
    "low_pressure": [
        "look {p}:Look",
        "read {p}:Read setting",
        "set {p} ? psig:Turn setting",
        "open {p}:Cover off",
        "close {p}:Cover on",
        "bridge {p}:1 {p}:2:Bridge contact",
    ],
    "board_relay": ["look {p}:Look", "listen {p}:Listen", "try {p}:Call for it", "replace {p}:Replace"],
    "fuse": ["look {p}:Look", "replace {p}:Replace"],
    "fuse1": ["look {p}:Look", "replace {p}:Replace"],
    "fuse2": ["look {p}:Look", "replace {p}:Replace"],
    "solenoid": [
        *SENSES,
        "open {p}:Cover off",
        "close {p}:Cover on",
        "infrared {p}:Infrared",
        "replace {p}:Replace coil",
    ],
    "drive3": ["look {p}:Look", "read {p}:Read display", "reset {p}:Reset fault", "listen {p}:Listen", "infrared {p}:Infrared"],
    "selector": [
        "look {p}:Look",
        "select {p} drive:Turn to drive",
        "select {p} off:Turn to off",
        "select {p} bypass:Turn to bypass",
    ],
    "crankcase_heater": [*SENSES, "open {p}:Cover off", "close {p}:Cover on", "infrared {p}:Infrared", "replace {p}:Replace"],
    "hours_counter": ["look {p}:Look", "read {p}:Read hours"],
    "lamp": ["look {p}:Look"],
    "level_switch": ["look {p}:Look", "open {p}:Cover off", "close {p}:Cover on", "bridge {p}:3 {p}:4:Bridge contact"],
    "motor_protector": ["look {p}:Look", "open {p}:Cover off", "close {p}:Cover on", "bridge {p}:M1 {p}:M2:Bridge contact"],
    "transformer": [*SENSES, "infrared {p}:Infrared"],
    "service": ["look {p}:Look"],
}
PLANT_ACTS: dict[str, list[str]] = {
    "COIL": ["look {p}:Look", "feel {p}:Feel the drain", "hose {p}:Hose it"],
    "BASIN": ["look {p}:Look", "feel {p}:Feel the water"],
    "FLOAT": ["look {p}:Look"],
    "FAN": ["look {p}:Look", "listen {p}:Listen", "replace {p}:New belt"],
    "PUMP": ["look {p}:Look", "listen {p}:Listen"],
    "RECEIVER": ["look {p}:Look at the level", "feel {p}:Feel"],
    "GLASS": ["look {p}:Look"],
    "DRIER": ["look {p}:Look", "feel {p}:Feel both sides"],
    "RACK": ["read {p}:Read display and log", "replace {p}:Change transducers"],
    "COMP": ["look {p}:Look", "listen {p}:Listen", "feel {p}:Feel", "infrared {p}:Infrared"],
    "OIL": ["look {p}:Look"],
    "C": ["look {p}:Look", "read {p}:Read display", "move-product {p} to {last}:Move product to {goods}"],
    "XV": ["look {p}:Look", "listen {p}:Listen", "feel {p}:Feel the outlet", "replace {p}:Replace valve"],
    "GD": ["read {p}:Read gauge"],
    "GS": ["read {p}:Read gauge"],
    "DOOR": ["open {p}:Open the door", "close {p}:Shut the door"],
}
WIRE = ["tug {t}:Pull at it", "torque {t}:Tighten", "lift {t}:Lift the wire", "land {t}:Land the wire", "re-end {t}:New end"]
"""What hands can do to a wire end; ``{t}`` stands for the terminal."""


def acts_of(session: Session, part: str) -> list[dict[str, Any]]:
    """Acts of a part with their minutes; ``?`` in a line stands for a value still to be given."""
    device = session.world.wiring.devices.get(part)
    rows = ACTS.get(device.kind, ["look {p}:Look"]) if device else PLANT_ACTS.get(part.rstrip("0123456789"), [])
    person = session.person
    off = person.door_open if part == "DOOR" else part in person.covers
    rows = [row for row in rows if not row.startswith("open " if off else "close ")]  # a cover is on or off
    last = session.world.store.circuits[-1]
    words = {"p": part, "last": last.mark, "goods": last.title}
    return [_act(session, row.format(**words)) for row in (*rows, *_legs(session, part))]


def _legs(session: Session, part: str) -> list[str]:
    """Volts on every leg of a three-pole part at once: each to each other and to earth, on either side."""
    device = session.world.wiring.devices.get(part)
    if device is None or len(device.poles) != 3:
        return []
    sides = zip(("line", "load"), zip(*device.poles, strict=True), strict=True)
    return [f"volts {' '.join(ends)} PE:Volts, {side} side" for side, ends in sides]


def ends_of(session: Session, part: str) -> list[str]:
    """Terminals of a part at which a wire ends."""
    wiring = session.world.wiring
    return [t for t in wiring.devices[part].terminals if wiring.wires_at.get(t)] if part in wiring.devices else []


def wire_acts() -> list[dict[str, Any]]:
    """Acts on any wire end, told once: ``{t}`` in a line stands for its terminal."""
    rows = [row.rsplit(":", 1) for row in WIRE]
    return [{"line": line, "title": title, "minutes": VERBS[line.split()[0]].minutes} for line, title in rows]


def _act(session: Session, row: str) -> dict[str, Any]:
    line, title = row.rsplit(":", 1)
    verb, *args = line.split()
    shown: dict[str, Any] = {"line": line, "title": title, "minutes": VERBS[verb].minutes}
    if VERBS[verb].minutes < 0:
        shown["minutes"] = limits.minutes(session.world, session.person, session.call, Step(verb, tuple(args)))
    if verb == "replace":
        shown["spare"] = handling.van_part(session.world, args[0])
    return shown

"""A liquid solenoid: its coil is a load of the wiring, its valve the gate of a circuit."""

from scenarios.parts.common import COIL_FAULTS, CONTROL_JOINT, INFRARED, SENSES, Fault, hums, kind, magnet

kind(
    name="solenoid",
    title="solenoid valve",
    ratings={"volts": 120.0, "VA": 15.0},
    tables=("circuits",),
    listen=hums,
    warmth=magnet,
    acts=(*SENSES, "open {p}:Open the coil box", "close {p}:Close the coil box", INFRARED, "replace {p}:Replace coil"),
    spare="solenoid coil",
    minutes=15.0,
    renews=("circuits.solenoid_stuck_shut", "circuits.solenoid_stuck_open"),
    symbol="solenoid",
    faults={
        **CONTROL_JOINT,
        **COIL_FAULTS,
        "coil_to_earth": Fault("coil", "to_earth", "rare", "$says, coil to earth", {"electrical node_leak $a": 2.0}),
        "solenoid_stuck_shut": Fault(
            "part",
            "does_not_open",
            "occasional",
            "$owner, liquid solenoid stays shut",
            {"plant circuits[$row].solenoid_stuck_shut": True},
        ),
        "solenoid_stuck_open": Fault(
            "part",
            "does_not_close",
            "rare",
            "$owner, liquid solenoid does not shut",
            {"plant circuits[$row].solenoid_stuck_open": True},
        ),
    },
)

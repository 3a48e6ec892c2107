"""Kinds of electrical parts: which terminals each has, what lies between them, and which ratings a store file may give.

Terminal marks follow EN 50005 and NEMA practice: 1-2, 3-4, 5-6 for power poles, A1-A2 for a coil, 95-96 for the break contact
of an overload relay, T1 T2 T3 for motor leads, H1 H4 and X1 X2 for a control transformer.
"""

from dataclasses import dataclass, field

Poles = tuple[tuple[str, str], ...]
THREE: Poles = (("1", "2"), ("3", "4"), ("5", "6"))


@dataclass(frozen=True)
class Dial:
    """Scale printed on a part that is set by hand."""

    units: tuple[str, ...]
    """Units it may be set in, the printed one first."""
    least: float
    """Lower end of the scale, in the printed unit or as a share of a rating."""
    most: float
    """Upper end, likewise."""
    share_of: str = ""
    """Rating that both ends are shares of; empty: they are the printed figures."""


PRESSURES = ("psig", "barg", "psia")


@dataclass(frozen=True)
class Kind:
    """What every part of one kind has in common."""

    title: str
    """The trade's word for it."""
    into: tuple[str, ...] = ()
    """Power terminals on the line side, in order of poles."""
    out: tuple[str, ...] = ()
    """Power terminals on the load side, in order of poles."""
    pole: str = ""
    """Symbol of what joins line and load side, pole by pole; empty: nothing does (motor, transformer, drive)."""
    coil: bool = False
    """Whether it has a coil A1-A2 that moves its poles and contacts."""
    ratings: dict[str, float | None] = field(default_factory=dict)
    """Ratings a store file may give; None: must be given."""
    dial: Dial | None = None
    """Scale of what can be set by hand; None: nothing can."""


KINDS: dict[str, Kind] = {
    "service": Kind("service entrance", out=("L1", "L2", "L3")),
    "breaker3": Kind("breaker", ("1", "3", "5"), ("2", "4", "6"), "breaker", ratings={"amps": None, "magnetic": 10.0}),
    "breaker2": Kind("breaker", ("1", "3"), ("2", "4"), "breaker", ratings={"amps": None, "magnetic": 10.0}),
    "fuse": Kind("control fuse", ratings={"amps": None}),
    "fuse1": Kind("fuse", ("1",), ("2",), "fuse", ratings={"amps": None}),
    "fuse2": Kind("fuses", ("1", "3"), ("2", "4"), "fuse", ratings={"amps": None}),
    "fuse3": Kind("fuses", ("1", "3", "5"), ("2", "4", "6"), "fuse", ratings={"amps": None}),
    "contactor3": Kind(
        "contactor", ("1", "3", "5"), ("2", "4", "6"), "contactor", coil=True, ratings={"coil_volts": 120.0, "VA": 10.0}
    ),
    "relay": Kind("relay", coil=True, ratings={"coil_volts": 120.0, "VA": 3.0}),
    "overload3": Kind(
        "overload relay",
        (),
        ("2T1", "4T2", "6T3"),
        "heater",
        ratings={"dial": None, "class": 10.0},
        dial=Dial(("A",), 0.5, 1.5, share_of="dial"),
    ),
    "motor3": Kind(
        "motor",
        ("T1", "T2", "T3"),
        ratings={
            "hp": None,
            "volts": None,
            "amps": None,
            "locked_amps": None,
            "rpm": None,
            "service_factor": 1.15,
            "efficiency": 0.0,
        },
    ),
    "drive3": Kind("drive", ("L1", "L2", "L3"), ("U", "V", "W"), ratings={"amps": 0.0}),
    "transformer": Kind(
        "control transformer", ("H1", "H4"), ("X1", "X2"), ratings={"VA": None, "primary": None, "secondary": None}
    ),
    "board_relay": Kind("controller relay"),
    "high_pressure": Kind("high-pressure cut-out", dial=Dial(PRESSURES, 100.0, 450.0)),
    "low_pressure": Kind("low-pressure cut-out", dial=Dial(PRESSURES, 0.0, 100.0)),
    "oil_pressure": Kind("oil-pressure cut-out"),
    "motor_protector": Kind("motor protector"),
    "level_switch": Kind("level switch"),
    "selector": Kind("selector"),
    "solenoid": Kind("solenoid valve", ratings={"volts": 120.0, "VA": 15.0}),
    "hours_counter": Kind("hours counter", ratings={"volts": 120.0, "VA": 2.0}),
    "crankcase_heater": Kind("crankcase heater", ratings={"volts": 120.0, "VA": 120.0}),
    "lamp": Kind("lamp", ratings={"volts": 120.0, "VA": 4.0}),
}
"""Every kind a store file may name. Coil and lamp burdens, and the ends of scales: common practice for
small control gear, no source; an overload relay's scale reaches from half the amps it was chosen for to half as much again."""

CONTACTS = {
    "no": "make contact",
    "nc": "break contact",
    "p-no": "pressure contact, closes on rise",
    "p-nc": "pressure contact, opens on rise",
    "f-no": "float contact, closes on rise",
    "fuse": "fuse",
    "drive-fault": "closes when the drive has tripped",
}
"""Symbols of two-terminal switching elements besides the positions of a selector."""

LOADS = {"coil": "coil", "hours": "hours counter", "element": "heating element", "lamp": "lamp", "input": "drive input"}
"""Symbols of two-terminal loads."""

GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
"""Conductor gauges a store may use (AWG)."""

"""Kinds that have no module of their own yet, registered with what the reader of stores needs of them: titles, ratings, roles."""

from scenarios.electrical import kinds as wired
from scenarios.parts.kind import Role, Tie, kind

for name, told in wired.KINDS.items():
    kind(name=name, title=told.title, into=told.into, out=told.out, pole=told.pole, coil=told.coil, ratings=told.ratings)

_CASE = {
    "valve": Role(("expansion_valve",)),
    "solenoid": Role(("solenoid",), (Tie("load", "circuits.solenoid"),)),
    "call": Role(("board_relay",), (Tie("follower", "circuits.call_liquid"),)),
}
kind(
    name="compressor",
    title="compressor",
    wired=False,
    tables=("compressors", "compressor_states", "stages"),
    roles={
        "motor": Role(("motor3",), (Tie("motor", "compressors.speed"), Tie("shaft", "compressors.shaft_power"))),
        "heater": Role(("crankcase_heater",), (Tie("load", "compressors.heater"),), needed=False),
        "high": Role(("high_pressure",), (Tie("follower", "compressors.hp_closed"),)),
        "low": Role(("low_pressure",), (Tie("follower", "compressors.lp_closed"),)),
        "protector": Role(("motor_protector",), needed=False),
        "call": Role(("board_relay",), (Tie("follower", "compressors.call_compressor"),)),
        "oil": Role(("oil_glass",), needed=False),
    },
)
kind(name="oil_glass", title="oil glass", wired=False, tables=("compressor_states",))
kind(name="case", title="case", wired=False, tables=("circuits", "circuit_states", "cases"), roles=_CASE)
kind(name="walk_in", title="walk-in", wired=False, tables=("circuits", "circuit_states", "cases"), roles=_CASE)
kind(name="expansion_valve", title="expansion valve", wired=False, tables=("circuits", "circuit_states"))
kind(name="rack_controller", title="rack controller", wired=False, tables=("controller", "controller_state"))
kind(
    name="receiver",
    title="receiver",
    wired=False,
    tables=("receiver", "receiver_state"),
    roles={"glass": Role(("sight_glass",), needed=False), "drier": Role(("drier",), needed=False)},
)
kind(name="sight_glass", title="liquid sight glass", wired=False, tables=("lines", "lines_state"))
kind(name="drier", title="liquid drier", wired=False, tables=("lines", "lines_state"))
kind(name="gauge", title="gauge", wired=False)
kind(
    name="condenser_evaporative",
    title="evaporative condenser",
    wired=False,
    tables=("condenser", "condenser_state"),
    roles={"basin": Role(("basin",)), "float": Role(("float_valve",))},
)
kind(name="condenser_air", title="air-cooled condenser", wired=False, tables=("condenser", "condenser_state"))
kind(name="basin", title="basin", wired=False, tables=("condenser", "condenser_state"))
kind(name="float_valve", title="make-up float", wired=False, tables=("condenser", "condenser_state"))
kind(
    name="condenser_fan",
    title="condenser fan",
    wired=False,
    tables=("condenser", "condenser_state"),
    roles={
        "motor": Role(("motor3",), (Tie("motor", "fans.speed"), Tie("shaft", "fans.power"))),
        "call": Role(("board_relay",), (Tie("follower", "fans.call"),)),
        "drive": Role(("drive3",), (Tie("drive", "fans.reference"),), needed=False),
    },
)
kind(
    name="spray_pump",
    title="spray pump",
    wired=False,
    tables=("condenser", "condenser_state"),
    roles={
        "motor": Role(("motor3",), (Tie("motor", "pumps.speed"), Tie("shaft", "pumps.power"))),
        "call": Role(("board_relay",), (Tie("follower", "pumps.call"),)),
        "level": Role(("level_switch",), (Tie("follower", "pumps.basin_ok"),)),
    },
)
kind(name="panel_door", title="panel door", wired=False)

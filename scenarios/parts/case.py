"""A refrigerated case, and a walk-in: coil, fans, product, door or curtain, thermostat and its sensor."""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts.common import LOOK, Fault, Here, Role, Seen, Tie, by, kind, sights, to_hand


def look(here: Here) -> Iterator[Seen]:
    """Frost, fans, grille, front, what it does, and its suction line to the hand."""
    circuit, state, control = here.row("circuits"), here.row("circuit_states"), here.row("case_states")
    ice = state.frost / circuit.frost_half
    return sights(
        frost=by(ice, (0.05, "no frost"), (0.5, "light frost"), (1.0, "heavy frost"), beyond="iced solid"),
        fans=by(circuit.fans, (0.01, "fans stand still"), (0.95, "some fans stand still"), beyond="fans turn"),
        grille=by(circuit.blocked, (0.05, "return grille clear"), beyond="product over the return grille"),
        front=by(circuit.ajar, (0.05, "shuts properly"), beyond="does not shut"),
        state="defrost" if control.defrosting else "refrigeration" if control.calling else "waiting",
        outlet=to_hand(float(state.outlet)),
    )


def read(here: Here) -> Iterator[Observed]:
    """Its display."""
    shown = float(here.row("case_states").display)
    yield Observed(f"{here.part.mark}.D", "display", shown, instrument="display-temperature")


def fault(mode: str, prior: str, title: str, field: str, value: object, mends: tuple[str, ...], at: str) -> Fault:
    """A fault of a case: one parameter of its circuit or its control."""
    return Fault("part", mode, prior, f"$says, {title}", {f"plant {field.replace('.', '[$row].')}": value}, mends, at)


NEW = ("replace $part",)
COLUMNS = {
    "wired": False,
    "tables": ("circuits", "circuit_states", "cases", "case_states"),
    "roles": {
        "valve": Role(("expansion_valve",)),
        "solenoid": Role(("solenoid",), (Tie("load", "circuits.solenoid"),)),
        "call": Role(("board_relay",), (Tie("follower", "circuits.call"),)),
        "heater": Role(("defrost_heater",), (Tie("load", "circuits.heater"),), needed=False),
        "defrost_call": Role(("board_relay",), (Tie("follower", "circuits.defrost"),), needed=False),
    },
    "look": look,
    "read": read,
    "acts": (LOOK, "read {p}:Read display", "move-product {p} to {other}:Move product to {other_title}"),
    "spare": "case fans and sensor",
    "minutes": 45.0,
    "renews": ("circuits.fans", "cases.sensor_offset"),
    "symbol": "case",
    "faults": {
        "case_fans_dead": fault("stuck_worn", "common", "evaporator fans", "circuits.fans", [0.5, 0.0], NEW, "fans"),
        "coil_iced": fault("blocked_dirty", "common", "coil iced, drain frozen", "circuits.drain_blocked", [0.6, 1.0], (), "coil"),
        "defrost_missed": fault("set_wrong", "occasional", "no defrost", "cases.skipped", True, (), "defrost"),
        "door_ajar": fault(
            "does_not_close", "occasional", "door or curtain open", "circuits.ajar", [0.5, 1.0], ("close $part",), "door"
        ),
        "grille_covered": fault(
            "too_much", "occasional", "product over the return grille", "circuits.blocked", [0.6, 0.85], ("move-product $part",),
            "grille",
        ),
        "sensor_high": fault("too_much", "rare", "sensor reads warm", "cases.sensor_offset", [3.0, 6.0], NEW, "sensor"),
        "sensor_low": fault("too_little", "rare", "sensor reads cold", "cases.sensor_offset", [-3.0, -6.0], NEW, "sensor"),
    },
}  # fmt: skip
"""What a case and a walk-in have in common: everything but their look on paper."""

kind(name="case", title="case", **COLUMNS)
kind(name="walk_in", title="walk-in", **(COLUMNS | {"symbol": "walk-in"}))

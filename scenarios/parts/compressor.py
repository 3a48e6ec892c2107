"""A compressor is one machine: its motor, its oil, its heater, its cut-outs and its valves belong to it."""

from collections.abc import Iterator

from scenarios.facts import Observed
from scenarios.parts.common import INFRARED, LOOK, TURNS, Fault, Here, Role, Seen, Tie, by, kind, sights

FOAMS = 0.002
"""Refrigerant boiling out of oil that shows as foam in its glass [kg/s]; common practice."""
KNOCKS = 0.05
"""Refrigerant out of the oil over all that a machine moves from which it is heard to hammer [-]; common practice."""
RUNS = 0.3
"""Speed over the synchronous one from which a machine is seen to run [-]; common practice."""
DRY = 1.005
"""Quality of the suction gas above which nothing wet comes back [-]; common practice."""


def runs(here: Here) -> bool:
    """Whether it is seen to run."""
    return bool(here.row("compressor_states").speed > RUNS)


def wet(here: Here) -> bool:
    """Whether it runs and takes liquid in, from the line or out of its own oil."""
    gas = here.row("suction_state")
    return runs(here) and bool(gas.quality < DRY or here.row("compressor_states").foam > FOAMS)


def oil(here: Here) -> Iterator[Seen]:
    """Its oil glass, by the refrigerant in the oil."""
    dissolved = float(here.row("compressor_states").dissolved)
    level = by(dissolved, (0.5, "half glass, clear"), (1.5, "three quarters, thin"), beyond="full, thin as water")
    return sights(oil="foaming" if wet(here) else level)


def look(here: Here) -> Iterator[Seen]:
    """Whether it turns, and its suction pipe."""
    turns = runs(here)
    suction = "frosted" if wet(here) else "sweating" if turns else "dry"
    return sights(turning="runs" if turns else "stands", suction=suction)


def read(here: Here) -> Iterator[Observed]:
    """Its plate: what its motor draws at its rating, and with the rotor held."""
    motor = here.world.store.has[here.part.mark]["motor"]
    plate, supply = here.world.wiring.devices[motor.mark].ratings, here.world.wiring.supply
    words = (
        f"Rated load {plate['amps']:g} A, locked rotor {plate['locked_amps']:g} A, "
        f"{plate['volts']:g} V, {supply.hertz:g} Hz, 3 phase."
    )
    yield Observed(f"{here.part.mark} plate", "nameplate", plate["amps"], words=words)


def listen(here: Here) -> Iterator[Seen]:
    """It runs, and hammers where it takes in much liquid from its own oil."""
    seen = here.row("compressor_states")
    if here.speed() <= TURNS:
        yield Seen("sound", "silent", "Silent.")
    elif seen.foam > KNOCKS * max(float(seen.flow), 1e-3):
        yield Seen("sound", "knocking", "Running, with hard knocks.")
    else:
        yield Seen("sound", "running", "Running.")


def warmth(here: Here) -> float:
    """Its head while it runs, its crankcase while it stands [C]."""
    if here.speed() > TURNS:
        return float(here.of_rack("discharge_state").gas_steel)
    return float(here.row("compressor_states").oil)


kind(
    name="compressor",
    title="compressor",
    wired=False,
    tables=("compressors", "compressor_states", "stages"),
    roles={
        "motor": Role(
            ("motor3",),
            (Tie("motor", "compressors.speed"), Tie("shaft", "compressors.shaft")),
            spare="compressor motor",
            minutes=480.0,
        ),
        "heater": Role(("crankcase_heater",), (Tie("load", "compressors.heater"),), needed=False),
        "high": Role(("high_pressure",), (Tie("follower", "compressors.high"),)),
        "low": Role(("low_pressure",), (Tie("follower", "compressors.low"),)),
        "protector": Role(("motor_protector",), needed=False),
        "call": Role(("board_relay",), (Tie("follower", "compressors.call"),)),
        "oil": Role(("oil_glass",), needed=False),
    },
    look=look,
    listen=listen,
    read=read,
    warmth=warmth,
    acts=(LOOK, "listen {p}:Listen", "feel {p}:Feel", "read {p}:Read nameplate", INFRARED),
    faults={
        "valves_leak": Fault(
            "part", "leaking", "occasional", "$says, valves leak", {"plant compressors[$row].valve_leak": [0.25, 0.5]}, ()
        ),
        "discharge_leaks_back": Fault(
            "part", "stuck_worn", "rare", "$says, leaks back at rest", {"plant compressors[$row].leak_back": [5e-6, 2e-5]}, ()
        ),
    },
)
kind(name="oil_glass", title="oil glass", wired=False, tables=("compressor_states",), look=oil, acts=(LOOK,))

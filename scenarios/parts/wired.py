"""What all wired parts have in common, kept outside their kinds: state in the network, joints, contacts behind a cover."""

from dataclasses import dataclass
from typing import Any

DRIVE_FAULTS = ("", "F1 undervoltage", "F2 earth fault", "F3 overload", "F4 overcurrent", "F5 phase lost")
"""What a drive's display says once it has tripped, by number."""
LOOSE_OHMS = 0.05
"""A joint above this moves when it is pulled [ohm]; common practice."""


@dataclass(frozen=True)
class Wired:
    """A wired part in a world, as far as it can be noticed; nothing is worked out before it is asked."""

    world: Any
    mark: str

    @property
    def _device(self) -> Any:
        return self.world.wiring.devices[self.mark]

    @property
    def number(self) -> int:
        """Its place in the wiring list, from 0."""
        return int(self.world.network.number[self.mark])

    @property
    def _state(self) -> Any:
        return self.world.network.state.devices[self.number]

    @property
    def _loads(self) -> list[Any]:
        network = self.world.network
        return [network.state.loads[row] for row in network.loads_of[self.mark]]

    @property
    def handle(self) -> str:
        """Where a breaker's handle stands: on, off or tripped."""
        state = self._state
        return "tripped" if state.tripped else "on" if state.shut else "off"

    @property
    def picked(self) -> bool:
        """Whether its armature is in."""
        return bool(self._state.picked)

    @property
    def tripped(self) -> bool:
        """Whether heat or current has opened it."""
        return bool(self._state.tripped)

    @property
    def melted(self) -> bool:
        """Whether any fuse of it is open."""
        network = self.world.network
        rows = [row for row, element in enumerate(network.switches) if (element.device, element.symbol) == (self.mark, "fuse")]
        return bool(rows) and (self.tripped or any(bool(network.par.switches.burnt[row]) for row in rows))

    @property
    def follows(self) -> bool:
        """Whether the plant has moved its contacts."""
        return bool(self._state.follows)

    @property
    def position(self) -> str:
        """Where a selector stands; empty for what has no positions."""
        positions = self._device.positions
        return str(positions[int(self._state.spot)]) if positions else ""

    @property
    def dial(self) -> float:
        """Where an overload relay's dial stands [A]."""
        return float(self.world.network.dial(self.mark))

    @property
    def energised(self) -> bool:
        """Whether any of its coils, lamps or elements has volts."""
        return any(bool(load.energised) for load in self._loads)

    @property
    def on_time(self) -> float:
        """How long it has had volts since the world began [s]."""
        return max((float(load.on_time) for load in self._loads), default=0.0)

    @property
    def speed(self) -> float:
        """Speed of a motor over its synchronous one; backward is negative [-]."""
        return float(self.world.network.outputs.speed[self.world.network.motors.index(self.mark)])

    @property
    def current(self) -> float:
        """Highest amps in a motor's leads [A]."""
        return float(max(self.world.network.outputs.amps[self.world.network.motors.index(self.mark)]))

    @property
    def winding(self) -> float:
        """Warmth of a motor's winding over that at rated load [-]."""
        return float(self.world.network.state.motors.warmth[self.world.network.motors.index(self.mark)])

    @property
    def _drive(self) -> Any:
        return self.world.network.state.drives[self.world.network.drives.index(self.mark)]

    @property
    def hertz(self) -> float:
        """What a drive puts out [Hz]."""
        drive = self._drive
        return float(drive.hertz) if drive.runs else 0.0

    @property
    def display(self) -> str:
        """What a drive's display shows."""
        drive = self._drive
        if drive.fault:
            return f"fault, {DRIVE_FAULTS[int(drive.fault)]}"
        if drive.runs:
            return f"run, {self.hertz:.1f} Hz"
        return "stopped, 0.0 Hz" if drive.powered else "dark"

    # ---- joints and contacts -------------------------------------------------------------------------------------------------

    def joints(self) -> list[str]:
        """Terminals at which a wire ends."""
        wiring = self.world.wiring
        return [terminal for terminal in self._device.terminals if wiring.wires_at.get(terminal)]

    def power_joints(self) -> list[str]:
        """Its own terminals that carry a power pole."""
        own = set(self._device.terminals)
        return [terminal for pole in self._device.poles for terminal in pole if terminal in own]

    def poles_burnt(self) -> list[bool]:
        """Whether each of its power poles is burnt open."""
        network = self.world.network
        return [
            bool(network.par.switches.burnt[row]) or float(network.state.switches.cooked[row]) >= 1.0
            for row, element in enumerate(network.switches)
            if element.device == self.mark and element.role == "pole"
        ]


def ends_at(world: Any, terminal: str) -> list[tuple[int, str]]:
    """Wire ends under a screw: row of the wire, and end a or b."""
    return list(world.network.ends_at(terminal)) if world.wiring.wires_at.get(terminal) else []


def warmest(world: Any, terminal: str, field: str = "warm") -> float:
    """What the warmest joint at a terminal has over its place, now or, by ``peak``, ever [K]."""
    wires = world.network.state.wires
    return max((float(wires[f"{field}_{end}"][row]) for row, end in ends_at(world, terminal)), default=0.0)


def loose(world: Any, terminal: str) -> bool:
    """Whether a wire moves in its lug at a terminal."""
    par, state = world.network.par.wires, world.network.state.wires
    return any(float(par[f"joint_{end}"][row] * state[f"worse_{end}"][row]) > LOOSE_OHMS for row, end in ends_at(world, terminal))

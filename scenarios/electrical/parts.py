"""Records of the electrical network: what each part is (parameters, which faults edit) and what it carries along (state).

Parameters and state are kept apart, and so are the reasons a contact may be closed: computed, pushed by hand, welded; or open:
burnt. Nothing that a fault sets is ever written by a switch, and the other way round, so that mending is copying a row back.
"""

from scenarios.compiling.quantities import quantity, record


@record
class Conductor:
    """One wire with the joints at its two ends."""

    ohms: float = quantity("ohm", "resistance of the conductor", least=0.0)
    reactance: float = quantity("ohm", "reactance of the conductor at supply frequency", least=0.0)
    farads: float = quantity("F", "stray capacitance to earth", default=0.0, least=0.0)
    leak: float = quantity("S", "leakage of its insulation to earth", default=0.0, least=0.0)
    track: float = quantity("S", "carbonised path to earth that conducts only above some hundred volts", default=0.0, least=0.0)
    joint_a: float = quantity("ohm", "joint resistance at its first end", default=2e-4, least=0.0)
    joint_b: float = quantity("ohm", "joint resistance at its second end", default=2e-4, least=0.0)
    broken: bool = quantity("-", "conductor open", default=False)


@record
class ConductorState:
    """What happened to the ends of one wire."""

    lifted_a: bool = quantity("-", "first end taken off its terminal", default=False)
    lifted_b: bool = quantity("-", "second end taken off its terminal", default=False)
    warm_a: float = quantity("K", "first joint over its surroundings", default=0.0)
    warm_b: float = quantity("K", "second joint over its surroundings", default=0.0)
    peak_a: float = quantity("K", "hottest the first joint has ever been over its surroundings", default=0.0)
    peak_b: float = quantity("K", "hottest the second joint has ever been over its surroundings", default=0.0)
    worse_a: float = quantity("-", "joint resistance over what it was when it was made, first end", default=1.0)
    worse_b: float = quantity("-", "joint resistance over what it was when it was made, second end", default=1.0)
    used_a: float = quantity("-", "the same as the network last used it, first end", default=1.0)
    used_b: float = quantity("-", "the same as the network last used it, second end", default=1.0)


@record
class Switch:
    """One pole, contact, fuse or heater: closed or open."""

    ohms: float = quantity("ohm", "resistance when closed", default=0.02, least=1e-5)
    welded: bool = quantity("-", "closed whatever its part does", default=False)
    burnt: bool = quantity("-", "open whatever its part does", default=False)


@record
class SwitchState:
    """What one pole, contact or fuse carries along."""

    cooked: float = quantity("-", "share of its life that heat from a bad joint has eaten; 1 is burnt open", default=0.0)
    blown: bool = quantity("-", "fuse has melted", default=False)


@record
class Part:
    """What belongs to a whole device."""

    stuck: int = quantity("-", "0 free, 1 stuck as moved, -1 stuck as at rest", default=0, least=-1, most=1)
    pull_in: float = quantity("-", "coil volts over rated that pull it in", default=0.78, least=0.0)
    drop_out: float = quantity("-", "coil volts over rated at which it lets go", default=0.50, least=0.0)


@record
class PartState:
    """Position of a whole device."""

    shut: bool = quantity("-", "handle on", default=True)
    tripped: bool = quantity("-", "tripped", default=False)
    picked: bool = quantity("-", "armature pulled in by its coil", default=False)
    hand: bool = quantity("-", "armature pushed in by hand", default=False)
    spot: int = quantity("-", "position of a selector", default=0)
    chatter: bool = quantity("-", "its coil can neither hold it nor let it go", default=False)
    follows: bool = quantity("-", "what the plant last told it", default=False)


@record
class Load:
    """One coil, lamp, counter or input."""

    volts: float = quantity("V", "rated volts", least=1.0)
    ohms: float = quantity("ohm", "resistance at supply frequency, armature sealed", least=0.0)
    reactance: float = quantity("ohm", "reactance, armature sealed")
    winding: float = quantity("ohm", "resistance to direct current", least=0.0)
    rush: float = quantity("-", "amps with the armature open over amps sealed", default=1.0, least=1.0)
    opened: bool = quantity("-", "winding open", default=False)
    shorted: bool = quantity("-", "winding shorted", default=False)


@record
class LoadState:
    """Whether a load works, and since when."""

    energised: bool = quantity("-", "has the volts to work", default=False)
    on_time: float = quantity("s", "time energised, all told", default=0.0)


@record
class Motor:
    """Equivalent circuit per phase of a wye motor, and its condition. Impedances at supply frequency."""

    volts: float = quantity("V", "rated line volts", least=1.0)
    amps: float = quantity("A", "rated amps", least=0.01)
    output: float = quantity("W", "rated shaft power", least=1.0)
    rated_speed: float = quantity("-", "rated over synchronous speed", least=0.5, most=1.0)
    stator: float = quantity("ohm", "stator resistance", least=0.0)
    rotor_run: float = quantity("ohm", "rotor resistance, running", least=0.0)
    rotor_rest: float = quantity("ohm", "rotor resistance at standstill (skin effect)", least=0.0)
    leakage_run: float = quantity("ohm", "leakage reactance of each side, running", least=0.0)
    leakage_rest: float = quantity("ohm", "leakage reactance of each side at standstill (saturated)", least=0.0)
    magnetising: float = quantity("ohm", "magnetising reactance", least=0.0)
    core: float = quantity("ohm", "resistance that stands for core loss", least=0.0)
    friction: float = quantity("W", "rotational loss at rated speed", default=0.0, least=0.0)
    run_up: float = quantity("s", "time to full speed with rated torque to spare", default=0.35, least=0.0)
    law: int = quantity("-", "load torque goes with speed to this power", default=0, least=0, most=2)
    open_1: float = quantity("ohm", "added resistance in winding 1", default=0.0, least=0.0)
    open_2: float = quantity("ohm", "added resistance in winding 2", default=0.0, least=0.0)
    open_3: float = quantity("ohm", "added resistance in winding 3", default=0.0, least=0.0)
    short_12: float = quantity("S", "path between leads 1 and 2 past the winding", default=0.0, least=0.0)
    short_23: float = quantity("S", "path between leads 2 and 3 past the winding", default=0.0, least=0.0)
    short_31: float = quantity("S", "path between leads 3 and 1 past the winding", default=0.0, least=0.0)
    seized: bool = quantity("-", "shaft cannot turn", default=False)


@record
class MotorState:
    """What one motor carries along."""

    running: bool = quantity("-", "up to speed", default=False)
    speed: float = quantity("-", "speed over synchronous speed at supply frequency, signed", default=0.0)
    starting: float = quantity("s", "time since it was switched on at rest", default=0.0)
    needs: float = quantity("s", "time it needs to come up to speed; endless if it cannot", default=1e30)
    bucket: int = quantity("-", "load in eighths of rated torque", default=0)
    warmth: float = quantity("-", "winding heat over that at rated amps", default=0.0)
    growl: float = quantity("s", "time it has stood with current on since cleared", default=0.0)
    watts: float = quantity("W", "electrical power", default=0.0)


@record
class Protector:
    """Heat-driven trip of one pole: bimetal, breaker element or fuse link."""

    rating: float = quantity("A", "amps that it carries for ever at its reference", least=0.01)
    tau: float = quantity("s", "thermal time constant", least=0.01)
    trips_at: float = quantity("-", "heat over that at rating which trips it", least=0.1)
    magnetic: float = quantity("-", "multiple of rating that trips at once", default=1e9, least=1.0)
    weak: float = quantity("-", "true over marked rating", default=1.0, least=0.01)


@record
class ProtectorState:
    """Heat of one element."""

    heat: float = quantity("-", "heat over that at rating", default=0.0)


@record
class Transformer:
    """One control transformer."""

    ratio: float = quantity("-", "secondary over primary turns", least=1e-4)
    ohms: float = quantity("ohm", "winding resistance seen from the secondary", least=0.0)
    reactance: float = quantity("ohm", "leakage reactance seen from the secondary", least=0.0)
    magnetising: float = quantity("ohm", "magnetising reactance seen from the primary", least=0.0)
    core: float = quantity("ohm", "core loss as a resistance across the primary", least=0.0)
    primary_open: bool = quantity("-", "primary winding open", default=False)
    secondary_open: bool = quantity("-", "secondary winding open", default=False)


@record
class Drive:
    """One variable-frequency drive."""

    volts: float = quantity("V", "rated line volts", least=1.0)
    amps: float = quantity("A", "rated output amps", least=0.1)
    hertz: float = quantity("Hz", "supply frequency, and full output", least=1.0)
    least_hertz: float = quantity("Hz", "lowest output", default=12.0, least=0.0)
    ramp: float = quantity("Hz/s", "how fast the output moves", default=3.0, least=0.01)
    efficiency: float = quantity("-", "output over input power", default=0.97, least=0.1, most=1.0)
    idle: float = quantity("W", "own consumption", default=40.0, least=0.0)
    blind: bool = quantity("-", "run input dead", default=False)
    dead: bool = quantity("-", "no output whatever it is told", default=False)


@record
class DriveState:
    """What one drive does."""

    runs: bool = quantity("-", "gives output", default=False)
    powered: bool = quantity("-", "has input volts", default=False)
    hertz: float = quantity("Hz", "output frequency on its ramp", default=0.0)
    bucket: int = quantity("-", "output frequency in steps of 2 Hz, as the network uses it", default=0)
    fault: int = quantity("-", "0 none, 1 undervoltage, 2 earth fault, 3 overload, 4 overcurrent, 5 phase lost", default=0)
    heat: float = quantity("-", "motor heat by its own reckoning", default=0.0)


@record
class Phase:
    """One phase of the supply: volts behind an impedance."""

    re: float = quantity("V", "real part of the phase voltage to neutral")
    im: float = quantity("V", "imaginary part of the phase voltage to neutral")
    ohms: float = quantity("ohm", "source resistance", least=0.0)
    reactance: float = quantity("ohm", "source reactance", least=0.0)
    hertz: float = quantity("Hz", "supply frequency", least=1.0)
    lost: bool = quantity("-", "phase open upstream", default=False)


@record
class Foreign:
    """A source from elsewhere on one node."""

    node: int = quantity("-", "node it lies on, -1 none", default=-1)
    re: float = quantity("V", "real part of its voltage to earth", default=0.0)
    im: float = quantity("V", "imaginary part", default=0.0)
    ohms: float = quantity("ohm", "its impedance", default=1.0, least=1e-4)


@record
class Node:
    """One terminal's own way to earth."""

    leak: float = quantity("S", "leakage to earth", default=1e-11, least=0.0)
    track: float = quantity("S", "carbonised path that conducts only above some hundred volts", default=0.0, least=0.0)
    farads: float = quantity("F", "stray capacitance to earth", default=5e-12, least=0.0)


@record
class Jumper:
    """A path between two points that the wiring list does not have: a jumper lead, or a short."""

    a: int = quantity("-", "node, -1 none", default=-1)
    b: int = quantity("-", "node, -1 none", default=-1)
    ohms: float = quantity("ohm", "its resistance", default=0.01, least=1e-5)

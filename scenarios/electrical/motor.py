"""Three-phase induction motor by symmetrical components, with signed speed.

The forward field sees slip s = (f - n) / f, the backward field (f + n) / f, with speed n and frequency f over synchronous and
supply. Each sequence is the usual per-phase circuit

    Z(s)   = R1 + j f X(s) + (j f Xm | Rc) | (R2(s) / s + j f X(s))
    torque = sum of +-3 |I2|^2 R2(s) / s / f                      (in watts at synchronous speed)

so reversal, single phasing and a stalled rotor need no special case. R2 grows and leakage falls with the root of slip between
running and standstill (skin effect and saturation).

Source: symmetrical components of the induction machine; Fitzgerald, Kingsley, Umans, Electric Machinery, chapter 6 (from memory).
"""

import math
from typing import Any, NamedTuple

from scenarios.compiling.kernel import compiled
from scenarios.electrical.parts import Motor

TURN = complex(-0.5, 0.8660254037844386)
"""Rotation by 120 degrees [-]."""
BACK = complex(-0.5, -0.8660254037844386)
"""Rotation by 240 degrees [-]."""
NEVER = 1e30
"""Longer than anything [s]."""
NEARBY = 1e-4
"""First secant step from a speed that is nearly right [-]."""
MOST_RUN_UP = 60.0
"""A rotor that needs longer hangs below speed and counts as stalled [s]."""


class Rotor(NamedTuple):
    """Rotor side of one sequence circuit at one slip."""

    resistance: float
    """Over slip. [ohm]"""
    leakage: float
    """Reactance, the stator's alike. [ohm]"""


@compiled
def rotor_side(motor: Motor, slip: float, f: float) -> Rotor:
    """Resistance over slip, and leakage.

    Parameters
    ----------
    motor : Motor
        Its equivalent circuit.
    slip : float
        Slip of the rotor against this sequence's field. [-]
    f : float
        Frequency over supply frequency. [-]

    Returns
    -------
    Rotor
        Both. [ohm]
    """
    depth = math.sqrt(min(abs(slip), 1.0))
    leakage = f * (motor.leakage_run + (motor.leakage_rest - motor.leakage_run) * depth)
    resistance = motor.rotor_run + (motor.rotor_rest - motor.rotor_run) * depth
    return Rotor(resistance / (slip if abs(slip) >= 1e-9 else 1e-9), leakage)


class Branch(NamedTuple):
    """One sequence circuit at one slip."""

    impedance: complex
    """[ohm]"""
    share: complex
    """Rotor over stator current. [-]"""
    rotor: float
    """Rotor resistance over slip. [ohm]"""


@compiled
def branch(motor: Motor, slip: float, f: float) -> Branch:
    """Per-phase circuit of one sequence.

    Parameters
    ----------
    motor : Motor
        Its equivalent circuit.
    slip : float
        Slip of the rotor against this sequence's field. [-]
    f : float
        Frequency over supply frequency. [-]

    Returns
    -------
    Branch
        Impedance [ohm], rotor share of the current [-], rotor resistance over slip. [ohm]
    """
    rotor, leakage = rotor_side(motor, slip, f)
    rotor_y = 1.0 / complex(rotor, leakage)
    gap = rotor_y + 1.0 / complex(0.0, f * motor.magnetising) + 1.0 / motor.core
    return Branch(complex(motor.stator, leakage) + 1.0 / gap, rotor_y / gap, rotor)


@compiled
def square(z: complex) -> float:
    """Magnitude squared of z [any unit]; the unit squared."""
    return z.real * z.real + z.imag * z.imag


@compiled
def gap_power(motor: Motor, volts_squared: float, slip: float, f: float) -> float:
    """Torque of one sequence, as watts at synchronous speed.

    Parameters
    ----------
    motor : Motor
        Its equivalent circuit.
    volts_squared : float
        Square of the sequence voltage to neutral. [V2]
    slip, f : float
        Slip against this field, frequency over supply frequency. [-]

    Returns
    -------
    float
        Three-phase gap power over f. [W]
    """
    rotor, leakage = rotor_side(motor, slip, f)
    # `branch` over common denominators, as most of a solve goes here: gap = (p - jq) / size, impedance = (re + j im) / square
    size = rotor * rotor + leakage * leakage
    p, q = rotor + size / motor.core, leakage + size / (f * motor.magnetising)
    square = p * p + q * q
    re, im = motor.stator * square + size * p, leakage * square + size * q
    return 3.0 * volts_squared * size * square * rotor / ((re * re + im * im) * f)


@compiled
def demand(motor: Motor, load: float, n: float) -> float:
    """Torque the shaft asks for, as watts at synchronous speed.

    Parameters
    ----------
    motor : Motor
        Rated figures and the load's law.
    load : float
        Load torque at rated speed over rated torque. [-]
    n : float
        Speed over synchronous speed. [-]

    Returns
    -------
    float
        [W]
    """
    ratio = n / motor.rated_speed
    asked = load * motor.output / motor.rated_speed
    for _ in range(motor.law):
        asked *= ratio
    return asked + motor.friction * ratio / motor.rated_speed


@compiled
def surplus(motor: Motor, forward: float, backward: float, load: float, n: float, f: float) -> float:
    """Torque left to accelerate, as watts at synchronous speed.

    Parameters
    ----------
    motor : Motor
        The machine.
    forward, backward : float
        Squares of the sequence voltages. [V2]
    load, n, f : float
        Load, speed, frequency, each over its rated or synchronous value. [-]

    Returns
    -------
    float
        [W]
    """
    drives = gap_power(motor, forward, (f - n) / f, f) - gap_power(motor, backward, (f + n) / f, f)
    return drives - demand(motor, load, n)


@compiled
def steady_speed(motor: Motor, forward: float, backward: float, load: float, f: float) -> float:
    """Speed at which a running motor settles; zero if it pulls out and stalls.

    Marches down from synchronous speed to the first speed with torque to spare, then closes in on the root by regula falsi with
    the Illinois weight. Starts from the same speed always, so the answer depends on its arguments alone.

    Parameters
    ----------
    motor : Motor
        The machine.
    forward, backward : float
        Squares of the sequence voltages. [V2]
    load, f : float
        Load over rated torque, frequency over supply frequency. [-]

    Returns
    -------
    float
        Speed over synchronous speed. [-]
    """
    if motor.seized or forward < 1.0:
        return 0.0
    high, at_high = f, surplus(motor, forward, backward, load, f, f)
    low, at_low = high, at_high
    for _ in range(20):
        low = high - 0.03 * f
        at_low = surplus(motor, forward, backward, load, low, f)
        if at_low > 0.0:
            break
        high, at_high = low, at_low
    if at_low <= 0.0:
        return 0.0
    n = low
    for _ in range(60):
        n = (low * at_high - high * at_low) / (at_high - at_low)
        at = surplus(motor, forward, backward, load, n, f)
        if abs(at) < 1e-11 * motor.output or high - low < 1e-14:
            break
        if at > 0.0:
            if n - low < 0.5 * (high - low):
                at_high *= 0.5
            low, at_low = n, at
        else:
            if high - n < 0.5 * (high - low):
                at_low *= 0.5
            high, at_high = n, at
    return n


@compiled
def nearby_speed(motor: Motor, forward: float, backward: float, load: float, f: float, near: float) -> float:
    """Speed at which a running motor settles after its volts changed a little; zero if it is not found close by.

    Secant steps from the speed before. What it finds is the same root that `steady_speed` finds, because between breakdown and
    synchronous speed there is only one.

    Parameters
    ----------
    motor : Motor
        The machine.
    forward, backward : float
        Squares of the sequence voltages. [V2]
    load, f, near : float
        Load over rated torque, frequency over supply frequency, speed before. [-]

    Returns
    -------
    float
        Speed over synchronous speed. [-]
    """
    before, at_before = near + NEARBY * f, surplus(motor, forward, backward, load, near + NEARBY * f, f)
    n, at = near, surplus(motor, forward, backward, load, near, f)
    for _ in range(12):
        if abs(at) < 1e-11 * motor.output:
            return n
        slope = (at - at_before) / (n - before)
        if not slope < 0.0:
            return 0.0
        before, at_before = n, at
        n = n - at / slope
        if abs(n - near) > 100.0 * NEARBY * f:
            return 0.0
        if n == before:
            return n
        at = surplus(motor, forward, backward, load, n, f)
    return 0.0


@compiled
def run_up_time(motor: Motor, forward: float, backward: float, load: float) -> float:
    """Time from rest to nearly full speed at held terminal volts; `NEVER` where the rotor cannot get there.

    Parameters
    ----------
    motor : Motor
        The machine.
    forward, backward : float
        Squares of the sequence voltages. [V2]
    load : float
        Load over rated torque. [-]

    Returns
    -------
    float
        [s]
    """
    if motor.seized:
        return NEVER
    rated, time = motor.output / motor.rated_speed, 0.0
    for step in range(19):
        spare = surplus(motor, forward, backward, load, 0.05 * step, 1.0) / rated
        if spare <= 0.01:
            return NEVER
        time += motor.run_up * 0.05 / spare
    return min(time, MOST_RUN_UP)


class Sequences(NamedTuple):
    """Forward and backward part of three phasors that sum to anything."""

    forward: complex
    backward: complex


@compiled
def sequences(a: complex, b: complex, c: complex) -> Sequences:
    """Positive and negative sequence of three phasors a [V or A], b [V or A], c [V or A], in their unit."""
    return Sequences((a + TURN * b + BACK * c) / 3.0, (a + BACK * b + TURN * c) / 3.0)


@compiled
def stamp_sound(motor: Motor, n: float, f: float, block: Any) -> None:
    """Admittances between the leads of a motor with three like windings, floating neutral: ``block[i, j]``. [S]

    At speed n [-] over synchronous and frequency f [-] over rated.
    """
    y1 = 1.0 / branch(motor, (f - n) / f, f).impedance
    y2 = 1.0 / branch(motor, (f + n) / f, f).impedance
    ahead, behind = (TURN * y1 + BACK * y2) / 3.0, (BACK * y1 + TURN * y2) / 3.0
    for i in range(3):
        j, k = (i + 1) % 3, (i + 2) % 3
        block[i, i] = (y1 + y2) / 3.0
        block[i, j] = ahead
        block[i, k] = behind


@compiled
def stamp_windings(motor: Motor, z1: complex, z2: complex, z0: complex, block: Any) -> None:
    """Admittances between the leads from windings that differ, star point floating and eliminated: ``block[i, j]``. [S]

    Sequence impedances z1 [ohm], z2 [ohm] and z0 [ohm] of a winding.

    The winding matrix is A diag(z0, z1, z2) A^-1 plus what a fault adds to each winding; its star point carries no current.
    """
    own, ahead, behind = (z0 + z1 + z2) / 3.0, (z0 + TURN * z1 + BACK * z2) / 3.0, (z0 + BACK * z1 + TURN * z2) / 3.0
    a11, a22, a33 = own + motor.open_1, own + motor.open_2, own + motor.open_3
    c11, c12, c13 = a22 * a33 - ahead * behind, behind * behind - ahead * a33, ahead * ahead - behind * a22
    c21, c22, c23 = ahead * ahead - behind * a33, a11 * a33 - ahead * behind, behind * behind - ahead * a11
    c31, c32, c33 = behind * behind - ahead * a22, ahead * ahead - behind * a11, a11 * a22 - ahead * behind
    det = a11 * c11 + ahead * c21 + behind * c31
    block[0, 0], block[0, 1], block[0, 2] = c11 / det, c12 / det, c13 / det
    block[1, 0], block[1, 1], block[1, 2] = c21 / det, c22 / det, c23 / det
    block[2, 0], block[2, 1], block[2, 2] = c31 / det, c32 / det, c33 / det
    row0, row1, row2 = (
        block[0, 0] + block[0, 1] + block[0, 2],
        block[1, 0] + block[1, 1] + block[1, 2],
        block[2, 0] + block[2, 1] + block[2, 2],
    )
    col0, col1, col2 = (
        block[0, 0] + block[1, 0] + block[2, 0],
        block[0, 1] + block[1, 1] + block[2, 1],
        block[0, 2] + block[1, 2] + block[2, 2],
    )
    total = row0 + row1 + row2
    for i in range(3):
        row = row0 if i == 0 else (row1 if i == 1 else row2)
        block[i, 0] -= row * col0 / total
        block[i, 1] -= row * col1 / total
        block[i, 2] -= row * col2 / total


@compiled
def is_whole(motor: Motor) -> bool:
    """Whether the three windings are alike."""
    return motor.open_1 == 0.0 and motor.open_2 == 0.0 and motor.open_3 == 0.0


@compiled
def stamp(motor: Motor, n: float, f: float, block: Any) -> None:
    """Admittances between the three leads of a motor at speed `n` [-] and frequency `f` [-]: ``block[i, j]``. [S]"""
    if is_whole(motor):
        stamp_sound(motor, n, f, block)
    else:
        z1 = branch(motor, (f - n) / f, f).impedance
        z2 = branch(motor, (f + n) / f, f).impedance
        stamp_windings(motor, z1, z2, complex(motor.stator, f * motor.leakage_run), block)

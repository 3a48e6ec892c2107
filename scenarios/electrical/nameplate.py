"""From a nameplate to an equivalent circuit.

Rated amps are the master: power factor follows from output, efficiency, volts and amps. Rotational loss is the smaller of 12 % of
all losses and 2 % of output; slip gives rotor loss; of what is left for the stator 35 % is core. The rated current is then a known
phasor and the circuit follows in closed form; the leakage at standstill is found by bisection on locked-rotor amps. Assumptions
without a source: those shares, running leakage 1.35 times that at standstill, locked torque 150 %.
"""

import itertools
import math

from scenarios.electrical.parts import Motor

HORSEPOWER = 745.6998715823
"""[W]"""
EFFICIENCIES = (
    (1.0, 0.825),
    (3.0, 0.870),
    (5.0, 0.885),
    (7.5, 0.900),
    (10.0, 0.905),
    (15.0, 0.915),
    (20.0, 0.920),
    (25.0, 0.925),
    (50.0, 0.940),
)
"""Typical full-load efficiency by rated horsepower [-], where a nameplate does not say. Common practice."""
LOCKED_TORQUE = 1.5
"""Assumed locked-rotor over rated torque [-]."""
LEAKAGE_FALL = 1.35
"""Running over standstill leakage [-]."""


def usual_efficiency(hp: float) -> float:
    """Typical full-load efficiency by size, between rows by straight line. [-]"""
    if hp <= EFFICIENCIES[0][0]:
        return EFFICIENCIES[0][1]
    for (small, low), (large, high) in itertools.pairwise(EFFICIENCIES):
        if hp <= large:
            return low + (high - low) * (hp - small) / (large - small)
    return EFFICIENCIES[-1][1]


def locked_amps(motor: Motor) -> float:
    """Amps per line with the shaft held, at rated volts. [A]"""
    rotor = complex(motor.rotor_rest, motor.leakage_rest)
    gap = 1.0 / (1.0 / rotor + 1.0 / complex(0.0, motor.magnetising) + 1.0 / motor.core)
    whole = complex(motor.stator, motor.leakage_rest) + gap
    return motor.volts / math.sqrt(3.0) / math.sqrt(whole.real**2 + whole.imag**2)


def fit(hp: float, volts: float, amps: float, locked: float, slip: float, efficiency: float = 0.0) -> Motor:
    """Equivalent circuit of a nameplate.

    Parameters
    ----------
    hp : float
        Rated output. [hp]
    volts, amps, locked : float
        Rated line volts [V], rated amps and locked-rotor amps. [A]
    slip : float
        Rated slip. [-]
    efficiency : float
        Rated efficiency; 0: typical for the size. [-]

    Returns
    -------
    Motor
        Record that draws rated amps at rated output and volts.
    """
    output, phase = hp * HORSEPOWER, volts / math.sqrt(3.0)
    efficiency = efficiency or usual_efficiency(hp)
    apparent = math.sqrt(3.0) * volts * amps
    factor = min(output / efficiency / apparent, 0.93)  # a plate that claims more is taken at its amps, not at its efficiency
    power_in = apparent * factor
    losses = max(power_in - output, 0.02 * output)
    friction = min(0.12 * losses, 0.02 * output)
    slip = min(slip, 0.75 * (losses - friction) / (output + losses))
    gap = (output + friction) / (1.0 - slip)
    stator_loss = max(power_in - gap, 0.1 * losses)
    core_loss, stator = 0.35 * stator_loss, 0.65 * stator_loss / (3.0 * amps * amps)
    current = complex(amps * factor, -amps * math.sqrt(1.0 - factor * factor))
    motor = Motor(volts, amps, output, 1.0 - slip, stator, 0.0, 0.0, 0.0, 0.0, 1e9, 1e9, friction)
    rest = _locked_leakage(motor, locked, gap)
    for _ in range(10):
        leakage = LEAKAGE_FALL * rest
        while not _running(motor, phase, current, gap, core_loss, slip, leakage) and leakage > 1e-3:
            leakage *= 0.95
        rest = _locked_leakage(motor, locked, gap)
    return motor


def _running(motor: Motor, phase: float, current: complex, gap: float, core_loss: float, slip: float, leakage: float) -> bool:
    """Close the rated point with one running leakage; false where it leaves no real circuit."""
    depth = math.sqrt(slip)
    at_slip = leakage + (motor.leakage_rest - leakage) * depth if motor.leakage_rest else leakage
    emf = phase - current * complex(motor.stator, at_slip)
    square = emf.real**2 + emf.imag**2
    k = 3.0 * square / gap
    if k < 2.0 * at_slip:
        return False
    rotor = 0.5 * (k + math.sqrt(k * k - 4.0 * at_slip * at_slip))
    reactive = (emf * current.conjugate()).imag - square * at_slip / (rotor * rotor + at_slip * at_slip)
    if reactive <= 0.0:
        return False
    running = rotor * slip
    if motor.rotor_rest:  # the running value is read on the curve between running and standstill
        running = (running - motor.rotor_rest * depth) / (1.0 - depth)
        running = max(running, 0.2 * rotor * slip)
    motor.rotor_run, motor.leakage_run = running, leakage
    motor.magnetising, motor.core = square / reactive, 3.0 * square / core_loss
    return True


def _locked_leakage(motor: Motor, locked: float, gap: float) -> float:
    """Set rotor resistance and leakage at standstill for locked torque and locked amps; return the leakage. [ohm]"""
    low, high = 1e-4, motor.volts / locked
    motor.rotor_rest = max(LOCKED_TORQUE * gap / (3.0 * locked * locked), motor.rotor_run)
    for _ in range(80):
        motor.leakage_rest = 0.5 * (low + high)
        if locked_amps(motor) > locked:
            low = motor.leakage_rest
        else:
            high = motor.leakage_rest
    return motor.leakage_rest

"""Motor: nameplates met, symmetrical components, single phasing, and published relations."""

import math

import numpy as np
import pytest

from scenarios.compiling.kernel import plain
from scenarios.electrical import motor as induction
from scenarios.electrical.nameplate import fit, locked_amps, usual_efficiency
from scenarios.electrical.parts import Motor

branch, gap_power = plain(induction.branch), plain(induction.gap_power)
steady_speed, run_up_time = plain(induction.steady_speed), plain(induction.run_up_time)
sequences, stamp_sound, stamp_windings = plain(induction.sequences), plain(induction.stamp_sound), plain(induction.stamp_windings)

PLATES = [
    (3, 460, 4.4, 32, 1745),
    (5, 460, 6.6, 46, 1745),
    (7.5, 460, 9.9, 63, 1755),
    (10, 460, 13.2, 81, 1750),
    (15, 460, 19.5, 116, 1750),
    (20, 460, 25.5, 145, 1755),
    (25, 460, 32.0, 183, 1760),
    (50, 460, 65.0, 363, 1770),
    (7.5, 400, 11.3, 75, 1755),
]
A = complex(-0.5, math.sqrt(3) / 2)


def made(plate: tuple[float, ...]) -> Motor:
    hp, volts, amps, locked, rpm = plate
    return fit(hp, volts, amps, locked, 1 - rpm / 1800)


def running(motor: Motor, load: float = 1.0, share: float = 1.0) -> tuple[float, float]:
    """Speed and amps at a load and a share of rated volts."""
    square = (share * motor.volts) ** 2 / 3
    n = steady_speed(motor, square, 0.0, load, 1.0)
    return n, math.sqrt(square) / abs(branch(motor, 1 - n, 1.0).impedance)


@pytest.mark.parametrize("plate", PLATES)
def test_nameplate_is_met(plate: tuple[float, ...]) -> None:
    """Rated amps, rated speed and locked-rotor amps come back out of the circuit."""
    motor = made(plate)
    n, amps = running(motor)
    assert amps == pytest.approx(plate[2], rel=2e-4)
    assert n == pytest.approx(motor.rated_speed, abs=2e-5)
    assert n * 1800 == pytest.approx(plate[4], abs=1.0)
    assert locked_amps(motor) == pytest.approx(plate[3], rel=1e-3)


@pytest.mark.parametrize("plate", PLATES[2:])
def test_torques_of_an_ordinary_design(plate: tuple[float, ...]) -> None:
    """NEMA MG 1 design B, 7.5 to 50 hp: locked torque 135-200 %, breakdown 200-300 % (from memory; 5 % of room)."""
    motor = made(plate)
    rated, square = motor.output / motor.rated_speed, motor.volts**2 / 3
    torques = [gap_power(motor, square, s / 200, 1.0) / rated for s in range(1, 201)]
    assert 1.28 <= torques[-1] <= 2.1
    assert 1.9 <= max(torques) <= 3.15


def test_torque_goes_with_the_square_of_volts() -> None:
    """NEMA MG 1: 90 % volts leave 81 % torque (from memory)."""
    motor = made(PLATES[0])
    assert gap_power(motor, 0.81 * 70e3, 1.0, 1.0) / gap_power(motor, 70e3, 1.0, 1.0) == pytest.approx(0.81, rel=1e-12)


def test_power_balance_at_full_load() -> None:
    """Electrical power in = rotor gap power + stator and core loss, to rounding."""
    motor = made(PLATES[3])
    n, amps = running(motor)
    phase = motor.volts / math.sqrt(3)
    part = branch(motor, 1 - n, 1.0)
    power_in = 3 * phase * phase * (1 / part.impedance).real
    emf = phase * (1 - complex(motor.stator, _leakage(motor, 1 - n)) / part.impedance)
    losses = 3 * amps**2 * motor.stator + 3 * abs(emf) ** 2 / motor.core
    assert power_in == pytest.approx(gap_power(motor, phase**2, 1 - n, 1.0) + losses, rel=1e-10)


def _leakage(motor: Motor, slip: float) -> float:
    return motor.leakage_run + (motor.leakage_rest - motor.leakage_run) * math.sqrt(slip)


def test_sequences_of_a_lone_phasor_and_of_a_balanced_set() -> None:
    assert sequences(1 + 0j, A.conjugate(), A) == pytest.approx((1, 0), abs=1e-15)
    assert sequences(3 + 0j, 0j, 0j) == pytest.approx((1, 1))


@pytest.mark.parametrize("n", [0.0, 0.5, 0.97, -0.97])
def test_leads_see_each_sequence_through_its_own_circuit(n: float) -> None:
    """Balanced volts forward or backward: the block gives V/Z1 and V/Z2, and no current into the star point."""
    motor, block = made(PLATES[1]), np.zeros((3, 3), complex)
    stamp_sound(motor, n, 1.0, block)
    for turn, slip in ((A.conjugate(), 1 - n), (A, 1 + n)):
        amps = block @ np.array([1, turn, turn.conjugate()])
        assert amps[0] == pytest.approx(1 / branch(motor, slip, 1.0).impedance, rel=1e-12)
    assert np.abs(block.sum(0)).max() < 1e-15
    assert np.abs(block.sum(1)).max() < 1e-15


def test_windings_one_by_one_equal_the_whole_where_all_are_sound() -> None:
    """The star-point elimination with nothing wrong gives the terminal block, whatever the zero-sequence impedance."""
    motor, whole, parts = made(PLATES[4]), np.zeros((3, 3), complex), np.zeros((3, 3), complex)
    z1, z2 = (branch(motor, s, 1.0).impedance for s in (0.03, 1.97))
    stamp_sound(motor, 0.97, 1.0, whole)
    for z0 in (0.2 + 0.4j, 3 + 9j):
        stamp_windings(motor, z1, z2, z0, parts)
        assert np.abs(parts - whole).max() < 1e-14


def test_open_winding_carries_nothing() -> None:
    motor, block = made(PLATES[4]), np.zeros((3, 3), complex)
    motor.open_2 = 1e9
    z = branch(motor, 1.0, 1.0).impedance
    stamp_windings(motor, z, z, 0.1 + 0.3j, block)
    amps = block @ (277 * np.array([1, A.conjugate(), A]))
    assert abs(amps[1]) < 1e-6
    assert abs(amps[0]) == pytest.approx(480 * 277 / 277.128 / abs(2 * z), rel=2e-3), "line to line over two windings in series"


def test_locked_on_two_lines_e2() -> None:
    """Phenomenon E2: with one line open a standing motor draws 0.866 of its locked amps, without torque (by symmetry)."""
    motor, block = made(PLATES[0]), np.zeros((3, 3), complex)
    stamp_sound(motor, 0.0, 1.0, block)
    y = block[1:, 1:] - np.outer(block[1:, 0], block[0, 1:]) / block[0, 0]
    amps = y @ (motor.volts / math.sqrt(3) * np.array([A.conjugate(), A]))
    assert abs(amps[0]) / locked_amps(motor) == pytest.approx(math.sqrt(3) / 2, rel=1e-12)
    square = motor.volts**2 / 12
    assert gap_power(motor, square, 1.0, 1.0) - gap_power(motor, square, 1.0, 1.0) == 0.0
    assert run_up_time(motor, square, square, 0.0) >= 1e29


@pytest.mark.parametrize(("ratio", "degrees", "ab", "ca"), [
    (1, 0, 230.0, 230.0), (6, 0, 365.9, 365.9), (10, 0, 398.9, 398.9), (20, 0, 427.6, 427.6), (6, 20, 391.2, 349.1)])  # fmt: skip
def test_back_fed_volts(ratio: float, degrees: float, ab: float, ca: float) -> None:
    """Volts on the lost line of a 460 V motor by |Z1/Z2|: V_a = j V_bc (Z1 - Z2) / (sqrt 3 (Z1 + Z2)), V_ab = 1.5 V_a - V_bc / 2.

    Derived from symmetrical components; five rows computed by hand for a table of back-fed volts, to 0.1 V.
    Here the block of a motor's leads is given those two impedances and its open lead is left floating.
    """
    y1, y2 = 1 / (ratio * complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))), 1.0
    matrix = np.array([[(y1 * A ** ((j - i) % 3) + y2 * A ** ((i - j) % 3)) / 3 for j in range(3)] for i in range(3)])
    b, c = 460 / math.sqrt(3) * A.conjugate(), 460 / math.sqrt(3) * A
    a = -(matrix[0, 1] * b + matrix[0, 2] * c) / matrix[0, 0]
    assert sorted([abs(a - b), abs(c - a)]) == pytest.approx(sorted([ab, ca]), abs=0.06)


def test_reversed_supply_turns_it_backward_alike() -> None:
    motor, square = made(PLATES[2]), PLATES[2][1] ** 2 / 3
    assert steady_speed(motor, square, 0.0, 0.5, 1.0) > 0.97
    assert gap_power(motor, square, 1 + 0.98, 1.0) > 0.0, "against the field it brakes"


def test_too_much_load_stalls_and_a_seized_shaft_does_not_turn() -> None:
    motor, square = made(PLATES[2]), PLATES[2][1] ** 2 / 3
    assert steady_speed(motor, square, 0.0, 5.0, 1.0) == 0.0
    motor.seized = True
    assert steady_speed(motor, square, 0.0, 0.1, 1.0) == 0.0
    assert run_up_time(motor, square, 0.0, 0.0) >= 1e29


def test_drive_frequency_scales_speed() -> None:
    """Constant volts per hertz: slip speed stays about what it was at the same torque."""
    motor = made(PLATES[2])
    motor.law = 0
    full = steady_speed(motor, motor.volts**2 / 3, 0.0, 0.8, 1.0)
    half = steady_speed(motor, (motor.volts / 2) ** 2 / 3, 0.0, 0.8, 0.5)
    assert 0.5 - half == pytest.approx(1.0 - full, rel=0.35)
    assert 0.46 < half < 0.5


def test_any_plate_gives_a_circuit() -> None:
    """2,000 random, often inconsistent nameplates: rated amps exact, nothing negative, nothing infinite."""
    rng = np.random.default_rng(3)
    for _ in range(2000):
        hp, rpm = rng.uniform(0.5, 100), rng.uniform(1650, 1790)
        amps = hp * 745.7 / (math.sqrt(3) * 460 * rng.uniform(0.5, 0.9) * usual_efficiency(hp))
        motor = fit(hp, 460, amps, amps * rng.uniform(4.5, 8), 1 - rpm / 1800)
        values = [
            motor.stator,
            motor.rotor_run,
            motor.rotor_rest,
            motor.leakage_run,
            motor.leakage_rest,
            motor.magnetising,
            motor.core,
        ]
        assert all(math.isfinite(v) and v > 0 for v in values)
        part = branch(motor, 1 - motor.rated_speed, 1.0)
        assert 460 / math.sqrt(3) / abs(part.impedance) == pytest.approx(amps, rel=0.02)

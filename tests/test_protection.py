"""Overload relays, breakers, fuses, conductors: published bands and tables."""

import math

import pytest

from scenarios.compiling.kernel import plain
from scenarios.electrical import joints, protection
from scenarios.electrical.conductors import TABLE_8, ohms_per_metre, reactance_per_metre

time_to_reach, advanced, drive_to, fade_of = (
    plain(f) for f in (protection.time_to_reach, protection.advanced, protection.drive_to, protection.fade_of))  # fmt: skip


def trip_time(trip_class: float, multiple: float, warm: float = 0.0) -> float:
    relay = protection.overload(1.0, trip_class)
    return time_to_reach(warm, drive_to(multiple, relay.rating), relay.trips_at, relay.tau)


@pytest.mark.parametrize(("trip_class", "least", "most"), [(10, 4, 10), (20, 6, 20), (30, 9, 30)])
def test_cold_at_7_2_times_the_dial(trip_class: float, least: float, most: float) -> None:
    """IEC 60947-4-1 table 2 (read): class 10 4-10 s, class 20 6-20 s, class 30 9-30 s."""
    assert least < trip_time(trip_class, 7.2) <= most


@pytest.mark.parametrize("trip_class", [10, 20, 30])
def test_within_its_class_at_six_times(trip_class: float) -> None:
    """NEMA ICS 2: class N trips within N seconds at 600 % (600 % from memory)."""
    assert trip_time(trip_class, 6.0) <= trip_class


@pytest.mark.parametrize(("trip_class", "minutes"), [(10, 4), (20, 8), (30, 12)])
def test_warm_at_one_and_a_half(trip_class: float, minutes: float) -> None:
    """IEC 60947-4-1 table 2 (from memory): after balance at its dial it trips before 4, 8, 12 minutes."""
    assert trip_time(trip_class, 1.5, warm=1.0) < 60 * minutes


def test_never_at_1_05_and_within_two_hours_at_1_2() -> None:
    """IEC 60947-4-1 (from memory): 1.05 times none in two hours from cold; then 1.2 times within two hours."""
    assert trip_time(10, 1.05) > 7200.0
    assert trip_time(10, 1.2, warm=1.05**2) < 7200.0


@pytest.mark.parametrize(("multiple", "most"), [(1.35, 3600.0), (2.0, 120.0)])
def test_breaker_30_a(multiple: float, most: float) -> None:
    """UL 489 (from memory): 135 % within one hour, 200 % within 2 minutes up to 30 A, and 100 % for ever."""
    breaker = protection.breaker(30.0, 10.0)
    assert time_to_reach(0.0, multiple**2, breaker.trips_at, breaker.tau) < most
    assert time_to_reach(0.0, 1.0, breaker.trips_at, breaker.tau) >= 1e29


def test_time_delay_fuse_rides_a_start_and_melts_on_a_short() -> None:
    """Dual-element fuse (common practice): five times its rating is carried for some tenths of a second, 20 times is not."""
    fuse = protection.fuse(10.0)
    assert time_to_reach(0.0, 25.0, fuse.trips_at, fuse.tau) > 0.4
    assert time_to_reach(0.0, 400.0, fuse.trips_at, fuse.tau) < 0.05


def test_heat_in_two_halves_is_heat_in_one() -> None:
    """The law is advanced exactly, so a span may be cut anywhere."""
    once = advanced(0.3, 4.0, fade_of(5.0, 214.0))
    twice = advanced(advanced(0.3, 4.0, fade_of(1.3, 214.0)), 4.0, fade_of(3.7, 214.0))
    assert once == pytest.approx(twice, rel=1e-14)
    t = time_to_reach(0.3, 4.0, 1.32, 214.0)
    assert advanced(0.3, 4.0, fade_of(t, 214.0)) == pytest.approx(1.32, rel=1e-12)


@pytest.mark.parametrize(("awg", "ohms"), [("12", 1.98), ("10", 1.24), ("8", 0.778), ("6", 0.491), ("4", 0.308), ("3", 0.245),
    ("2", 0.194),
                                          ("1", 0.154), ("1/0", 0.122)])  # fmt: skip
def test_table_8_stranded(awg: str, ohms: float) -> None:
    """NFPA 70 chapter 9 table 8, stranded uncoated copper, 75 C (read): ohms per 1000 ft."""
    assert ohms_per_metre(awg) * 304.8 == pytest.approx(ohms, rel=1e-12)


def test_table_8_at_20_degrees() -> None:
    """Note 2 of table 8: 20 C gives 0.8224 of the table (read; computed)."""
    assert ohms_per_metre("12", 20.0) / ohms_per_metre("12") == pytest.approx(0.8224, abs=5e-5)


@pytest.mark.parametrize(("awg", "amps", "feet", "drop"), [
    ("10", 14, 250, 7.52), ("12", 7.6, 200, 5.21), ("8", 34, 300, 13.74), ("4", 65, 400, 13.87), ("6", 65, 150, 8.29)])  # fmt: skip
def test_three_phase_drop(awg: str, amps: float, feet: float, drop: float) -> None:
    """Root 3 I R L / 1000 with table 8, one-way length (five rows computed from the table, 0.005 V)."""
    assert math.sqrt(3) * amps * ohms_per_metre(awg) * feet * 0.3048 == pytest.approx(drop, abs=0.006)


@pytest.mark.parametrize(("awg", "z"), [("4", 0.2951), ("1/0", 0.1310), ("10", 1.053)])
def test_effective_impedance(awg: str, z: float) -> None:
    """Table 9 note 2: Z = R pf + X sin(arccos pf), steel, 0.85 (computed rows); R of table 9, rounded, is within 4 % of table 8."""
    table_9 = {"4": 0.31, "1/0": 0.12, "10": 1.2}[awg]
    x = reactance_per_metre(awg) * 304.8
    assert table_9 * 0.85 + x * 0.5268 == pytest.approx(z, abs=2e-3)
    assert TABLE_8[awg] == pytest.approx(table_9, rel=0.04)


def test_sound_joint_stays_cool() -> None:
    """0.2 milliohm at 40 A: 0.3 W, 5.8 K by hand; that it does not age at all is shown on the whole store."""
    assert plain(joints.rise)(40.0, 2e-4) == pytest.approx(5.76)


def test_loose_lug_by_hand() -> None:
    """0.3 ohm at 4 A: 4.8 W, at 18 K/W 86 K over the panel's air."""
    assert plain(joints.rise)(4.0, 0.3) == pytest.approx(86.4)
    assert joints.colour(86.4) == "bright"
    assert joints.colour(120.0) == "brown"
    assert joints.colour(200.0) == "blue"

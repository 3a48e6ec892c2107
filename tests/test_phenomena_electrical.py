"""What must emerge when something electrical breaks: one test per row, a fault being a change of parameters and nothing else.

Rows and bands are common practice of the trade unless one names a source. The store is the 480Y/277 V corner market; mark 5 is the
spray pump (3 hp, dial 5.4 A, class 10), mark 6 the fan on its drive.
"""

import pytest
from edits import blow, change, foreign, phase_volts
from motor_room import amps, call, load_of, running, until

from scenarios.electrical.meters import Probe
from scenarios.electrical.network import Network

LIVE_AND_EARTH = ["K5:4", "K5:6", "PE"]


@pytest.fixture
def network() -> Network:
    return running().fork()


# ---- E1 ---------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("load", "least", "most"), [(0.25, 1.5, 1.85), (0.5, 1.6, 1.9), (0.8, 1.65, 2.0), (1.0, 1.7, 2.1)])
def test_e1_one_line_open_running(network: Network, load: float, least: float, most: float) -> None:
    """Back-fed unequally, 190-225 V to earth, 50-115 V across the pole, 0 / k / k amps, k 1.65-1.9; a tenth of room for 3 hp."""
    load_of(network, "M5", load)
    network.step(5.0)
    before = amps(network, "M5")[1]
    change(network, "pole_burnt K5 0", True)
    network.step(5.0)
    probe, after = Probe(network), amps(network, "M5")
    line = probe.volts("K5:1", "K5:3")
    one, other = sorted(probe.volts("K5:2", end) / line for end in ("K5:4", "K5:6"))
    assert after[0] < 0.01
    assert least < after[1] / before < most
    assert after[1] == pytest.approx(after[2], rel=1e-3)
    assert 0.70 < one < 0.93
    assert 0.86 < other < 0.95
    assert one < other
    assert 170 < probe.volts("K5:2", "PE") < 260
    assert 25 < probe.volts("K5:1", "K5:2") < 125
    assert network.outputs.speed[4] > 0.9, "at or under rated load it does not stall"


def test_e1_overload_may_never_trip_at_half_load_and_trips_in_minutes_at_full(network: Network) -> None:
    change(network, "pole_burnt K5 0", True)
    half, full = network.fork(), network.fork()
    load_of(half, "M5", 0.5)
    load_of(full, "M5", 1.0)
    assert until(half, "overload trips", "F5", 3600.0) == float("inf")
    assert 30 < until(full, "overload trips", "F5", 600.0) < 240


# ---- E2 ---------------------------------------------------------------------------------------------------------------------


def test_e2_one_line_open_at_rest(network: Network) -> None:
    """Half-way: 240 V to each live line, 139 to earth, 416 across; growls; 0.866 of locked amps; class 10 trips in seconds."""
    call(network, "KR5", False)
    network.step(5.0)
    change(network, "pole_burnt K5 0", True)
    call(network, "KR5", True)
    network.step(1.0)
    probe = Probe(network)
    line = probe.volts("K5:3", "K5:5")
    assert probe.volts("K5:2", "K5:4") / line == pytest.approx(0.5, abs=0.003)
    assert probe.volts("K5:2", "K5:6") / line == pytest.approx(0.5, abs=0.003)
    assert [probe.volts("K5:2", end) for end in LIVE_AND_EARTH] == pytest.approx([240, 240, 139], rel=0.025)
    assert probe.volts("K5:1", "K5:2") == pytest.approx(416, rel=0.02)
    assert network.outputs.picked[network.number["K5"]]
    assert network.outputs.speed[4] == 0.0
    locked = network.fork()
    change(locked, "pole_burnt K5 0", False)
    change(locked, "seized M5", True)
    locked.step(0.0)
    assert amps(network, "M5")[1] / amps(locked, "M5")[1] == pytest.approx(3**0.5 / 2, rel=0.01)
    trip = until(network, "overload trips", "F5", 60.0)
    assert 3 < trip < 15, "seconds, by its class, inside the plant's step"
    network.step(5.0)
    assert network.state.motors.growl[4] == pytest.approx(1.0 + trip, abs=0.01)
    assert not network.outputs.picked[network.number["K5"]]
    assert network.most_amps("M5:T2") > 25


def test_e2_same_seconds_whatever_the_step(network: Network) -> None:
    """A trip falls at its own instant, not on the grid of steps."""
    change(network, "seized M5", True)
    times = []
    for dt in (0.5, 5.0, 30.0):
        world = network.fork()
        call(world, "KR5", False)
        world.step(5.0)
        call(world, "KR5", True)
        times.append(until(world, "overload trips", "F5", 60.0, dt))
    assert times[1] == pytest.approx(times[0], rel=1e-9)
    assert times[2] == pytest.approx(times[0], rel=1e-9)


def test_e2_seen_and_heard_by_who_watches_the_start(network: Network) -> None:
    """Clunk, growl, trip: the same phenomenon as a watcher has it, with locked amps on two leads and the clamps' maxima kept."""
    call(network, "KR5", False)
    network.step(30.0)
    change(network, "pole_burnt K5 0", True)
    call(network, "KR5", True)
    seen = network.start(20.0)
    words = [(what, mark) for _, what, mark in seen.events]
    assert words == [("pulls in", "K5"), ("growls", "M5"), ("overload trips", "F5"), ("lets go", "K5")]
    trip = seen.events[2][0]
    assert seen.growl["M5"] == pytest.approx(trip, abs=1e-6)
    assert seen.most["M5"] == pytest.approx([0.0, 28.4, 28.4], abs=0.9)
    assert network.most_amps("M5:T1") > 25, "the healthy start before it is still held"


# ---- E6, E7 -----------------------------------------------------------------------------------------------------------------


def test_e6_one_fuse_blown(network: Network) -> None:
    """Running motor: volts on both sides to everything, 50-115 across it, none without a load behind it; ohms finds it.

    A transformer on the dead line: full volts to earth downstream, nothing to its other primary lead.
    """
    blow(network, "FU8", 0, True)
    network.step(5.0)
    probe = Probe(network)
    assert probe.volts("FU8:2", "PE") == pytest.approx(277, rel=0.02)
    assert probe.volts("TR8:H1", "TR8:H4") < 1.0
    assert probe.volts("FU8:1", "FU8:2") == pytest.approx(480, rel=0.02)
    assert probe.volts("X1", "X2") < 1.0
    network.operate("Q8", "off")
    dead = Probe(network)
    assert dead.ohms("FU8:1", "FU8:2") > 1e6 > 1.0 > dead.ohms("FU8:3", "FU8:4")


def test_e6_pole_as_a_blown_fuse_with_the_motor_running(network: Network) -> None:
    change(network, "pole_burnt Q5 0", True)
    load_of(network, "M5", 0.7)
    network.step(5.0)
    probe = Probe(network)
    assert min(probe.volts("Q5:2", end) for end in ("Q5:4", "Q5:6")) > 340
    assert 50 < probe.volts("Q5:1", "Q5:2") < 115


def test_e7_pole_burnt_open_shows_only_while_something_draws(network: Network) -> None:
    """Coil in, full volts on the line side, hundreds of volts across one pole and millivolts across the others."""
    change(network, "pole_burnt K5 1", True)
    network.lift("F5:2T1")
    network.lift("F5:4T2")
    network.lift("F5:6T3")
    network.step(5.0)
    idle = Probe(network)
    assert network.outputs.picked[network.number["K5"]]
    assert idle.volts("K5:1", "K5:3") == pytest.approx(480, rel=0.02)
    assert idle.volts("K5:3", "K5:4", "low") == pytest.approx(idle.volts("K5:3", "PE") * 0, abs=5), (
        "nothing behind it but a wire end that floats"
    )
    for lead in ("F5:2T1", "F5:4T2", "F5:6T3"):
        network.land(lead)
    network.step(1.0)
    drawing = Probe(network)
    across = [drawing.volts(f"K5:{n}", f"K5:{n + 1}", "low") for n in (1, 3, 5)]
    assert across[1] > 350
    assert max(across[0], across[2]) < 0.5


def test_e17_seized_draws_locked_amps_on_three(network: Network) -> None:
    call(network, "KR5", False)
    network.step(5.0)
    change(network, "seized M5", True)
    call(network, "KR5", True)
    network.step(1.0)
    assert amps(network, "M5") == pytest.approx([32 * 476 / 460] * 3, rel=0.03), "nameplate 32 A at 460 V"


# ---- E22, E25 ---------------------------------------------------------------------------------------------------------------


def test_e22_drive_tripped_on_a_sag_and_bypass(network: Network) -> None:
    """Display, lamp, no output; bypass runs the fan at full speed on its own overload; off and on again clears an undervoltage."""
    network.inputs.reference[:] = 0.6
    for _ in range(6):
        network.step(5.0)
    assert 0.5 < network.outputs.speed[5] < 0.62
    assert Probe(network).volts("U6:U", "U6:V") == pytest.approx(288, rel=0.04)
    for line in ("L1", "L2", "L3"):
        phase_volts(network, line, 0.65 * 277)
    network.step(1.0)
    for line in ("L1", "L2", "L3"):
        phase_volts(network, line, 277.13)
    network.step(5.0)
    lamp = next(n for n, e in enumerate(network.loads) if e.device == "H6")
    assert network.state.drives.fault[0] == 1
    assert network.outputs.speed[5] == 0.0
    assert network.outputs.energised[lamp]
    assert Probe(network).volts("U6:U", "U6:V") < 5.0
    network.operate("S6", "bypass")
    for _ in range(3):
        network.step(5.0)
    assert network.outputs.speed[5] > 0.99
    assert network.outputs.picked[network.number["K62"]]
    assert not network.outputs.picked[network.number["K61"]]
    assert network.heat("F6") > 0.0
    network.operate("S6", "drive")
    network.reset("U6")
    for _ in range(8):
        network.step(5.0)
    assert 0.5 < network.outputs.speed[5] < 0.62


def test_e22_drive_tripped_on_an_earth_fault_in_the_motor(network: Network) -> None:
    """The drive sees amps that do not come back; on bypass the same fault takes the breaker or the overload."""
    change(network, "node_leak M6:T1", 1.0 / 2.0)
    network.step(5.0)
    assert network.state.drives.fault[0] == 2
    assert network.outputs.speed[5] == 0.0
    network.operate("S6", "bypass")
    for _ in range(30):
        network.step(5.0)
    assert {("breaker trips", "Q6"), ("overload trips", "F6")} & {event[1:] for event in network.events()}


def test_e25_second_source_feeds_a_dead_panel(network: Network) -> None:
    """All breakers off and every volt gone; then 120 V from elsewhere on the control bus comes back through T2 as 480."""
    for mark in ("Q0", "Q1", "Q2", "Q3", "Q4", "Q5", "Q6"):
        network.operate(mark, "off")
    network.step(5.0)
    assert max(Probe(network).touch_volts(mark) for mark in ("Q5", "K5", "TR8", "K1")) < 1.0
    assert Probe(network).touch_volts("Q0") > 270
    foreign(network, "X1", 120.0)
    network.step(5.0)
    probe = Probe(network)
    assert probe.volts("L1", "L2") == pytest.approx(480, rel=0.03)
    assert probe.volts("L1", "L2", "low") > 450
    assert probe.touch_volts("Q5") > 200
    assert probe.touch_volts("TR8") > 200

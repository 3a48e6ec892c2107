"""What must emerge in the control circuits and at joints: one test per row, a fault being a change of parameters and nothing else.

Rows and bands are common practice of the trade unless one names a source; the store and its marks are those of `motor_room`.
"""

import pytest
from edits import change, foreign
from motor_room import amps, call, load_of, running, until

from scenarios.electrical.joints import colour
from scenarios.electrical.meters import Probe
from scenarios.electrical.network import Network


@pytest.fixture
def network() -> Network:
    return running().fork()


# ---- E12, E13 ---------------------------------------------------------------------------------------------------------------


def test_e12_one_safety_open_two_open_and_the_coil_too(network: Network) -> None:
    call(network, "HP1", False)
    network.step(5.0)
    probe = Probe(network)
    assert probe.volts("HP1:1", "HP1:2", "low") == pytest.approx(118, abs=4)
    assert probe.volts("K1:A1", "K1:A2") < 0.5
    call(network, "LP1", False)
    network.step(5.0)
    probe = Probe(network)
    full = probe.volts("X1", "X2")
    assert max(probe.volts(f"{m}:1", f"{m}:2", "low") for m in ("HP1", "LP1")) < 0.1 * full
    assert all(probe.volts(f"{m}:1", f"{m}:2") < 0.9 * full for m in ("HP1", "LP1"))
    call(network, "LP1", True)
    change(network, "load_open K1 A1-A2", True)
    network.step(5.0)
    assert Probe(network).volts("HP1:1", "HP1:2", "low") < 2.0
    assert Probe(network).volts("K1:A1", "K1:A2", "low") < 2.0


def test_e13_overload_tripped(network: Network) -> None:
    """95-96 open with the control volts across it; will not reset for a minute or more; a marginal cause then holds for hours."""
    change(network, "seized M5", True)
    call(network, "KR5", False)
    network.step(5.0)
    call(network, "KR5", True)
    assert until(network, "overload trips", "F5", 60.0) < 12
    network.step(1.0)
    probe = Probe(network)
    assert probe.volts("F5:95", "F5:96", "low") == pytest.approx(118, abs=4)
    assert probe.volts("K5:A1", "K5:A2") < 0.5
    took, felt = network.reset("F5")
    assert not took
    assert "hot" in felt
    waited = 0.0
    while not network.reset("F5")[0]:
        network.step(5.0)
        waited += 5.0
    assert 60 <= waited < 600
    change(network, "seized M5", False)
    change(network, "pole_burnt K5 2", False)
    load_of(network, "M5", 1.3)
    assert until(network, "overload trips", "F5", 3 * 3600.0, 30.0) == float("inf"), "5.9 A on a 5.4 A dial is carried"


# ---- what carries a call --------------------------------------------------------------------------------------------------


def test_loose_lug_cooks_the_pole_beside_it(network: Network) -> None:
    """0.4 ohm under the pump contactor's lug: hot, discoloured, worse; the pole burns open within some tens of hours of running."""
    change(network, "joint_ohms K5:1", 0.4)
    load_of(network, "M5", 0.85)
    network.step(30.0)
    probe = Probe(network)
    assert 0.8 < probe.volts("Q5:2", "K5:1") < 2.0
    assert probe.volts("Q5:4", "K5:3") < 0.05
    hours = until(network, "pole burns open", "K5", 100 * 3600.0, 60.0) / 3600
    wire = network.wire_number["501.4"]
    assert 10 < hours < 90
    assert colour(float(network.state.wires.peak_b[wire])) == "blue"
    assert (network.state.wires.worse_a == 1.0).all()
    assert (network.state.wires.worse_b[:wire] == 1.0).all(), "sound joints never age"
    assert amps(network, "M5")[0] < 0.01
    network.renew_joint("K5:1")
    network.replace("K5")
    network.step(5.0)
    assert amps(network, "M5") == pytest.approx([3.9] * 3, rel=0.1)


@pytest.mark.parametrize(("share", "pulls"), [(1.10, True), (1.0, True), (0.85, True), (0.60, False), (0.20, False)])
def test_contactor_picks_up_from_85_percent(network: Network, share: float, pulls: bool) -> None:
    """IEC 60947-4-1 cl. 8.2.1.2, NEMA ICS 2 (from memory): closes at any value from 85 to 110 % of rated coil volts."""
    call(network, "KR5", False)
    network.step(5.0)
    foreign(network, "K5:A1", 120.0 * share * 1.01)  # its own ohm drops a little
    network.step(1.0)
    assert bool(network.outputs.picked[network.number["K5"]]) == pulls


@pytest.mark.parametrize(("share", "holds"), [(0.76, True), (0.19, False)])
def test_contactor_drops_out_between_75_and_20_percent(network: Network, share: float, holds: bool) -> None:
    """IEC 60947-4-1 (from memory): opens fully between 75 and 20 % of rated coil volts."""
    call(network, "KR5", False)
    network.step(5.0)
    foreign(network, "K5:A1", 120.0)
    network.step(1.0)
    assert network.outputs.picked[network.number["K5"]]
    foreign(network, "K5:A1", 0.0)
    foreign(network, "K5:A1", 120.0 * share)
    network.step(1.0)
    assert bool(network.outputs.picked[network.number["K5"]]) == holds


def test_chatter_is_found_and_named(network: Network) -> None:
    """A coil fed through its own break contact can neither hold nor let go."""
    network.bridge("K62:22", "K62:A1")
    network.step(5.0)
    assert ("chatters", "K62") in [event[1:] for event in network.events()]
    assert network.state.devices.chatter[network.number["K62"]]
    assert network.state.devices.chatter.sum() == 1


def test_shorted_coil_blows_the_shared_control_fuse_again_e33(network: Network) -> None:
    change(network, "load_shorted SV3 1-2", True)
    network.step(5.0)
    assert ("fuse melts", "FU7") in [event[1:] for event in network.events()]
    assert network.outputs.energised[[n for n, e in enumerate(network.loads) if e.device.startswith("SV")]].sum() == 0
    network.replace("FU7")
    now = float(network.state.clock[0])
    network.step(5.0)
    assert ("fuse melts", "FU7") in [event[1:] for event in network.events(now - 1e-9)]


def test_healthy_start_is_short_and_held_by_the_clamp(network: Network) -> None:
    """MAX hold shows locked amps of a healthy start; the overload rides it."""
    call(network, "KR5", False)
    network.step(5.0)
    network.clear_most()
    call(network, "KR5", True)
    network.step(5.0)
    assert network.most_amps("K5:1") == pytest.approx(32 * 476 / 460, rel=0.04)
    assert network.outputs.speed[4] > 0.99
    assert not network.state.devices.tripped.any()


def test_floating_conductor_shows_on_a_high_impedance_meter_only_e31(network: Network) -> None:
    """The level switch and the controller's contact open: its return conductor floats beside a live one in the same conduit."""
    call(network, "S5", False)
    call(network, "KR5", False)
    network.step(5.0)
    probe = Probe(network)
    assert 10 < probe.volts("S5:4", "PE") < 110
    assert probe.volts("S5:4", "PE", "low") < 1.0
    assert probe.source_impedance("S5:4", "PE") > 2e5

"""The store's network: Kirchhoff, exact repetition, a memory that changes nothing, and no state that cannot be solved."""

from functools import cache
from typing import Any

import numpy as np
import pytest
from edits import change
from stores import corner_market

from scenarios.compiling.kernel import COMPILING, plain
from scenarios.electrical.layouts import HITS, MOVED, REMEMBER, SAVED
from scenarios.electrical.meters import Probe
from scenarios.electrical.network import Network
from scenarios.electrical.step import go_on
from scenarios.electrical.topology import all_wires
from scenarios.errors import BadRequest


@cache
def built() -> Network:
    network = Network.build(corner_market().wiring)
    for _ in range(4):
        network.step(5.0)
    return network


@pytest.fixture
def network() -> Network:
    return built().fork()


def fingerprint(network: Network) -> list[bytes]:
    skip = {"tally"}
    return [np.asarray(getattr(network.state, name)).tobytes() for name in SAVED if name not in skip]


def shaken(network: Network, seed: int, steps: int) -> None:
    """Random calls, cut-outs, loads, handles, faults and steps."""
    rng = np.random.default_rng(seed)
    breakers = [mark for mark, d in network.wiring.devices.items() if d.kind.startswith("breaker")]
    faults = [
        "pole_burnt K5 0",
        "pole_welded K1 1",
        "load_open K2 A1-A2",
        "load_shorted SV3 1-2",
        "seized M5",
        "contact_burnt FU5 1-2",
        "primary_open TR8",
    ]
    for _ in range(steps):
        network.inputs.follows[:] = rng.random(len(network.inputs.follows)) < 0.8
        network.inputs.load[:] = rng.uniform(0.0, 1.4, len(network.inputs.load))
        network.inputs.reference[:] = rng.random(len(network.inputs.reference))
        act = rng.random()
        if act < 0.08:
            network.operate(str(rng.choice(breakers)), "off")
        elif act < 0.3:
            network.operate(str(rng.choice(breakers)), "on")
        elif act < 0.36:
            change(network, str(rng.choice(faults)), bool(rng.random() < 0.5))
        elif act < 0.4:
            network.operate("S6", str(rng.choice(["drive", "off", "bypass"])))
        elif act < 0.43:
            network.reset(str(rng.choice(["F5", "F1", "U6"])))
        network.step(float(rng.choice([0.5, 5.0, 30.0])))


def test_current_into_every_node_sums_to_nothing(network: Network) -> None:
    """Kirchhoff over all branches, motors by their leads, to a hundredth of a microampere beside 200 A."""
    probe = Probe(network)
    probe.source("L1", "L2")
    state, net, par = network.state, network.net, network.par
    volts, total = probe._volts, np.zeros(len(network.wiring.terminals), complex)
    for rows, y in ((net.wires, state.wire_y), (net.switches, state.switch_y)):
        flow = (volts[rows.a] - volts[rows.b]) * y
        np.add.at(total, rows.a, flow)
        np.add.at(total, rows.b, -flow)
    total += volts * state.shunt
    inside = [
        net.place[n]
        for name, n in network.wiring.node.items()
        if name.startswith(("Q", "K1:", "K2:", "K3:", "K4:", "F")) and not name.endswith(("A1", "A2"))
    ]
    assert len(inside) > 60
    assert par.wires.ohms.min() > 0
    assert np.abs(total[inside]).max() < 1e-8


def test_a_healthy_store_runs(network: Network) -> None:
    probe = Probe(network)
    assert probe.volts("L1", "L2") == pytest.approx(480, rel=0.01)
    assert probe.volts("X1", "X2") == pytest.approx(120, rel=0.03)
    assert all(network.outputs.speed[:5] > 0.99)
    assert network.outputs.energised.sum() >= 18
    assert not [words for _, words, _ in network.events() if "trip" in words or "melt" in words or "chatter" in words]


def test_amps_of_a_motor_by_its_load(network: Network) -> None:
    """A nameplate's amps at its load and volts; the store gives 476 V to a 460 V motor, so a little under."""
    network.inputs.load[:] = 1.0
    network.step(5.0)
    for mark, rated in (("M1", 19.5), ("M4", 32.0), ("M5", 4.4)):
        assert Probe(network).amps(f"{mark}:T1") == pytest.approx(rated, rel=0.05)


def cycled(network: Network, steps: int) -> None:
    """A night as it mostly is: machines come and go, loads wander among a few buckets."""
    rng = np.random.default_rng(7)
    calls = [network.followers.index(f"KR{n}") for n in (1, 2, 3, 4)]
    for _ in range(steps):
        network.inputs.follows[calls[:2]] = rng.random(2) < 0.6
        network.inputs.load[:] = rng.choice([0.70, 0.78, 0.86])
        network.step(5.0)


def test_memory_on_or_off_gives_the_same_bits() -> None:
    """A solve is a pure function of its key: with a memory, with a memory of two slots, and with none."""
    with_memory, without, tiny = built().fork(), built().fork(), Network.build(built().wiring, slots=2)
    tiny.restore(built().snapshot())
    without.state.tally[REMEMBER] = 0
    for world in (with_memory, without, tiny):
        cycled(world, 250)
        shaken(world, 1, 60)
    assert with_memory.state.tally[HITS] > 60
    assert without.state.tally[HITS] == 0
    assert fingerprint(with_memory) == fingerprint(without) == fingerprint(tiny)


def test_again_and_from_a_snapshot_gives_the_same_bits() -> None:
    straight, paused = built().fork(), built().fork()
    shaken(straight, 5, 60)
    shaken(straight, 6, 60)
    shaken(paused, 5, 60)
    resumed = Network.build(paused.wiring, slots=64)
    resumed.restore(paused.snapshot())
    for name in paused.inputs._fields:
        getattr(resumed.inputs, name)[...] = getattr(paused.inputs, name)
    shaken(resumed, 6, 60)
    assert fingerprint(straight) == fingerprint(resumed)


@pytest.mark.parametrize("seed", range(10, 14))
def test_random_states_never_give_nonsense(seed: int) -> None:
    """Random handles, calls and faults: every figure finite, no node far above what the sources can give."""
    world = built().fork()
    shaken(world, seed, 150)
    assert all(np.isfinite(np.asarray(getattr(world.outputs, name))).all() for name in world.outputs._fields)
    probe = Probe(world)
    probe.source("L1", "L2")
    assert np.isfinite(probe._volts).all()
    assert np.abs(probe._volts).max() < 1000.0
    assert (np.abs(world.outputs.speed) < 1.1).all()


@pytest.mark.skipif(not COMPILING, reason="compares the compiled kernel with plain Python")
def test_plain_and_compiled_agree() -> None:
    """The same records through the same functions in plain Python, over a start, a fault and a trip."""
    fast, slow = built().fork(), built().fork()
    for world in (fast, slow):
        change(world, "pole_burnt K5 0", True)
        world.inputs.load[4] = 1.2
    for dt in (5.0, 40.0, 60.0):
        fast.step(dt)
        slow.state.tally[MOVED] = 1
        plain(go_on)(*slow.blocks, dt)
    for name in SAVED:
        if name == "tally":
            continue
        mine, theirs = np.asarray(getattr(fast.state, name)), np.asarray(getattr(slow.state, name))
        for field in mine.dtype.names or (None,):
            a, b = (mine[field], theirs[field]) if field else (mine, theirs)
            assert np.allclose(a.astype(float), b.astype(float), rtol=1e-9, atol=1e-9), (name, field)


def test_fork_is_independent(network: Network) -> None:
    twin = network.fork()
    before = fingerprint(network)
    change(twin, "seized M5", True)
    twin.step(60.0)
    assert fingerprint(network) == before
    assert not network.par.motors.seized[4]


def test_lifted_wire_takes_its_leak_along(network: Network) -> None:
    """A track to earth on the pump's leads: gone from the panel once the leads are lifted there, still there at the motor."""
    network.operate("Q5", "off")
    change(network, "node_leak M5:T1", 1.0 / 30e3)
    assert Probe(network).insulation("F5:2T1", "PE") == pytest.approx(30e3, rel=1e-3)
    for lead in ("F5:2T1", "F5:4T2", "F5:6T3"):
        network.lift(lead)
    assert Probe(network).insulation("F5:2T1", "PE") > 100e6 > 31e3 > Probe(network).insulation("M5:T1", "PE")
    for lead in ("F5:2T1", "F5:4T2", "F5:6T3"):
        network.land(lead)
    assert Probe(network).insulation("F5:2T1", "PE") == pytest.approx(30e3, rel=1e-3)


def test_carbon_reads_well_until_it_is_tested_e4(network: Network) -> None:
    """Phenomenon E4: megohms to a small current, broken down at 500 V, and a breaker that opens at once when it is closed."""
    network.operate("Q5", "off")
    network.step(5.0)
    change(network, "node_track M5:T1", 1.0 / 0.5)
    assert Probe(network).ohms("M5:T1", "PE") > 50e6
    assert Probe(network).insulation("M5:T1", "PE") < 1.0
    network.operate("Q5", "on")
    network.step(5.0)
    assert (network.events()[-2][1:] == ("breaker trips", "Q5")) or ("breaker trips", "Q5") in [e[1:] for e in network.events()]


def test_windings_isolate_and_transformers_too_for_direct_current(network: Network) -> None:
    network.operate("Q8", "off")
    network.operate("Q5", "off")
    probe = Probe(network)
    stator = float(network.par.motors.stator[4])
    assert probe.ohms("M5:T1", "M5:T2") == pytest.approx(2 * stator, rel=1e-6)
    assert probe.ohms("TR8:H1", "TR8:H4") < 200 < 1e5 < probe.ohms("TR8:H1", "TR8:X1")


def test_jumper_is_a_path_and_comes_off_again(network: Network) -> None:
    network.inputs.follows[network.followers.index("KR5")] = 0
    network.step(5.0)
    assert not network.outputs.picked[network.number["K5"]]
    network.bridge("KR5:11", "KR5:14")
    network.step(5.0)
    assert network.outputs.picked[network.number["K5"]]
    assert network.outputs.speed[4] > 0.99
    assert network.unbridge("KR5:11", "KR5:14")
    assert not network.unbridge("KR5:11", "KR5:14")
    network.step(5.0)
    assert not network.outputs.picked[network.number["K5"]]


def test_two_lines_shorted_e5(network: Network) -> None:
    """Phenomenon E5: an earth test cannot find it, the breaker does."""
    network.operate("Q5", "off")
    network.bridge("K5:1", "K5:3", 0.05)
    assert Probe(network).insulation("K5:1", "PE") > 100e6
    assert Probe(network).insulation("K5:1", "K5:3") < 0.1
    network.operate("Q5", "on")
    network.step(5.0)
    assert network.state.devices.tripped[network.number["Q5"]]
    assert not network.state.devices.tripped[network.number["Q0"]]


def test_replacing_a_part_makes_it_new_and_keeps_its_dial(network: Network) -> None:
    change(network, "pole_burnt K5 0", True)
    network.replace("K5")
    network.set_dial("F5", 4.6)
    network.replace("F5")
    assert not network.par.switches.burnt.any()
    assert network.dial("F5") == 4.6


@pytest.mark.parametrize(("act", "text"), [
    (lambda n: n.operate("K99", "on"), "'K99' is no electrical part of this store; marks look like K5"),
    (lambda n: n.operate("S6", "hand"), "S6 has no position 'hand'; it has drive, off, bypass"),
    (lambda n: n.operate("H6", "on"), "H6 cannot be put 'on'; it is a drive fault lamp"),
    (lambda n: n.set_dial("K5", 4.0), "K5 has no dial; only an overload relay has one"),
    (lambda n: n.lift("K5:2"), "K5:2: no wire of the list lands there"),
    (lambda n: Probe(n).volts("K5:9", "L1"), "'K5:9' is no terminal or rail of this store; write it as K5:1 or L1"),
])  # fmt: skip
def test_refusals_say_what_is_allowed(network: Network, act: Any, text: str) -> None:
    with pytest.raises(BadRequest) as caught:
        act(network)
    assert str(caught.value) == text


def test_names_agree_with_rows(network: Network) -> None:
    assert len(network.par.wires) == len(all_wires(network.wiring)) == len(network.wires)
    assert len(network.par.copy().wires) == len(network.par.wires)

"""The whole store's network against a circuit simulator, node by node.

The netlist is written from the parameters by other means than the kernel's stamps: sources as sources, the transformer as an
ideal pair of controlled sources behind its impedance, motors as controlled sources. Speeds are taken from the kernel.
"""

import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from edits import change
from stores import corner_market

from scenarios.compiling.kernel import plain
from scenarios.electrical import topology
from scenarios.electrical.assemble import MUTUAL, OPEN_FARADS, OPEN_SIEMENS, SHORTED_OHMS
from scenarios.electrical.meters import Probe
from scenarios.electrical.motor import stamp
from scenarios.electrical.network import Network
from scenarios.electrical.topology import all_wires, neighbours

SIMULATOR = shutil.which("ngspice")
OMEGA = 2 * np.pi * 60
pytestmark = [
    pytest.mark.oracle,
    pytest.mark.skipif(SIMULATOR is None, reason="needs a circuit simulator: apt-get install ngspice"),
]


@pytest.fixture(scope="module")
def healthy() -> Network:
    network = Network.build(corner_market().wiring)
    for _ in range(8):
        network.step(5.0)
    return network


class Netlist:
    """Lines of an alternating-current netlist over numbered nodes; node 0 is earth."""

    def __init__(self) -> None:
        self.lines, self.count = ["* store"], 0

    def add(self, letter: str, text: str) -> str:
        self.count += 1
        self.lines.append(f"{letter}{self.count} {text}")
        return f"{letter}{self.count}"

    def impedance(self, a: Any, b: Any, z: complex) -> None:
        """A resistance, and a reactance behind it if there is one."""
        middle = f"m{self.count}"
        if z.imag == 0:
            self.add("R", f"{a} {b} {z.real:.17g}")
        else:
            self.add("R", f"{a} {middle} {z.real:.17g}")
            self.add("L", f"{middle} {b} {z.imag / OMEGA:.17g}")

    def admittance(self, a: Any, b: Any, g: float, farads: float) -> None:
        if g:
            self.add("R", f"{a} {b} {1 / g:.17g}")
        if farads:
            self.add("C", f"{a} {b} {farads:.17g}")

    def transfer(self, out: Any, of: Any, y: complex) -> None:
        """Current y times the volts of one node, leaving another: real part direct, imaginary part through one farad-ohm."""
        self.add("G", f"{out} 0 {of} 0 {y.real:.17g}")
        aux = f"t{self.count}"
        self.add("E", f"{aux} 0 {of} 0 1")
        self.add("C", f"{aux} s{aux} {1 / OMEGA:.17g}")
        sense = self.add("V", f"s{aux} 0 DC 0 AC 0")
        self.add("F", f"{out} 0 {sense} {y.imag:.17g}")


def netlist(network: Network) -> list[str]:
    w, par, state, page = network.wiring, network.par, network.state, Netlist()
    node = {name: n + 1 for name, n in w.node.items()}
    for n, (_, a, b) in enumerate(all_wires(w)):
        wire = par.wires[n]
        page.impedance(node[a], node[b], complex(wire.ohms + wire.joint_a + wire.joint_b, wire.reactance))
        for end in (a, b):
            page.admittance(node[end], 0, wire.leak / 2, wire.farads / 2)
    for name, n in w.node.items():
        page.admittance(node[name], 0, par.nodes[n].leak, par.nodes[n].farads)
    for n, e in enumerate(network.switches):
        closed = abs(state.switch_y[n]) > 1e-6
        assert closed or abs(state.switch_y[n]) < 1e-8
        if closed:
            page.admittance(node[e.a], node[e.b], 1 / par.switches[n].ohms, 0.0)
        else:
            page.admittance(node[e.a], node[e.b], OPEN_SIEMENS, OPEN_FARADS)
    for n, e in enumerate(network.loads):
        load_, picked = par.loads[n], state.devices[network.number[e.device]].picked
        z = complex(load_.ohms, load_.reactance) / (1 if picked else load_.rush)
        page.impedance(node[e.a], node[e.b], complex(SHORTED_OHMS) if load_.shorted else z)
    for a, b, metres in neighbours(w):
        page.admittance(node[a], node[b], 0.0, MUTUAL * metres)
    for mark, phase in zip(("L1", "L2", "L3"), par.phases, strict=True):
        page.add("V", f"u{mark} 0 AC {np.hypot(phase.re, phase.im):.17g} {np.degrees(np.arctan2(phase.im, phase.re)):.17g}")
        page.impedance(f"u{mark}", node[f"SV:{mark}"], complex(phase.ohms, phase.reactance))
    machines(network, page, node)
    return [
        *page.lines,
        ".options reltol=1e-12 gmin=1e-20",
        ".control",
        "set numdgt=15",
        "ac lin 1 60 60",
        *(f"print v({n})" for n in node.values()),
        ".endc",
        ".end",
    ]


def machines(network: Network, page: Netlist, node: dict[str, int]) -> None:
    par, state = network.par, network.state
    for n, mark in enumerate(network.transformers):
        t, (h1, h4, x1, x2) = par.transformers[n], (node[f"{mark}:{k}"] for k in ("H1", "H4", "X1", "X2"))
        page.impedance(h1, h4, complex(t.core))
        page.impedance(h1, h4, complex(1e-9, t.magnetising))
        page.add("E", f"i{mark} {x2} {h1} {h4} {t.ratio:.17g}")
        sense = page.add("V", f"i{mark} j{mark} DC 0 AC 0")
        page.impedance(f"j{mark}", x1, complex(t.ohms, t.reactance))
        page.add("F", f"{h1} {h4} {sense} {t.ratio:.17g}")
    for m, mark in enumerate(network.motors):
        block = np.zeros((3, 3), complex)
        driven = mark == "M6" and state.drives[0].runs
        f = state.drives[0].hertz / 60 if driven else 1.0
        plain(stamp)(par.motors[m], float(state.speed[m]), f, block)
        leads = [node[f"{mark}:T{k}"] for k in (1, 2, 3)]
        for i in range(3):
            for j in range(3):
                page.transfer(leads[i], leads[j], block[i, j])
    for n, mark in enumerate(network.drives):
        line = [node[f"{mark}:L{k}"] for k in (1, 2, 3)]
        for i in range(3):
            page.admittance(line[i], line[(i + 1) % 3], float(state.draw[n]), 0.0)
        for k, degrees in zip("UVW", (0, -120, 120), strict=True):
            if state.drives[n].runs:
                page.add("V", f"d{mark}{k} 0 AC {480 / 3**0.5 * state.drives[n].hertz / 60:.17g} {degrees}")
                page.impedance(f"d{mark}{k}", node[f"{mark}:{k}"], complex(0.05))


def simulated(network: Network, folder: Path) -> dict[str, complex]:
    page = folder / "store.cir"
    page.write_text("\n".join(netlist(network)) + "\n")
    done = subprocess.run([str(SIMULATOR), "-b", str(page)], capture_output=True, text=True, timeout=120, check=False)
    values = {}
    for line in done.stdout.splitlines():
        left, _, right = line.partition("=")
        if left.strip().startswith("v(") and "," in right:
            re, im = (float(part) for part in right.split(",")[:2])
            values[int(left.strip()[2:-1])] = complex(re, im)
    return {name: values[n + 1] for name, n in network.wiring.node.items()}


def compare(network: Network, folder: Path) -> float:
    """Worst difference of any node: share of its volts, or of a millivolt where there is less than that."""
    probe = Probe(network)
    probe.source("L1", "L2")
    network.state.speed[:] = network.state.speed
    ours = {name: complex(probe._volts[network.net.place[n]]) for name, n in network.wiring.node.items()}
    theirs = simulated(network, folder)
    return max(abs(ours[name] - theirs[name]) / max(abs(theirs[name]), 1e-3) for name in ours)


def test_healthy_store_to_six_digits(healthy: Network, tmp_path: Path) -> None:
    """Four compressors, pump, fan on its drive, all control strings: 296 nodes."""
    assert compare(healthy.fork(), tmp_path) < 1e-6


def test_pump_pole_burnt_open_running(healthy: Network, tmp_path: Path) -> None:
    """Phenomenon E1: the dead terminal is back-fed by the running motor."""
    network = healthy.fork()
    change(network, "pole_burnt K5 0", True)
    network.step(5.0)
    assert compare(network, tmp_path) < 1e-6


def test_pump_pole_burnt_open_at_rest(healthy: Network, tmp_path: Path) -> None:
    """Phenomenon E2: half-way volts at the dead terminal of a standing motor."""
    network = healthy.fork()
    follow = network.followers.index("KR5")
    network.inputs.follows[follow] = 0
    network.step(5.0)
    change(network, "pole_burnt K5 0", True)
    network.inputs.follows[follow] = 1
    network.step(1.0)
    assert compare(network, tmp_path) < 1e-6


def test_open_string_and_a_bad_joint(healthy: Network, tmp_path: Path) -> None:
    """A cut-out open, half an ohm under the pump's lug, a coil shorted no more than its fuse takes."""
    network = healthy.fork()
    network.inputs.follows[network.followers.index("HP2")] = 0
    change(network, "joint_ohms K5:1", 0.5)
    network.step(5.0)
    assert topology.followers(network.wiring).index("HP2") >= 0
    assert compare(network, tmp_path) < 1e-6

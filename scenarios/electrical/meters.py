"""Instruments on the network: what lies between any two points, with the instrument's own impedance connected.

Volts and amps are of the present positions, solved afresh with true loads, not buckets; an instrument draws through the source
it sees, so a floating wire shows on a high-impedance meter and not on a low-impedance one. Ohms and insulation use the network as a
direct current sees it: windings are resistances, transformers isolate, capacitors are open.
"""

from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from scenarios.electrical.layouts import STALE
from scenarios.electrical.network import Network
from scenarios.electrical.probes import across, solve_direct, solve_present, to_earth
from scenarios.electrical.step import BUCKETS

METERS = {"high": (10e6, 100e-12), "low": (3e3, 0.0), "none": (1e15, 0.0), "body": (2e3, 0.0)}
"""Resistance and capacitance of an instrument's input [ohm, F]: high-impedance meter, low-impedance mode, nothing, a person."""


class Source(NamedTuple):
    """What two points are, seen from outside: volts behind an impedance."""

    volts: complex
    ohms: complex


class Probe:
    """A look at one network as it stands now; make a new one after any act or step."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.state = network.state
        if self.state.tally[STALE]:
            network.step(0.0)
        self._kind = ""
        self._sources: dict[tuple[int, int], Source] = {}
        self._scratch = np.zeros(len(network.wiring.terminals), np.complex128)
        self._volts = self._scratch.copy()

    def _need(self, kind: str) -> None:
        if self._kind == kind:
            return
        n = self.network
        if kind == "live":
            solve_present(*n.blocks[:4])
            self._volts = n.state.volts.copy()
            self._wire_y = n.state.wire_y.copy()
        else:
            solve_direct(*n.blocks[:3], kind == "tested")
        recall_after(n)
        self._kind = kind

    @cached_property
    def _amps(self) -> Any:
        """Amps of every wire, and into every place from its wires."""
        wires = self.network.net.wires
        flow = (self._volts[wires.a] - self._volts[wires.b]) * self._wire_y
        into = np.zeros(len(self._volts), np.complex128)
        np.subtract.at(into, wires.a, flow)
        np.add.at(into, wires.b, flow)
        return flow, into

    def _place(self, point: str) -> int:
        return int(self.network.net.place[self.network.node(point)])

    def source(self, a: str, b: str) -> Source:
        """What two points are, seen from outside. [V, ohm]"""
        self._need("live")
        p, q = self._place(a), self._place(b)
        if p == q:
            return Source(0j, 0j)
        if (p, q) not in self._sources:
            z = across(self.network.net.taken, self.network.state.taken, p, q, self._scratch)
            self._sources[p, q] = Source(complex(self._volts[p] - self._volts[q]), z)
        return self._sources[p, q]

    def phasor(self, a: str, b: str, meter: str = "high") -> complex:
        """Volts between two points with an instrument across them. [V]"""
        ohms, farads = METERS[meter]
        seen = self.source(a, b)
        return seen.volts / (1.0 + seen.ohms * complex(1.0 / ohms, 376.99111843077515 * farads))

    def volts(self, a: str, b: str, meter: str = "high") -> float:
        """Root-mean-square volts between two points with an instrument across them. [V]"""
        return abs(self.phasor(a, b, meter))

    def source_impedance(self, a: str, b: str) -> float:
        """Size of the impedance behind two points: many kilohms is a floating wire. [ohm]"""
        return abs(self.source(a, b).ohms)

    def amps(self, terminal: str, wire: str = "") -> float:
        """Amps into a terminal from its wires, or in one of them. [A]"""
        self._need("live")
        if wire:
            row, _ = self.network.ends_at(terminal, wire)[0]
            return float(abs(self._amps[0][row]))
        return float(abs(self._amps[1][self._place(terminal)]))

    def ohms(self, a: str, b: str) -> float:
        """Resistance between two points to a small direct current. [ohm]"""
        return self._resistance(a, b, "direct")

    def insulation(self, a: str, b: str) -> float:
        """Resistance between two points at 500 V, carbonised paths broken down. [ohm]"""
        return self._resistance(a, b, "tested")

    def _resistance(self, a: str, b: str, kind: str) -> float:
        self._need(kind)
        p, q = self._place(a), self._place(b)
        return 0.0 if p == q else abs(across(self.network.net.taken, self.network.state.taken, p, q, self._scratch).real)

    def touch_volts(self, mark: str) -> float:
        """Highest volts a person of 2 kilohms would bridge on a part: any terminal to earth, or any two. [V]"""
        self._need("live")
        wiring = self.network.wiring
        device = wiring.devices.get(mark)
        points = list(device.terminals) if device else [mark]
        if device and device.on:
            points += [end for e in wiring.elements_of(mark) for end in (e.a, e.b)]
        points = list(dict.fromkeys(points))
        highest = 0.0
        for n, a in enumerate(points):
            p = self._place(a)
            self._scratch[:] = 0.0
            z = to_earth(self.network.net.taken, self.network.state.taken, p, self._scratch)
            highest = max(highest, abs(complex(self._volts[p]) / (1.0 + z / 2e3)))
            for b in points[n + 1 :]:
                if abs(self._volts[p] - self._volts[self._place(b)]) > highest:
                    highest = max(highest, self.volts(a, b, "body"))
        return highest


def recall_after(network: Network) -> None:
    """Scratch that a probe used, put back; the factors it needs are left alone."""
    keep = network.state.volts.copy()
    network.resume()
    network.state.volts[:] = keep


def bucket_torque(network: Network) -> Any:
    """Loads as the step has them, over rated torque. [-]"""
    return network.state.motors.bucket / BUCKETS

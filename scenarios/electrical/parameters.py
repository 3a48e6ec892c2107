"""Any parameter by a readable path: how a fault says what it changes.

    K5:1-2.burnt = true          pole 1 of K5 burnt open (also: welded, ohms); contacts and fuses alike: F5:95-96.burnt
    FU5:1-2.blown = true         a fuse link melted
    K5:A1-A2.opened = true       coil open (also: shorted)
    K5:1.joint = 0.3             joint of every wire at that terminal [ohm]; one of them: K5:1/501.4.joint
    501.4.broken = true          a conductor open (also: leak [S], track [S], ohms)
    M5:T1.earth = 30000          terminal to earth [ohm];  M5:T1.track = 50: carbonised, conducts above some hundred volts only
    M5.open_1 = 1e7              ohms added to winding 1; short_12 [S] between leads 1 and 2; seized; run_up
    F5.weak = 0.8                true over marked rating of every element of F5 (breakers and fuses too); F5.rating: the dial [A]
    KR5.stuck = -1               1 stuck as moved, -1 stuck as at rest: relays, contactors, cut-outs, level switches
    K5.pull_in = 0.95            coil volts over rated
    TR8.tap = 600                primary volts of the tap landed on; TR8.primary_open, TR8.secondary_open
    U6.dead = true               drive gives no output; U6.blind: run input dead; U6.fault = 2: tripped
    L1.lost = true               supply phase open upstream;  L1.phase_volts = 250: its volts to neutral
    X1.foreign = 120             a second source on that terminal or rail [V], 0 takes it away

Booleans, numbers and nothing else. Each returns what was there before.
"""

from typing import Any

from scenarios.electrical.network import Network
from scenarios.errors import BadRequest

ON_SWITCH = ("burnt", "welded", "ohms")
ON_LOAD = ("opened", "shorted")
ON_TERMINAL = ("joint", "earth", "track", "foreign")
ON_WIRE = ("broken", "leak", "track", "ohms")
ON_PROTECTOR = ("weak", "rating")
ON_PART = ("stuck", "pull_in", "drop_out")


def set_parameter(network: Network, path: str, value: float | bool) -> float | bool:
    """Change one parameter of a world.

    Parameters
    ----------
    network : Network
        The world; its memory is cleared.
    path : str
        Where and what, as in the table above.
    value : float or bool
        New value, in the unit of the field.

    Returns
    -------
    float or bool
        What was there before.

    Raises
    ------
    BadRequest
        The place or the field does not exist; the sentence says what is allowed.
    """
    where, _, field = path.rpartition(".")
    network.touched()
    before: float | bool = _set(network, where, field, value, path)
    return before


def _set(network: Network, where: str, field: str, value: float | bool, path: str) -> Any:
    if where in network.wire_number:
        return _on_wire(network, where, field, value, path)
    if where in ("L1", "L2", "L3") and field in ("lost", "phase_volts"):
        return _on_phase(network, where, field, value)
    if ":" not in where and where not in network.wiring.rails:
        return _on_device(network, where, field, value, path)
    if "/" in where or "-" not in where:
        return _on_terminal(network, where, field, value, path)
    return _on_element(network, where, field, value, path)


def _refused(path: str, allowed: Any) -> BadRequest:
    return BadRequest(f"{path}: no such parameter; allowed there are {', '.join(allowed)}")


def _swap(table: Any, field: str, row: int, value: float | bool) -> Any:
    before = table[field][row].item()
    table[field][row] = value
    return before


def _swap_all(table: Any, cells: list[tuple[str, int]], value: float | bool) -> Any:
    """Set several cells; what the first held."""
    before = [_swap(table, field, row, value) for field, row in cells]
    return before[0]


def _on_wire(network: Network, where: str, field: str, value: float | bool, path: str) -> Any:
    if field not in ON_WIRE:
        raise _refused(path, ON_WIRE)
    return _swap(network.par.wires, field, network.wire_number[where], value)


def _on_phase(network: Network, where: str, field: str, value: float | bool) -> Any:
    row = int(where[1]) - 1
    if field == "lost":
        return _swap(network.par.phases, "lost", row, value)
    phases = network.par.phases
    before = float((phases.re[row] ** 2 + phases.im[row] ** 2) ** 0.5)
    phases.re[row] *= value / before
    phases.im[row] *= value / before
    return before


def _on_device(network: Network, mark: str, field: str, value: float | bool, path: str) -> Any:
    n = network.device(mark)
    for marks, table in ((network.motors, "motors"), (network.drives, "drives"), (network.transformers, "transformers")):
        if mark in marks:
            return _on_machine(network, getattr(network.par, table), marks.index(mark), field, value, path)
    rows = [k for k in range(len(network.net.protectors)) if network.net.protectors[k, 1] == n]
    if field in ON_PROTECTOR and rows:
        return _swap_all(network.par.protectors, [(field, k) for k in rows], value)
    if field not in ON_PART:
        raise _refused(path, ON_PART + (ON_PROTECTOR if rows else ()))
    return _swap(network.par.devices, field, n, value)


def _on_machine(network: Network, table: Any, row: int, field: str, value: float | bool, path: str) -> Any:
    if field == "tap":
        before = 120.0 / table["ratio"][row]
        table["ratio"][row] = 120.0 / float(value)
        return before
    if field == "fault" and table is network.par.drives:
        network.state.drives.runs[row] = False
        return _swap(network.state.drives, "fault", row, value)
    if field not in table.dtype.names:
        raise _refused(path, [*table.dtype.names, "tap"])
    return _swap(table, field, row, value)


def _on_terminal(network: Network, where: str, field: str, value: float | bool, path: str) -> Any:
    terminal, _, wire = where.partition("/")
    node = network.node(terminal)
    if field == "joint":
        return _swap_all(network.par.wires, [(f"joint_{end}", row) for row, end in network.ends_at(terminal, wire)], value)
    if field == "earth":
        before = _swap(network.par.nodes, "leak", node, 1.0 / float(value))
        return 1.0 / before
    if field == "track":
        before = _swap(network.par.nodes, "track", node, 1.0 / float(value) if value else 0.0)
        return 1.0 / before if before else 0.0
    if field == "foreign":
        return _set_foreign(network, node, float(value), path)
    raise _refused(path, ON_TERMINAL)


def _set_foreign(network: Network, node: int, volts: float, path: str) -> float:
    rows = network.par.foreign
    row = next((n for n in range(len(rows)) if rows.node[n] == node), next((n for n in range(len(rows)) if rows.node[n] < 0), None))
    if row is None:
        raise BadRequest(f"{path}: both foreign sources are in use; set one of them to 0 first")
    before = float(rows.re[row])
    rows.node[row], rows.re[row], rows.im[row] = (node, volts, 0.0) if volts else (-1, 0.0, 0.0)
    return before


def _on_element(network: Network, where: str, field: str, value: float | bool, path: str) -> Any:
    mark, _, pair = where.partition(":")
    network.device(mark)
    for row, e in enumerate(network.loads):
        if e.device == mark and pair == f"{e.a.split(':')[1]}-{e.b.split(':')[1]}":
            if field not in ON_LOAD:
                raise _refused(path, ON_LOAD)
            return _swap(network.par.loads, field, row, value)
    for row, e in enumerate(network.switches):
        if e.device == mark and pair == f"{e.a.split(':')[1]}-{e.b.split(':')[1]}":
            if field == "blown":
                return _swap(network.state.switches, "blown", row, value)
            if field not in ON_SWITCH:
                raise _refused(path, [*ON_SWITCH, "blown"])
            return _swap(network.par.switches, field, row, value)
    pairs = [f"{e.a.split(':')[1]}-{e.b.split(':')[1]}" for e in network.wiring.elements_of(mark)]
    raise BadRequest(f"{path}: {mark} has nothing between {pair}; it has {', '.join(pairs)}")

"""From a store file to a plant: `build(store)` makes fresh tables at a quiet starting state.

Sections of the store file: `compressors` (a list), `circuits` (a list with titles and limits), `circuit_defaults`,
`condenser`, `receiver`, `lines`, `controller`, `cutouts`, `charge_kg`. Keys are the fields of the records, units in the key.
"""

from dataclasses import replace
from typing import Any

import numpy as np

from scenarios.controls.alarms import KINDS, MOST_EVENTS, Alarm, AlarmState, Event, Log
from scenarios.controls.controller import CaseControl, CaseControlState, Controller, ControllerState, Stage
from scenarios.controls.cutouts import Cutout, CutoutState
from scenarios.errors import BadRequest
from scenarios.records import from_yaml, table
from scenarios.refrigeration.circuit import Circuit, CircuitState, CircuitStep
from scenarios.refrigeration.compressor import Compressor, CompressorState
from scenarios.refrigeration.condenser import Condenser, CondenserState
from scenarios.refrigeration.fluid import Fluid, bubble_pressure, dew_pressure, from_temperature, load, rise, saturation
from scenarios.refrigeration.lines import Lines, LinesState
from scenarios.refrigeration.plant import Clock, Plant
from scenarios.refrigeration.receiver import Receiver, ReceiverState

ABOUT = ("title", "kind", "limit_F", "length_ft", "defrost", "thermostat")
"""Keys of a circuit that are not fields of its physical record."""
USUAL_LENGTH = 12.0
"""Length of the case that the defaults describe [ft]."""
WITH_LENGTH = (
    "valve_area",
    "coil_ua",
    "dry_ua",
    "coil_full",
    "airflow",
    "fan_heat",
    "lights",
    "infiltration",
    "moisture",
    "air_capacity",
    "product_capacity",
    "product_ua",
    "core_ua",
    "frost_half",
)
"""Fields that grow with the length of a case."""
FAHRENHEIT = 5.0 / 9.0


SINGLE: dict[str, type[Any]] = {"condenser": Condenser, "receiver": Receiver, "lines": Lines, "controller": Controller}
"""Sections of one record each."""


class Problems:
    """Collects every mistake of a store file, to be told at once."""

    def __init__(self) -> None:
        self.found: list[str] = []

    def take(self, cls: type[Any], entry: dict[str, Any], where: str) -> Any:
        """One record from one entry; its mistakes are kept and a stand-in of None is given."""
        try:
            return from_yaml(cls, entry, where)
        except ValueError as error:
            self.found += str(error).splitlines()
            return None

    def raise_all(self) -> None:
        """Tell all of them, if there are any."""
        if self.found:
            raise BadRequest("store file, plant sections: " + "; ".join(self.found) + "; correct these keys")


def celsius(fahrenheit: float) -> float:
    """Temperature of a store file's F key [C].

    Parameters
    ----------
    fahrenheit : float
        As written. [F]
    """
    return (fahrenheit - 32.0) * FAHRENHEIT


def sized(circuit: Circuit | None, length: float) -> Circuit | None:
    """A circuit of another length than the usual one, everything in proportion; branch and feed pressures stay.

    Parameters
    ----------
    circuit : Circuit | None
        What it works with.
    length : float
        Of the case. [ft]
    """
    if circuit is None:
        return None
    times = length / USUAL_LENGTH
    changed = {name: getattr(circuit, name) * times for name in WITH_LENGTH}
    return replace(circuit, **changed, branch_resistance=circuit.branch_resistance / times / times)


def case_control(entry: dict[str, Any], where: str, problems: Problems) -> Any:
    """Thermostat and defrost clock of one circuit."""
    return problems.take(CaseControl, {**entry.get("thermostat", {}), **entry.get("defrost", {})}, where)


def alarm_rows(store: dict[str, Any]) -> list[tuple[str, str, Alarm]]:
    """The alarm table: (id, title, row). Discharge and case limits come from the store file."""

    def psig(value: float) -> float:
        return value * 6894.757293168 + 101325.0

    def row(kind: str, which: int, limit: float, returns: float, delay: float, calm: float = 0.0) -> Alarm:
        return Alarm(kind=KINDS.index(kind), which=which, limit=limit, returns=returns, delay=delay, calm=calm)

    rows = [
        ("fan_full", "condenser fan at full speed", row("fan_full", 0, 0.995, 0.9, 60.0, 300.0)),
        ("discharge_high", "discharge pressure high", row("discharge", 0, psig(280.0), psig(250.0), 30.0, 360.0)),
        ("suction_high", "suction pressure high", row("suction", 0, psig(75.0), psig(62.0), 600.0)),
        ("controller_supply", "rack controller restarted", row("supply", 0, 0.5, 0.5, 0.0)),
        ("liquid_back", "liquid return to compressors", row("liquid_back", 0, 0.5, 0.5, 300.0)),
    ]
    for n in range(len(store["compressors"])):
        rows.append((f"high_pressure_{n + 1}", f"compressor {n + 1} high pressure", row("high_pressure", n, 0.5, 0.5, 0.0, 360.0)))
        rows.append((f"low_pressure_{n + 1}", f"compressor {n + 1} low pressure", row("low_pressure", n, 0.5, 0.5, 60.0, 300.0)))
        rows.append((f"no_proof_{n + 1}", f"compressor {n + 1} called, no proof", row("no_proof", n, 0.5, 0.5, 0.0, 600.0)))
    for n, circuit in enumerate(store["circuits"]):
        limit = celsius(circuit.get("limit_F", 41.0))
        rows.append(
            (f"air_{n + 1}", f"circuit {n + 1} {circuit['title']} air over limit", row("case_air", n, limit, limit - 0.6, 1800.0))
        )
        rows.append((f"defrost_{n + 1}", f"circuit {n + 1} defrost ended by time", row("defrost_by_time", n, 0.5, 0.5, 0.0)))
        if circuit.get("kind") == "walk-in":
            rows.append((f"door_{n + 1}", f"circuit {n + 1} {circuit['title']} door open", row("door", n, 0.5, 0.2, 300.0)))
    return rows


def cutouts(store: dict[str, Any], problems: Problems) -> tuple[list[Any], list[Any]]:
    """High- and low-pressure cut-outs of all compressors."""
    high: list[Any] = []
    low: list[Any] = []
    for n, entry in enumerate(store["cutouts"]):
        where = f"cutouts[{n + 1}]"
        high.append(problems.take(Cutout, {**entry.get("high", {}), "above": True}, where + ".high"))
        low.append(problems.take(Cutout, {**entry.get("low", {}), "above": False, "manual": False}, where + ".low"))
    return high, low


def build(store: dict[str, Any]) -> Plant:
    """Fresh tables for a store, at a cool standstill from which it settles in an hour or two.

    Parameters
    ----------
    store : dict
        A store file as loaded.

    Raises
    ------
    BadRequest
        Unknown keys, missing or out-of-range values, all at once.
    """
    problems = Problems()
    fluid = load()
    machines = [problems.take(Compressor, dict(c), f"compressors[{n + 1}]") for n, c in enumerate(store["compressors"])]
    defaults = store.get("circuit_defaults", {})
    circuits, cases = [], []
    for n, entry in enumerate(store["circuits"]):
        where = f"circuits[{n + 1}]"
        made = problems.take(Circuit, {**defaults, **{k: v for k, v in entry.items() if k not in ABOUT}}, where)
        circuits.append(sized(made, float(entry.get("length_ft", USUAL_LENGTH))))
        cases.append(case_control(entry, where, problems))
    single = [problems.take(cls, store.get(name, {}), name) for name, cls in SINGLE.items()]
    high, low = cutouts(store, problems)
    problems.raise_all()
    plant = assemble(fluid, single, machines, circuits, cases, [high, low], [row for _, _, row in alarm_rows(store)])
    fill(plant, float(store.get("charge_kg", 150.0)))
    return plant


def assemble(
    fluid: Fluid,
    single: list[Any],
    machines: list[Any],
    circuits: list[Any],
    cases: list[Any],
    cutouts: list[list[Any]],
    rows: list[Alarm],
) -> Plant:
    """Tables of parameters with fresh states beside them.

    Parameters
    ----------
    fluid : Fluid
        Property tables.
    single : list
        Condenser, receiver, lines, controller.
    machines, circuits, cases : list
        Compressors, circuits and their controls.
    cutouts : list
        High and low ones.
    rows : list of Alarm
        The alarm table.
    """
    condenser, receiver, lines, controller = single
    swept = sum(m.swept_flow for m in machines)
    tables: dict[str, Any] = {
        "condenser": [condenser], "condenser_state": [CondenserState()],
        "receiver": [receiver], "receiver_state": [ReceiverState()],
        "lines": [lines], "lines_state": [LinesState()],
        "compressors": machines, "compressor_states": [CompressorState() for _ in machines],
        "circuits": circuits, "circuit_states": [CircuitState() for _ in circuits],
        "circuit_steps": [CircuitStep() for _ in circuits],
        "controller": [controller], "controller_state": [ControllerState()],
        "stages": [Stage(capacity=m.swept_flow / swept) for m in machines],
        "cases": cases, "case_states": [CaseControlState() for _ in cases],
        "high": cutouts[0], "high_states": [CutoutState() for _ in machines],
        "low": cutouts[1], "low_states": [CutoutState() for _ in machines],
        "alarms": rows, "alarm_states": [AlarmState() for _ in rows],
        "events": [Event() for _ in range(MOST_EVENTS)], "log": [Log()], "clock": [Clock()],
    }  # fmt: skip
    signals = np.zeros((len(KINDS), max(len(circuits), len(machines))))
    return Plant(fluid=fluid, signals=signals, **{name: table(items) for name, items in tables.items()})


def fill(plant: Plant, charge: float) -> None:
    """Put the charge in: saturated gas spaces, liquid a little below its boiling point, the rest into the receiver."""
    fluid: Fluid = plant.fluid
    lines, pipe = plant.lines[0], plant.lines_state[0]
    warm = 26.0
    tank = saturation(fluid, bubble_pressure(fluid, warm))
    liquid = from_temperature(fluid.by_temperature, warm - 2.0, 2)
    cold = saturation(fluid, dew_pressure(fluid, -6.0))

    pipe.liquid = 0.97 * lines.liquid_space / tank.v_liq
    pipe.liquid_energy = pipe.liquid * liquid
    pipe.suction = lines.suction_space / (cold.v_gas * 1.05)
    pipe.pressure, pipe.temperature, pipe.enthalpy = cold.pressure, 5.0, cold.h_gas + rise(cold, 11.0)
    pipe.suction_energy = pipe.suction * (pipe.enthalpy - cold.pressure * lines.suction_space / pipe.suction)
    top, unit = plant.condenser_state[0], plant.condenser[0]
    top.liquid = (unit.holdup + 0.02) * unit.space / tank.v_liq
    top.liquid_energy = top.liquid * liquid
    top.gas = unit.space * 0.9 / tank.v_gas
    top.gas_energy = top.gas * (tank.h_gas - tank.pressure * tank.v_gas)
    top.pressure = top.partial = pipe.discharge = pipe.header = pipe.before = tank.pressure
    top.film, top.level = unit.film * unit.nozzles, unit.float_level
    for n in range(len(plant.circuit_states)):
        each = plant.circuit_states[n]
        each.liquid = 0.6 * plant.circuits[n].coil_full
        each.energy = each.liquid * cold.h_liq
        each.frost = 0.2
    held = plant.receiver_state[0]
    held.pressure = tank.pressure
    used = pipe.liquid + pipe.suction + top.liquid + top.gas + float(sum(plant.circuit_states.liquid))
    space = plant.receiver[0].space
    held.liquid = max((charge - used - space / tank.v_gas) / (1.0 - tank.v_liq / tank.v_gas), 0.5)
    held.liquid_energy = held.liquid * liquid
    held.gas = charge - used - held.liquid
    held.gas_energy = held.gas * (tank.h_gas - tank.pressure * tank.v_gas)
    pipe.total = charge


def copy(plant: Plant) -> Plant:
    """An independent copy; the property tables are shared, they never change."""
    rows: list[Any] = [kept.copy() for kept in plant[1:]]
    return Plant(plant.fluid, *rows)

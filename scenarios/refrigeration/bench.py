"""A plant on good wiring with everything one wants to read from it: for tests, tuning and comparing with a healthy twin."""

from typing import Any

import numpy as np

from scenarios.refrigeration import ideal
from scenarios.refrigeration.plant import Plant
from scenarios.refrigeration.ports import Inputs, Outputs, copy_inputs, copy_outputs, new_inputs, new_outputs
from scenarios.refrigeration.refrigerants import pick
from scenarios.refrigeration.sections import PLACES, entries
from scenarios.refrigeration.store import build, copy

Columns = dict[str, np.ndarray[Any, Any]]
ROOTS = np.linspace(0.3e5**0.5, 33e5**0.5, 2049)


class Bench:
    """One plant, its weather and what does not obey."""

    def __init__(self, plant: Plant, inputs: Inputs, outputs: Outputs, broken: ideal.Broken) -> None:
        self.plant, self.inputs, self.outputs, self.broken = plant, inputs, outputs, broken

    @classmethod
    def of(cls, store: dict[str, Any], dry_bulb: float = 25.0, wet_bulb: float = 22.2) -> "Bench":
        """A fresh plant in steady weather [C]."""
        plant = build(entries(store), PLACES)
        made = cls(plant, new_inputs(plant), new_outputs(plant), ideal.HEALTHY)
        return made.weather(dry_bulb, wet_bulb)

    def weather(self, dry_bulb: float, wet_bulb: float) -> "Bench":
        """Set the weather [C]."""
        self.inputs.outside.dry_bulb, self.inputs.outside.wet_bulb = dry_bulb, wet_bulb
        return self

    def fork(self) -> "Bench":
        """An independent twin at this moment."""
        told, given = copy_inputs(self.plant, self.inputs), copy_outputs(self.plant, self.outputs)
        return Bench(copy(self.plant), told, given, self.broken)

    def run(self, hours: float, dt: float = 5.0) -> "Bench":
        """Let hours pass."""
        ideal.run(self.plant, self.inputs, self.outputs, self.broken, hours * 3600.0, dt)
        return self

    def record(self, hours: float, every: float = 60.0) -> Columns:
        """Let hours pass and keep a sample every so many seconds."""
        names = ideal.columns(self.plant)
        rows = np.zeros((int(hours * 3600.0 / every), len(names)))
        ideal.record(self.plant, self.inputs, self.outputs, self.broken, 5.0, int(every / 5.0), rows)
        return self.derived(dict(zip(names, rows.T, strict=True)))

    def derived(self, kept: Columns) -> Columns:
        """Add the temperatures and differences that technicians speak of [C, K]."""
        fluid = pick(self.plant.fluids, 0)
        table = fluid.by_pressure
        warm = fluid.about[0].least_enthalpy + np.arange(len(fluid.by_enthalpy)) / fluid.about[0].liquid_rows

        def column(pressure: np.ndarray[Any, Any], n: int) -> np.ndarray[Any, Any]:
            return np.asarray(np.interp(np.sqrt(pressure), ROOTS, table[:, n]))

        kept["suction_dew"], kept["condensing"] = column(kept["suction"], 1), column(kept["condenser"], 1)
        kept["drain"] = np.interp(kept["drain_enthalpy"], warm, fluid.by_enthalpy)
        kept["bulk"] = np.interp(kept["bulk_enthalpy"], warm, fluid.by_enthalpy)
        kept["drain_subcooling"] = column(kept["condenser"], 0) - kept["drain"]
        kept["liquid_subcooling"] = column(kept["receiver"], 0) - kept["bulk"]
        kept["suction_superheat"] = kept["suction_gas"] - kept["suction_dew"]
        kept["air"] = np.mean([kept[f"air{n}"] for n in range(1, 9)], axis=0)
        for n in range(1, len(self.plant.circuits) + 1):
            kept[f"superheat{n}"] = kept[f"outlet{n}"] - kept["suction_dew"]
        kept["superheat"] = np.mean([kept[f"superheat{n}"] for n in range(1, 9)], axis=0)
        return kept

    def means(self, hours: float) -> dict[str, float]:
        """Let hours pass; the mean of everything over them."""
        return {name: float(values.mean()) for name, values in self.record(hours).items()}

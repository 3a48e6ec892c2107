"""What is a matter of the refrigerant: the record of what is in no table, and the tables as formulas take them.

The tables themselves are read by `property_tables`.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record

Table = np.ndarray[Any, np.dtype[np.float64]]


@record
class Refrigerant:
    """What is a matter of the refrigerant and in no table. Nobody edits it."""

    exponent: float = quantity("-", "of the compression, polytropic")
    steepness: float = quantity("1/K", "d ln p / d dew at the suction; only steers implicit solves")
    warm_steepness: float = quantity("1/K", "the same where it condenses")
    boils_below_dew: float = quantity("-", "how far a coil's mean temperature lies below dew, over the glide")
    gas_heat: float = quantity("J/(kg K)", "heat capacity of suction vapour, for the dry zone only")
    warm_gas_heat: float = quantity("J/(kg K)", "of gas in the condenser, for its implicit solve only")
    liquid_slope: float = quantity("J/(kg K)", "saturated liquid's enthalpy with dew at the suction, for the implicit solve only")
    liquid_heat: float = quantity("J/(kg K)", "heat capacity of warm liquid, for the implicit subcooling only")
    line_density: float = quantity("kg/m3", "of liquid in a line, to tell full from empty")
    tank_volume: float = quantity("m3/kg", "of liquid in a receiver, to tell its level by eye")
    most_lift: float = quantity("J/kg", "most that a machine adds to the gas")
    most_over: float = quantity("-", "most enthalpy over saturated vapour that the table follows, 100 kJ/kg")
    least_enthalpy: float = quantity("J/kg", "first row of the liquid table")
    liquid_rows: float = quantity("kg/J", "rows of the liquid table per enthalpy")
    least_good: float = quantity("Pa", "pressure from which its tables are as good as they say")
    most_good: float = quantity("Pa", "pressure up to which they are")


@record
class Errors:
    """Largest differences of a table from its source, as measured when it was built."""

    saturation: float = quantity("K", "dew and bubble")
    enthalpy: float = quantity("J/kg", "saturated liquid and vapour")
    volume: float = quantity("-", "the same, over the true one")
    gas_enthalpy: float = quantity("J/kg", "vapour up to 90 K over dew, up to 23 bar")
    gas_volume: float = quantity("-", "the same, over the true one")
    superheat: float = quantity("K", "the same, from enthalpy")


class Fluid(NamedTuple):
    """One refrigerant, handed to every formula."""

    by_pressure: Table
    by_temperature: Table
    by_enthalpy: Table
    about: Sequence[Refrigerant]
    """Its `Refrigerant`, a table of one row."""


class Fluids(NamedTuple):
    """All refrigerants of a store, one behind the other."""

    by_pressure: Any
    by_temperature: Any
    by_enthalpy: Any
    about: Any


def pick(fluids: Fluids, n: int) -> Fluid:
    """One of several refrigerants."""
    return Fluid(fluids.by_pressure[n], fluids.by_temperature[n], fluids.by_enthalpy[n], fluids.about[n : n + 1])


picked = compiled(pick)
"""The same for compiled functions, from which Python takes no tuple of tables."""

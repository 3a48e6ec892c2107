"""Test points: what may be found where. A store file names each by one of these words; `refrigeration.observe` knows its value."""

from typing import NamedTuple


class Role(NamedTuple):
    """What a test point shows."""

    of: str
    """rack, condenser, group or circuit: whose row it is of, and where it is unless the file says otherwise."""
    quantity: str
    """pressure, temperature or display."""
    title: str


ROLES = {
    "hot_gas_pressure": Role("condenser", "pressure", "hot gas at the condenser"),
    "drain_pressure": Role("condenser", "pressure", "condenser drain"),
    "hot_gas_temperature": Role("condenser", "temperature", "hot gas line at the condenser"),
    "drain_temperature": Role("condenser", "temperature", "drain line at the condenser"),
    "basin_temperature": Role("condenser", "temperature", "basin water"),
    "air_in": Role("condenser", "temperature", "air into the condenser"),
    "air_out": Role("condenser", "temperature", "air out of the condenser"),
    "discharge_pressure": Role("rack", "pressure", "discharge header"),
    "liquid_pressure": Role("rack", "pressure", "liquid line after the drier"),
    "receiver_pressure": Role("rack", "pressure", "drain line at the receiver"),
    "discharge_temperature": Role("rack", "temperature", "discharge header line"),
    "liquid_temperature": Role("rack", "temperature", "liquid line after the drier"),
    "inlet_temperature": Role("rack", "temperature", "drain line at the receiver"),
    "suction_pressure": Role("group", "pressure", "suction header"),
    "suction_temperature": Role("group", "temperature", "suction header line"),
}
"""Words that a rack or a suction group may give its points."""
GAUGES = {
    "discharge": ("discharge_pressure", "rack discharge gauge"),
    "suction": ("suction_pressure", "rack suction gauge"),
}
"""What a gauge on the rack shows, and what it is called."""
CIRCUIT = {
    "A1": ("off_coil", Role("circuit", "temperature", "air off the coil")),
    "A2": ("return_air", Role("circuit", "temperature", "return air")),
    "G1": ("product_core", Role("circuit", "temperature", "product, between packs")),
    "G2": ("product_surface", Role("circuit", "temperature", "product surface")),
    "T1": ("case_outlet", Role("circuit", "temperature", "suction line at the case outlet")),
    "P8": ("case_suction", Role("circuit", "pressure", "suction at the case")),
    "D": ("case_display", Role("circuit", "display", "case display")),
}
"""Points that every circuit has, by what follows its mark: what is found there, and how it is said."""

"""Test points: what may be found where. A store file names each by one of these words; `observe` knows its value.

Needs no compiler, so that whoever only reads or draws a store need not wait for one.
"""

from typing import NamedTuple


class PointRole(NamedTuple):
    """What a test point shows."""

    scope: str
    """rack, condenser, group or circuit: whose row it is of, and where it is unless the file says otherwise."""
    quantity: str
    """pressure, temperature or display."""
    says: str


ROLES = {
    "hot_gas_pressure": PointRole("condenser", "pressure", "hot gas at the condenser"),
    "drain_pressure": PointRole("condenser", "pressure", "condenser drain"),
    "hot_gas_temperature": PointRole("condenser", "temperature", "hot gas line at the condenser"),
    "drain_temperature": PointRole("condenser", "temperature", "drain line at the condenser"),
    "basin_temperature": PointRole("condenser", "temperature", "basin water"),
    "air_in": PointRole("condenser", "temperature", "air into the condenser"),
    "air_out": PointRole("condenser", "temperature", "air out of the condenser"),
    "discharge_pressure": PointRole("rack", "pressure", "discharge header"),
    "liquid_pressure": PointRole("rack", "pressure", "liquid line after the drier"),
    "receiver_pressure": PointRole("rack", "pressure", "drain line at the receiver"),
    "discharge_temperature": PointRole("rack", "temperature", "discharge header line"),
    "liquid_temperature": PointRole("rack", "temperature", "liquid line after the drier"),
    "receiver_drain_temperature": PointRole("rack", "temperature", "drain line at the receiver"),
    "suction_pressure": PointRole("group", "pressure", "suction header"),
    "suction_temperature": PointRole("group", "temperature", "suction header line"),
    "air_off": PointRole("circuit", "temperature", "air off the coil"),
    "air_return": PointRole("circuit", "temperature", "return air"),
    "core": PointRole("circuit", "temperature", "product, between packs"),
    "surface": PointRole("circuit", "temperature", "product surface"),
    "outlet": PointRole("circuit", "temperature", "suction line at the case outlet"),
    "pressure": PointRole("circuit", "pressure", "suction at the case"),
    "display": PointRole("circuit", "display", "case display"),
}
"""What a point may show."""
GAUGES = {
    "discharge": ("discharge_pressure", "rack discharge gauge"),
    "suction": ("suction_pressure", "rack suction gauge"),
}
"""What a gauge on the rack shows, and what it is called."""
CIRCUIT = {"A1": "air_off", "A2": "air_return", "G1": "core", "G2": "surface", "T1": "outlet", "P8": "pressure", "D": "display"}
"""Points that every circuit has, by what follows its mark."""

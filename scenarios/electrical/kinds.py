"""Symbols and gauges that a wiring list may use."""

CONTACTS = {
    "no": "make contact",
    "nc": "break contact",
    "p-no": "pressure contact, closes on rise",
    "p-nc": "pressure contact, opens on rise",
    "f-no": "float contact, closes on rise",
    "fuse": "fuse",
    "drive-fault": "closes when the drive has tripped",
}
"""Symbols of two-terminal switching elements besides the positions of a selector."""

LOADS = {"coil": "coil", "hours": "hours counter", "element": "heating element", "lamp": "lamp", "input": "drive input"}
"""Symbols of two-terminal loads."""

GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
"""Conductor gauges a store may use (AWG)."""

"""The instruments of the van: what they measure, how finely they show it and how far they may be off.

Figures are those of ordinary service instruments (common practice); where a standard names a class it is said.
"""

from dataclasses import dataclass

INPUT_OHMS = 10e6
"""Input of the meter on volts [ohm]; common practice."""
INPUT_FARADS = 100e-12
"""Capacitance across that input [F]; common practice."""
LOW_INPUT_OHMS = 3e3
"""Input on low-impedance volts [ohm]; common practice."""
TEST_VOLTS = 500.0
"""Direct voltage of the insulation tester [V]."""


@dataclass(frozen=True)
class Range:
    """One range: up to `top` it shows steps of `resolution`, both in `unit`."""

    top: float
    resolution: str
    unit: str


@dataclass(frozen=True)
class Instrument:
    """One instrument.

    Parameters
    ----------
    kind : str
        Kind of its readings in the record.
    says : str
        Name for people.
    ranges : tuple of Range
        Finest first; it takes the first that can show the value.
    percent : float
        Greatest error, share of the reading, or of the span for a dial [%].
    counts : float
        Greatest error besides, in steps of the last digit [-].
    least : float
        Greatest error is never under this, in the unit shown [unit].
    dial : bool
        Whether a pointer on a dial: error by span, stops at both ends.
    bottom : float
        Lowest value that can be shown, in the unit shown [unit].
    """

    kind: str
    says: str
    ranges: tuple[Range, ...]
    percent: float = 0.0
    counts: float = 0.0
    least: float = 0.0
    dial: bool = False
    bottom: float = 0.0


OHM_RANGES = (
    Range(599.9, "0.1", "ohm"),
    Range(5.999, "0.001", "kohm"),
    Range(59.99, "0.01", "kohm"),
    Range(599.9, "0.1", "kohm"),
    Range(5.999, "0.001", "Mohm"),
    Range(39.99, "0.01", "Mohm"),
)
INSULATION_RANGES = (Range(19.99, "0.01", "Mohm"), Range(199.9, "0.1", "Mohm"), Range(2000.0, "1", "Mohm"))

SHELF: dict[str, Instrument] = {
    "volts": Instrument(
        "volts",
        "meter, ac volts",
        (Range(59.99, "0.01", "V"), Range(599.9, "0.1", "V"), Range(1000.0, "1", "V")),
        percent=1.0,
        counts=3,
    ),
    "low-volts": Instrument(
        "volts", "meter, ac volts, low impedance", (Range(599.9, "0.1", "V"), Range(1000.0, "1", "V")), percent=2.0, counts=3
    ),
    "ohms": Instrument("ohms", "meter, ohms", OHM_RANGES, percent=0.9, counts=2),
    "insulation": Instrument("insulation", "insulation tester, 500 V", INSULATION_RANGES, percent=3.0, counts=5),
    "clamp": Instrument("amps", "clamp meter", (Range(59.99, "0.01", "A"), Range(599.9, "0.1", "A")), percent=2.0, counts=5),
    # dials: 0-500 and 0-150 psi; class = share of the span (EN 837-1)
    "gauge-high": Instrument("pressure", "high-side gauge, class 1", (Range(500.0, "2", "psig"),), percent=1.0, dial=True),
    "gauge-low": Instrument("pressure", "low-side gauge, class 1", (Range(150.0, "0.5", "psig"),), percent=1.0, dial=True),
    "dial-high": Instrument("pressure", "rack gauge, class 1.6", (Range(500.0, "5", "psig"),), percent=1.6, dial=True),
    "dial-low": Instrument("pressure", "rack gauge, class 1.6", (Range(150.0, "1", "psig"),), percent=1.6, dial=True),
    "thermometer": Instrument(
        "temperature", "thermocouple type T, class 1", (Range(480.0, "0.1", "F"),), percent=0.4, least=0.9, bottom=-40.0
    ),
    "infrared": Instrument("temperature", "infrared thermometer", (Range(750.0, "1", "F"),), percent=2.0, least=4.0, bottom=-20.0),
    "display-pressure": Instrument("display", "controller display", (Range(999.0, "1", "psig"),), counts=0.5, bottom=-14.0),
    "display-temperature": Instrument("display", "controller display", (Range(999.0, "0.1", "F"),), counts=0.5, bottom=-99.0),
    "display-percent": Instrument("display", "controller or drive display", (Range(999.0, "1", "%"),), counts=0.5),
    "display-hertz": Instrument("speed", "drive display", (Range(400.0, "0.1", "Hz"),), counts=0.5),
    "hours": Instrument("dial", "hours counter", (Range(99999.0, "0.1", "h"),), counts=1),
    "stopwatch": Instrument("seconds", "watch", (Range(36000.0, "1", "s"),), counts=1),
}
"""Every instrument by name. Thermocouple: IEC 60584-1 type T class 1, 0.5 C or 0.4 % (of Celsius; 0.9 F rules under 250 F)."""

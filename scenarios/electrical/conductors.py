"""Copper conductors: resistance by gauge and temperature, reactance, leakage and stray capacitance by length.

Sources: NFPA 70 chapter 9, table 8 (direct-current resistance, stranded uncoated copper at 75 C; 14 to 8 AWG are the *stranded*
rows) and table 9 (reactance to neutral, three single conductors in steel conduit); note 2 of table 8 for other temperatures.
Rows 18 and 16: reactance assumed. Leakage and capacitance: common practice for building wire in conduit.
"""

FOOT = 0.3048
"""[m]"""

TABLE_8 = {
    "18": 7.95, "16": 4.99, "14": 3.14, "12": 1.98, "10": 1.24, "8": 0.778, "6": 0.491, "4": 0.308, "3": 0.245, "2": 0.194,
    "1": 0.154, "1/0": 0.122, "2/0": 0.0967, "3/0": 0.0766, "4/0": 0.0608,
}  # fmt: skip
"""Resistance at 75 C [ohm per 1000 ft]."""

TABLE_9 = {
    "18": 0.080, "16": 0.076, "14": 0.073, "12": 0.068, "10": 0.063, "8": 0.065, "6": 0.064, "4": 0.060, "3": 0.059, "2": 0.057,
    "1": 0.057, "1/0": 0.055, "2/0": 0.054, "3/0": 0.052, "4/0": 0.051,
}  # fmt: skip
"""Reactance to neutral in steel conduit [ohm per 1000 ft]."""

LEAK = 1e-11
"""Leakage of sound insulation to earth [S per m]: 100 megohm-kilometre. Common practice."""
STRAY = 1.0e-10
"""Capacitance of a conductor to its conduit [F per m]. Common practice."""
MUTUAL = 0.5e-10
"""Capacitance to a neighbour in the same conduit [F per m]. Common practice."""
SOUND_JOINT = 2e-4
"""Resistance of a sound lug or screw [ohm]. Common practice."""


def ohms_per_metre(awg: str, celsius: float = 75.0) -> float:
    """Resistance of a stranded copper conductor.

    Parameters
    ----------
    awg : str
        Gauge, as ``12`` or ``4/0``. [-]
    celsius : float
        Conductor temperature. [C]

    Returns
    -------
    float
        Resistance. [ohm/m]

    Examples
    --------
    NFPA 70 chapter 9, table 8: 12 AWG stranded, 1.98 ohm per 1000 ft at 75 C.

    >>> ohms_per_metre("12") * 304.8  # doctest: +NUMBER
    1.98
    """
    return TABLE_8[awg] * (1.0 + 0.00323 * (celsius - 75.0)) / (1000.0 * FOOT)


def reactance_per_metre(awg: str, hertz: float = 60.0) -> float:
    """Reactance to neutral of a conductor in steel conduit.

    Parameters
    ----------
    awg : str
        Gauge. [-]
    hertz : float
        Frequency; the table is for 60. [Hz]

    Returns
    -------
    float
        Reactance. [ohm/m]
    """
    return TABLE_9[awg] / (1000.0 * FOOT) * hertz / 60.0

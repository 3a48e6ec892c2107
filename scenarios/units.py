"""Field units at the edges: what people type and read, against the SI values inside.

A temperature and a difference of temperatures are different things with different units here: ``F`` and ``C`` are temperatures,
``F-difference`` and ``K`` are differences. A value of one is never turned into the other without being refused.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from scenarios.errors import BadRequest

PSI = 6894.757293168
"""One pound-force per square inch [Pa]; NIST SP 811, appendix B."""
ATMOSPHERE = 101325.0
"""Standard atmosphere, the zero of a gauge [Pa]; NIST SP 811."""


@dataclass(frozen=True)
class Unit:
    """A unit of the field: SI value = factor · given + offset.

    Parameters
    ----------
    of : str
        What it measures.
    factor, offset : float
        To the SI unit `si`.
    si : str
        Unit inside the project.
    says : str
        In words, for messages.
    """

    of: str
    factor: float
    offset: float
    si: str
    says: str


UNITS: dict[str, Unit] = {
    "psig": Unit("pressure", PSI, ATMOSPHERE, "Pa", "pounds per square inch over the atmosphere"),
    "psia": Unit("pressure", PSI, 0.0, "Pa", "pounds per square inch absolute"),
    "barg": Unit("pressure", 1e5, ATMOSPHERE, "Pa", "bar over the atmosphere"),
    "bar": Unit("pressure", 1e5, 0.0, "Pa", "bar absolute"),
    "kPa": Unit("pressure", 1e3, 0.0, "Pa", "kilopascal absolute"),
    "psi": Unit("pressure difference", PSI, 0.0, "Pa", "pounds per square inch of difference"),
    "F": Unit("temperature", 5 / 9, -160 / 9, "C", "degrees Fahrenheit"),
    "C": Unit("temperature", 1.0, 0.0, "C", "degrees Celsius"),
    "F-difference": Unit("temperature difference", 5 / 9, 0.0, "K", "Fahrenheit degrees of difference"),
    "K": Unit("temperature difference", 1.0, 0.0, "K", "kelvin of difference"),
    "V": Unit("voltage", 1.0, 0.0, "V", "volts"),
    "mV": Unit("voltage", 1e-3, 0.0, "V", "millivolts"),
    "A": Unit("current", 1.0, 0.0, "A", "amperes"),
    "ohm": Unit("resistance", 1.0, 0.0, "ohm", "ohms"),
    "kohm": Unit("resistance", 1e3, 0.0, "ohm", "kilohms"),
    "Mohm": Unit("resistance", 1e6, 0.0, "ohm", "megohms"),
    "W": Unit("power", 1.0, 0.0, "W", "watts"),
    "kW": Unit("power", 1e3, 0.0, "W", "kilowatts"),
    "hp": Unit("power", 745.6998715823, 0.0, "W", "horsepower"),
    "Hz": Unit("frequency", 1.0, 0.0, "Hz", "hertz"),
    "rpm": Unit("speed", 1 / 60, 0.0, "1/s", "turns per minute"),
    "kg": Unit("mass", 1.0, 0.0, "kg", "kilograms"),
    "lb": Unit("mass", 0.45359237, 0.0, "kg", "pounds"),
    "s": Unit("time", 1.0, 0.0, "s", "seconds"),
    "min": Unit("time", 60.0, 0.0, "s", "minutes"),
    "h": Unit("time", 3600.0, 0.0, "s", "hours"),
    "%": Unit("share", 0.01, 0.0, "-", "percent"),
    "-": Unit("share", 1.0, 0.0, "-", "a plain ratio"),
}
"""Every unit that steps, answers and screens may use."""


def to_si(value: float, unit: str) -> float:
    """SI value of a value in a field unit.

    >>> to_si(32.0, "F"), to_si(18.0, "F-difference")  # doctest: +NUMBER
    (0.0, 10.0)
    """
    known = _unit(unit)
    return known.factor * value + known.offset


def from_si(value: float, unit: str) -> float:
    """Value in a field unit of an SI value, or of an array of them.

    >>> from_si(101325.0, "psig"), from_si(0.0, "F")  # doctest: +NUMBER
    (0.0, 32.0)
    """
    known = _unit(unit)
    return (value - known.offset) / known.factor


def convert(value: float, given: str, wanted: str) -> float:
    """Value in another unit of the same quantity.

    Raises
    ------
    BadRequest
        The two units measure different things, as a temperature and a difference of temperatures.
    """
    a, b = _unit(given), _unit(wanted)
    if a.of != b.of:
        raise BadRequest(f"{given} measures {a.of} and {wanted} measures {b.of}; give the value in {' or '.join(alike(wanted))}")
    return from_si(to_si(value, given), wanted)


def meant(given: str, asked: str) -> str:
    """Unit that a person means where a difference is asked: ``F`` said of a superheat is ``F-difference``, ``C`` is ``K``.

    >>> meant("F", "F-difference"), meant("F", "F"), meant("psig", "F-difference")
    ('F-difference', 'F', 'psig')
    """
    difference = {"F": "F-difference", "C": "K", "psig": "psi"}.get(given, given)
    return difference if given in UNITS and difference in alike(asked) else given


def alike(unit: str) -> list[str]:
    """Units that measure the same quantity."""
    return [name for name, known in UNITS.items() if known.of == _unit(unit).of]


def show(value: float, unit: str, resolution: str = "0.1") -> str:
    """A value in its unit, rounded half to even to a resolution such as ``'0.1'`` or ``'2'``.

    >>> show(37.25, "F"), show(181.2, "psig", "2"), show(-0.02, "A")
    ('37.2 F', '182 psig', '0.0 A')
    """
    return f"{rounded(value, resolution)} {unit}"


def rounded(value: float, resolution: str) -> str:
    """A number rounded to a multiple of a resolution, with that resolution's decimals; never ``-0``.

    >>> rounded(481.26, "0.1"), rounded(7.3, "5")
    ('481.3', '5')
    """
    step = Decimal(resolution)
    number = (Decimal(repr(float(value))) / step).quantize(Decimal(1), ROUND_HALF_EVEN) * step
    text = f"{number:f}"
    return text.lstrip("-") if number == 0 else text


def parse_value(text: str, unit: str) -> float:
    """SI value of a number as people type it, comma or point.

    Raises
    ------
    BadRequest
        Not a number, or a unit that is not known.
    """
    try:
        value = float(text.strip().replace("\u2212", "-").replace(",", "."))
    except ValueError as error:
        raise BadRequest(f"{text[:40]!r} is not a number; write it with digits and a decimal point, as 4.4") from error
    if not abs(value) < 1e12:
        raise BadRequest(f"{text[:40]!r} is not a measurable number; check the digits")
    return to_si(value, unit)


def _unit(name: str) -> Unit:
    if name not in UNITS:
        raise BadRequest(f"unknown unit {name[:20]!r}; allowed are {' '.join(UNITS)}")
    return UNITS[name]

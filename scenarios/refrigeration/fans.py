"""Fans of a condenser: each on a drive or switched on and off by itself, as its motor and its wiring let it."""

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record
from scenarios.refrigeration.plant import Array, Rows


@record
class Fan:
    """One fan: design and condition. Faults edit these."""

    share: float = quantity("-", "air it moves over what it should at its speed", default=1.0, least=0.0, most=1.2)
    shaft: float = quantity("W", "shaft power at rated speed in 20 C air", default=4700.0, least=0.0)
    starts: float = quantity("-", "reference of the fan loop above which it is called", default=0.12, least=0.0, most=1.0)
    stops: float = quantity("-", "reference at and below which it is not called", default=0.7 * 0.12, least=-1.0, most=1.0)


@record
class FanState:
    """What it does."""

    speed: float = quantity("-", "over rated, signed", default=0.0)
    called: bool = quantity("-", "called by its controller", default=True)


@compiled
def airflow(fans: Rows, states: Rows, speed: Array) -> float:
    """Air that all fans of a condenser move, over rated [-].

    Parameters
    ----------
    fans, states : recarray of Fan, FanState
        The fans; states are changed in place.
    speed : array
        Of their motors over rated, signed. [-]
    """
    total = 0.0
    for n in range(len(fans)):
        states[n].speed = speed[n]
        total += abs(speed[n]) * fans[n].share
    return total / len(fans)

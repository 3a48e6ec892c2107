"""The rack controller itself: its clock and its supply. What it does is in `staging`, `fan_loop`, `case` and `alarms`.

It knows only its transducers and case sensors, each of which may read wrong, and one proof per compressor that it runs. When its
supply fails every output drops.
"""

from scenarios.compiling.quantities import quantity, record


@record
class Controller:
    """Its condition. Faults edit these."""

    clock_offset: float = quantity("s", "its clock is ahead by", default=0.0)


@record
class ControllerState:
    """What it remembers."""

    powered: bool = quantity("-", "had supply in the last step", default=True)
    restarted: bool = quantity("-", "supply came back in this step", default=False)

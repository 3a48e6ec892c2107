"""Pressure cut-outs: each compressor has one for high and one for low pressure.

An automatic one closes again when pressure has come back by its differential. A manual one latches until its button is pushed,
and the push holds only when pressure is already that far down.
"""

from scenarios.compiling.kernel import compiled
from scenarios.compiling.quantities import quantity, record


@record
class Cutout:
    """One pressure switch: setting and condition. Faults edit these."""

    opens: float = quantity("Pa", "pressure at which it opens", least=0.2e5, most=60e5)
    differential: float = quantity("Pa", "change back that lets it close", default=4.1e5, least=0.0, most=40e5)
    above: bool = quantity("-", "opens on rising pressure; otherwise on falling", default=True)
    manual: bool = quantity("-", "latches until its button is pushed", default=False)
    stuck_open: bool = quantity("-", "contact never closes", default=False)
    stuck_shut: bool = quantity("-", "contact never opens", default=False)


@record
class CutoutState:
    """Contact and latch."""

    closed: bool = quantity("-", "contact is closed", default=True)
    latched: bool = quantity("-", "waits for its button", default=False)
    pushed: bool = quantity("-", "button pushed since the last step", default=False)


@compiled
def may_close(cutout: Cutout, pressure: float) -> bool:
    """Whether pressure has come back far enough.

    Parameters
    ----------
    cutout : Cutout
        What it works with.
    pressure : float
        At the switch. [Pa]
    """
    if cutout.above:
        return pressure <= cutout.opens - cutout.differential
    return pressure >= cutout.opens + cutout.differential


@compiled
def sense(cutout: Cutout, state: CutoutState, pressure: float) -> None:
    """Move contact and latch with pressure.

    Parameters
    ----------
    cutout, state : Cutout, CutoutState
        What it works on; states are changed in place.
    pressure : float
        At the switch. [Pa]
    """
    out = pressure >= cutout.opens if cutout.above else pressure <= cutout.opens
    if out:
        state.closed = False
        if cutout.manual:
            state.latched = True
    elif not state.closed and may_close(cutout, pressure):
        if state.pushed:
            state.latched = False
        if not state.latched:
            state.closed = True
    state.pushed = False
    if cutout.stuck_open:
        state.closed = False
    elif cutout.stuck_shut:
        state.closed, state.latched = True, False

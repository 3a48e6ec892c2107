"""Sentences for what a step showed."""

from collections.abc import Mapping

from scenarios.facts import Event, EventKind, Observed
from scenarios.steps import Step

TALK = "The call stops here for a talk: what was live, from where, and what would have shown it."
NOT_DONE = (
    "The call stops here for a talk: what could have come of it. The step was not done; you may go on. The call is not passed."
)
UNIT_OF = {"nameplate": "A", "dial": "A", "seconds": "s"}
"""Units of displays that no instrument makes."""
EVENTS = {
    EventKind.BREAKER_TRIPS: "breaker trips",
    EventKind.FUSE_MELTS: "fuse melts",
    EventKind.OVERLOAD_TRIPS: "overload trips",
    EventKind.PULLS_IN: "pulls in",
    EventKind.LETS_GO: "lets go",
    EventKind.DRIVE_TRIPS: "drive trips",
    EventKind.POLE_BURNS_OPEN: "pole burns open",
    EventKind.CHATTERS: "chatters",
    EventKind.UP_TO_SPEED: "up to speed",
    EventKind.GROWLS: "growls",
    EventKind.PROTECTOR_OPENS: "motor protector opens",
}
"""How an event of the wiring is told afterwards."""
NUMBER_WORDS = {"volts": "{0} {1} between {2}", "ohms": "{0} {1} between {2}", "insulation": "{0} {1} between {2}"}


def _one(seen: Observed, shown: dict[str, str]) -> str:
    if seen.words:
        return seen.words
    if not seen.instrument:
        return ""
    if seen.kind in NUMBER_WORDS:
        if shown["shown"] == "OL":
            return f"OL between {seen.of.replace('|', ' and ')}."
        return NUMBER_WORDS[seen.kind].format(shown["shown"], shown["unit"], seen.of.replace("|", " and ")) + "."
    return f"{seen.of}: {shown['shown']} {shown['unit']}".rstrip() + "."


def event(happened: Event, titles: Mapping[str, str]) -> str:
    """An alarm by its title, anything else by its part.

    Parameters
    ----------
    happened : Event
        What happened.
    titles : mapping
        Title of every alarm by its id.
    """
    if isinstance(happened.kind, EventKind):
        return f"{happened.what} {EVENTS[happened.kind]}"
    return titles[happened.what]


def made_safe(handles: list[str]) -> str:
    """What follows an incident where the part is dead now."""
    locked = f" Off, with the second person's lock on: {', '.join(handles)}." if handles else ""
    return f"{TALK} The part has been made safe; you may go on. The call is not passed.{locked}"


def not_safe(mark: str, handles: list[str], live: list[str], volts: float, outside: bool) -> str:
    """What follows an incident where the part is live still, and who can end that.

    Parameters
    ----------
    mark : str
        The part.
    handles, live : list of str
        What the second person switched off, and the terminals that are live all the same.
    volts : float
        Most between any two points of the part, or to earth. [V]
    outside : bool
        Whether it is fed before every handle of the store.
    """
    locked = f" Off, with the second person's lock on: {', '.join(handles)}." if handles else ""
    verb = "is" if len(live) == 1 else "are"
    who = (
        "only the utility can switch that off"
        if outside
        else "it comes from somewhere that none of these handles switches, and has to be found first"
    )
    return (
        f"{TALK} {mark} could not be made safe: {', '.join(live)} {verb} live still with up to {volts:.0f} V, and {who}. "
        f"No hands go on {mark}; you may go on elsewhere. The call is not passed.{locked}"
    )


def saw_text(step: Step, text: str, observed: list[Observed], shown: list[dict[str, str]]) -> str:
    """One plain line for a step: what was done, then what was seen."""
    parts = [text, *(_one(o, s) for o, s in zip(observed, shown, strict=True))]
    return " ".join(part for part in parts if part) or "Nothing to be seen."

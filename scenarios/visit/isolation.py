"""What has been isolated and what has been proved dead: kept from acts and readings alone, never from the true state.

The order is the one of lockout and absence-of-voltage testing: switch off, lock, tag, try to start; prove the tester on a known
live point; test each pole to each other and to earth; prove the tester again. Switching anything on, or taking a lock off,
cancels what was proved. Source: NFPA 70E art. 120.5 and 29 CFR 1910.333(b)(2), in our own words; local rules come first.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from itertools import combinations

DEAD_VOLTS = 10.0
"""A displayed voltage below this counts as dead [V]; common practice, well under the 50 V limit of the rules."""
LIVE_VOLTS = 50.0
"""From here on a conductor is treated as live [V]; NFPA 70E art. 110.4, from memory."""


class Noted(StrEnum):
    """What the notes of an isolation are of."""

    OFF = "off"
    ON = "on"
    LOCK = "lock"
    """With its tag."""
    UNLOCK = "unlock"
    TRY = "try"
    VOLTS = "volts"


AGAIN = (Noted.ON, Noted.UNLOCK)
"""What could have made something live again."""


@dataclass(frozen=True)
class Entry:
    """One thing that was done or read, as far as isolation goes."""

    n: int
    t: float
    what: Noted
    where: tuple[str, ...]
    volts: float = 0.0


@dataclass
class IsolationLog:
    """What the technician's notes show of isolation, in order."""

    entries: list[Entry] = field(default_factory=list)

    def add(self, n: int, t: float, what: Noted, where: tuple[str, ...], volts: float = 0.0) -> None:
        """Write one entry."""
        self.entries.append(Entry(n, t, what, where, volts))

    def since_energised(self) -> list[Entry]:
        """Entries after the last act that could have made something live again."""
        last = max((k for k, e in enumerate(self.entries) if e.what in AGAIN), default=-1)
        return self.entries[last + 1 :]

    def off(self) -> list[str]:
        """Parts that the notes show switched off and not on again, in order."""
        gone: dict[str, None] = {}
        for entry in self.entries:
            if entry.what == Noted.OFF:
                gone[entry.where[0]] = None
            elif entry.what == Noted.ON:
                gone.pop(entry.where[0], None)
        return list(gone)

    def done(self, what: Noted, mark: str) -> Entry | None:
        """The latest lock or try entry for a part since it was last switched off."""
        found = None
        for entry in self.entries:
            if entry.where and entry.where[0] == mark:
                if entry.what in (Noted.OFF, *AGAIN):
                    found = None
                elif entry.what == what:
                    found = entry
        return found

    def known_live(self) -> list[Entry]:
        """Readings on a live point that can prove the tester."""
        return [e for e in self.entries if e.what == Noted.VOLTS and e.volts >= LIVE_VOLTS]

    def proof(self, wanted: list[tuple[str, str]]) -> "Proof":
        """How far live, dead, live has been carried for the pairs that matter."""
        offs = [e.n for e in self.entries if e.what == Noted.OFF]
        since = self.since_energised()
        dead = {frozenset(e.where): e for e in since if e.what == Noted.VOLTS and e.volts < DEAD_VOLTS}
        shown = {frozenset(pair): dead[frozenset(pair)] for pair in wanted if frozenset(pair) in dead}
        first = min((e.n for e in shown.values()), default=None)
        last = max((e.n for e in shown.values()), default=None)
        live = self.known_live()
        before = [e for e in live if first is not None and e.n < first and (not offs or e.n >= min(offs) - BEFORE_STEPS)]
        after = [e for e in live if last is not None and e.n > last]
        missing = [pair for pair in wanted if frozenset(pair) not in shown]
        return Proof(before[-1] if before else None, list(shown.values()), missing, after[0] if after else None)


BEFORE_STEPS = 12
"""A reading on a live point at most this many steps before switching off still proves the tester; common practice."""


@dataclass(frozen=True)
class Proof:
    """Live, dead, live as far as it went."""

    before: Entry | None
    dead: list[Entry]
    missing: list[tuple[str, str]]
    after: Entry | None

    @property
    def whole(self) -> bool:
        """Whether every pair read dead between two readings on a live point."""
        return self.before is not None and self.after is not None and not self.missing and bool(self.dead)


def pairs_to_prove(line_side: list[str], control: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Pairs that must read dead before hands go on a part: each pole to each other and to earth, and its control element.

    >>> pairs_to_prove(["K5:1", "K5:3"], [("K5:A1", "K5:A2")])
    [('K5:1', 'K5:3'), ('K5:1', 'PE'), ('K5:3', 'PE'), ('K5:A1', 'K5:A2')]
    """
    return [*combinations(line_side, 2), *((terminal, "PE") for terminal in line_side), *control]

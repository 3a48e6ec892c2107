"""The twelve words for what is wrong with a part, the same in every call, suspect and work order."""

MODES: dict[str, str] = {
    "does_not_open": "does not open",
    "does_not_close": "does not close",
    "open_inside": "open inside",
    "shorted": "shorted inside",
    "to_earth": "shorted to earth",
    "loose_burnt": "loose or burnt joint",
    "blocked_dirty": "blocked or dirty",
    "leaking": "leaking",
    "stuck_worn": "stuck or worn",
    "set_wrong": "set wrong",
    "too_much": "gives or holds too much",
    "too_little": "gives or holds too little",
}
"""Word in a step -> words on a screen."""

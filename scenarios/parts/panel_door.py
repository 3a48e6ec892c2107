"""The door of a panel."""

from scenarios.parts.common import kind

kind(name="panel_door", title="door", wired=False, acts=("open {p}:Open the door", "close {p}:Shut the door"))

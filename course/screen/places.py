"""What a screen says of places: how far they are, what one notices there, what one can come to."""

from typing import Any

from scenarios.call import Session
from scenarios.visit import limits

NOTICED = {
    "van": "the phone rings",
    "sales_floor": "a display passes its limit, case fans or their sound change, the phone rings",
    "motor_room": "a machine starts or stops, a sound or smell changes, the phone rings",
    "panel": "a contactor pulls in or drops out, a display changes, a sound or smell, the phone rings",
    "roof": "the fan or the water starts or stops, a sound or smell changes, the phone rings",
}
"""What ends a wait, by kind of place."""


def of(session: Session) -> list[dict[str, Any]]:
    """Every place of the store in the order one walks: minutes from here, its door, whether a rack's log can be read there."""
    here, world = session.person.place, session.world
    drive = 0.0 if session.person.on_site else float(session.night.call["drive_minutes"])
    logs = {rack.part.place for rack in world.store.racks}
    return [
        {
            "id": name,
            "title": about.title,
            "here": name == here and session.person.on_site,
            "minutes": round(limits.walk_minutes(world, here, name) + drive),
            "door": about.door,
            "log": name in logs,
            "notices": NOTICED.get(about.kind, "what changes before your eyes"),
        }
        for name, about in world.places.items()
    ]

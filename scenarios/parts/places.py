"""Kinds of places, as far as parts ask: how warm it is there."""

from typing import Any

AMBIENT = {"panel": 32.0, "motor_room": 27.0, "sales_floor": 21.0, "roof": 24.0, "van": 22.0}
"""What unheated surfaces of a kind of place have [C]; common practice."""


def kind_of(world: Any, place: str) -> str:
    """Kind of a place of a store."""
    return str(world.places[place].kind)


def ambient_of(world: Any, place: str) -> float:
    """What unheated surfaces of a place have [C]."""
    return AMBIENT[kind_of(world, place)]

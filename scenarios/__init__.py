"""The world: invented stores, what breaks in them, and what a technician can do and see there."""

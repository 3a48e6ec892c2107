"""Wiring, switchgear, protection, motors and drive of a store: any two points, any meter."""

"""Instruments: truth in, reading out, with the noise and the limits that real ones have."""

from scenarios.instruments.reading import Reading, greatest_error, read
from scenarios.instruments.shelf import INPUT_FARADS, INPUT_OHMS, LOW_INPUT_OHMS, SHELF, TEST_VOLTS

__all__ = ["INPUT_FARADS", "INPUT_OHMS", "LOW_INPUT_OHMS", "SHELF", "TEST_VOLTS", "Reading", "greatest_error", "read"]

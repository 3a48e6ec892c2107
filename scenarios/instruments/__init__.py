"""Truth in, reading out."""

"""Kinds of parts: one module a kind, everything that is ever asked of it."""

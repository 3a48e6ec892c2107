"""How formulas become compiled code, and what of it is still good: nothing here knows a store."""

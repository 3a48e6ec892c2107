"""The desk: one widget, its drawing and its pad; no physics."""

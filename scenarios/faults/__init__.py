"""What breaks, what it changes, what mends it, how often it happens."""

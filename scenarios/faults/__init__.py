"""What breaks, what it changes, how often it happens."""

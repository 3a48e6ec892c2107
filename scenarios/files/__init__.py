"""Store, call and key files: read safely, checked whole, every problem at once."""

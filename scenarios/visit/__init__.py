"""A technician in a store: what they do, see, may do and leave behind."""

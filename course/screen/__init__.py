"""What a screen or a terminal may show of an open call: only what the technician knows or would notice."""

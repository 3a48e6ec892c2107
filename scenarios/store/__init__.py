"""A store as its file tells it: typed records, one instance of every part, and the reader that refuses what cannot run."""

"""Store: the facts kept, in one SQLite file."""

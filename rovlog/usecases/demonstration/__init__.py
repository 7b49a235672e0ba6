"""The demonstration logbook: an invented team, its vehicles, and a season of dives."""

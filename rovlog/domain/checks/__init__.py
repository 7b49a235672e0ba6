"""Checklists as a fold over entries: states, limits, validity, what stops the dive."""

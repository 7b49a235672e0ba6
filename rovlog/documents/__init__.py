"""Text to domain values and back; knows the place of every value in its file."""

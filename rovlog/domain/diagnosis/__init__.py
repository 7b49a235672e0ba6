"""Which wiring or setup fault explains what was seen, and which push would settle it."""

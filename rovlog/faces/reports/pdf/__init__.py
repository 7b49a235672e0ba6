"""Reports as PDF."""

"""Reports as self-contained HTML."""

"""Current, voltage and fuse: what the configuration draws and what is left of it."""

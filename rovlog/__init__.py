"""rovlog: configuration, checks and dive logbook for small tethered underwater vehicles."""

__version__ = "0.1.0"

"""The six degrees of freedom and their symbols (SNAME, 1950): x forward, y to starboard, z down."""

from __future__ import annotations

DEMANDS = ("surge", "sway", "heave", "roll", "pitch", "yaw")
"""The six degrees of freedom in SNAME order."""

AXES = ("X", "Y", "Z", "K", "M", "N")
"""Force and moment symbols in the order of DEMANDS; X, Y, Z in newton, K, M, N in newton metre."""

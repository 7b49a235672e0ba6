"""Water: density, pressure, buoyancy, trim, ballast, vacuum hold."""

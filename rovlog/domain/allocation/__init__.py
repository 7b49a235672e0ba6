"""From sticks to forces: demand, channels, thrust, wrench, and what the sticks can reach."""

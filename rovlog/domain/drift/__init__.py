"""Baseline, box, pilot and working files side by side, with the physical effect of each difference."""

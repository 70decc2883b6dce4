"""Openings of walls: door swings and leaves, glazing, thresholds."""

"""Walls: the ways that they are drawn, their lines, corners, curves and ends."""

"""Shapes taken from a drawing: picked boxes, rows of a legend."""

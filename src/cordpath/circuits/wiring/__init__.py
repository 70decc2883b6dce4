"""Drawn wiring, followed from symbol to symbol."""

"""Lettering that is drawn (plotted strokes, outlines of letters) read into words, from the vectors alone."""

from cordpath.sheet.lettering.read import Lettering, lettering

__all__ = ["Lettering", "lettering"]

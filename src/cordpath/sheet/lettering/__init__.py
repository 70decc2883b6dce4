"""Lettering that is drawn (plotted strokes, outlines of letters) read into words, from the vectors alone."""

from cordpath.sheet.lettering.read import Lettering, lettering
from cordpath.sheet.lettering.single import read_glyphs

__all__ = ["Lettering", "lettering", "read_glyphs"]

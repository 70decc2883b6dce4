"""The sheet's strokes made comparable: runs, arcs, dashes, hatch, and the grid that finds what is near."""

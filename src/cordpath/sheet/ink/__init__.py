"""The ink of a page: paths, strokes, fills, and lines that writers drew as something else."""

"""Stage 3: the mapping file's shapes are found among loose strokes, with their labels and what is left over."""

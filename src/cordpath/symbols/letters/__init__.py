"""Letters in and over symbols: as marks, as strangers, drawn as strokes, written alone."""

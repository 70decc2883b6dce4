"""Stage 1: a PDF page becomes a Sheet: strokes, fills, words, layers, title block, regions, views."""

"""Stage 2: notes, dimension strings and overrides become one Scale a view, proved twice where possible."""

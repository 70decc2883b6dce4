"""Stage 4: walls, openings and spaces become rooms with a kind; symbols are stood against their walls."""

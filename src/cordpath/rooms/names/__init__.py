"""Names of rooms and what kind of place they mean."""

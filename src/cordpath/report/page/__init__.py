"""The report page, and the pictures on it."""

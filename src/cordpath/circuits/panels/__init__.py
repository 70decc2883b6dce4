"""Panel schedules, read as tables."""

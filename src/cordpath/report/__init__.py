"""Stage 8: results.json, the marked PDF, schedules and pictures, all drawn from the same findings."""

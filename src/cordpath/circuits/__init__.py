"""Stage 6: panel schedules and circuit tags tell who protects an outlet, with the evidence."""

"""From poses to candidates, with what speaks for and against each, to the one that is meant."""

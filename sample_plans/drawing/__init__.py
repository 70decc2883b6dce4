"""From the description of an invented house to a plan sheet: marks, then a PDF writer."""

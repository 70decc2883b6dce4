"""What ``cordpath learn`` proposes for a new office's mapping file, and how little that settles."""

"""Entries of the mapping file as shapes that can be compared with ink."""

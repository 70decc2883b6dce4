"""The mapping file, read strictly: entries, their marks and facts, rooms, labels, patterns."""

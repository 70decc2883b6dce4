"""The text of a page: words, fonts that do not say their letters, letters that nobody sees."""

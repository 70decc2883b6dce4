"""Texts beside symbols: what they say, and to which symbol they belong."""

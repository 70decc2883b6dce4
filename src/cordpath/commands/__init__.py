"""The commands, by what they work on: each parses, calls and prints; ``cordpath.cli`` loads them."""

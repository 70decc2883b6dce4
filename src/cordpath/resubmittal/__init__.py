"""Command ``recheck``: an old review against the sheets that came anew."""

"""What no entry of the mapping file explains: repeated shapes, rows of legends, bare bodies."""

"""Free space parted into rooms."""

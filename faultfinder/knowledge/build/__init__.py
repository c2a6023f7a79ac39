"""Trees of all files of a pack to the checked model."""

"""What the checks and tables work out of a pack that was built."""

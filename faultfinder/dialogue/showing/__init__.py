"""What is known, as lines for a person."""

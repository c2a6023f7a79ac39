"""What a person types, and what it means."""

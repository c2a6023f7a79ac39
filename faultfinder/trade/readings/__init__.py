"""What a meter shows and a person types: numbers, units, limits, accuracy."""

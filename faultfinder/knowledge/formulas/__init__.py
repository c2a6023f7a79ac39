"""What a rule file works out of numbers: expressions, bands, plate values, and their units."""

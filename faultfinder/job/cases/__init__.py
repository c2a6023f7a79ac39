"""Records replayed: worked cases, coverage, differences."""

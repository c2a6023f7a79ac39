"""What may be asked for: it shows, understands and helps with itself."""

"""Air, moisture and drying."""

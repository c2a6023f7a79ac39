"""The chances of everything given the evidence: exact by elimination, or on drawn machines."""

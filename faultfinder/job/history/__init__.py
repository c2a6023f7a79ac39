"""Closed jobs counted, searched and exchanged."""

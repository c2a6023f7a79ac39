"""Circuits, windings, sensors, supply and safety limits."""

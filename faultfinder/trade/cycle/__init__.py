"""Logged cycles."""

"""Frozen dataclasses: what the user gave, what was designed, what was found. No computation."""

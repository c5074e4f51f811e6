"""Structural analysis on plain arrays and values."""

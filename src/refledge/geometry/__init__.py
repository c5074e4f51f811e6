"""Designed parts as solids, and their assembly."""

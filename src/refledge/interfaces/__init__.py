"""Command line; no arithmetic."""

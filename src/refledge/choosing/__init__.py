"""Layouts compared with their frames sized: what each gives and what it gives up."""

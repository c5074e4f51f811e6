"""Layouts, rotors, power and the loads they make."""

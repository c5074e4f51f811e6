"""Print orientation, mass as printed, the print list."""

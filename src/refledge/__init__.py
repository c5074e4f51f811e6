"""Refledge: from a wreck, a printer and a few bench tests to an airframe you can print."""

__version__ = "0.1.0"

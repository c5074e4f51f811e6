"""The bench: readings to properties, taps to modes, what the model learns from them."""

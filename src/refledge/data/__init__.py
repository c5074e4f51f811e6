"""Tables with a source for every row; read through ``tables``."""

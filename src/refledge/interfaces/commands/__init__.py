"""One module for each command, or few that belong together; each adds itself to the app."""

"""How a study's parts go to the printer: poses, time, plates, in the order of building."""

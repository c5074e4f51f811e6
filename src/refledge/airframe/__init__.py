"""Where flight, geometry and analysis meet: sizing, the frame's beam model, checks."""

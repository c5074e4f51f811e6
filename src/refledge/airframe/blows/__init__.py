"""How the frame may hit the ground, and what the static energy method says of it."""

"""Fast answers while somebody edits: the frame at hand under other numbers, without sizing."""

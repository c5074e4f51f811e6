"""From the user's files to models: briefs, material cards, fasteners, hole patterns."""

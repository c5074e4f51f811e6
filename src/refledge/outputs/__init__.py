"""Files and pages from a study; no physics."""

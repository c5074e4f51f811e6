"""Arms grown by the optimiser: from part to grid, from density to a printable solid."""

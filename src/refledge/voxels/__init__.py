"""Elasticity on a regular grid of voxels, and the optimiser on it; plain arrays, CPU or GPU."""

"""Parts as 3D solids: quadratic tetrahedra, layered plastic, static, modal and forced response."""

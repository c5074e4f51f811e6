"""Many layouts, propellers, packs and motors at once."""

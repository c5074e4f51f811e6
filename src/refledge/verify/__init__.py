"""The airframe's parts and the whole of it as solids, held against what the beams said."""

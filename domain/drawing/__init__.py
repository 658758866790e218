"""Drawings: what is there in exact inches with words, of pieces, layouts and runs; and the same in sentences."""

"""Whole games: demonstrations, practice positions, a look over finished ones."""

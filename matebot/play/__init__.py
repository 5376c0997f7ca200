"""Choosing moves: every legal move with its exact outcome, and the line that follows."""

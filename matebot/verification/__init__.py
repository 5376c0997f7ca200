"""Checking solved endings with python-chess's moves: which positions, what their successors say, whether they agree."""

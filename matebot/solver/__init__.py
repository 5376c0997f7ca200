"""Exact values of every position of the covered endings, by bit-parallel retrograde analysis."""

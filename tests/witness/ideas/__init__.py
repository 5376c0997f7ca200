"""Witnesses of the ideas: each says again, with python-chess only and in the plainest way, what an idea claims."""

"""A UCI chess-engine plug-in for the elementary mates. This module knows its version and nothing else."""

__version__ = "0.1.0"
